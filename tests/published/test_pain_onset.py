"""Pain at slow contact: project FP 317 against ISO/TS 15066, which was drawn from the same hundred people.

Source: University of Mainz for the DGUV, project FP 317 (2014): masticatory muscle 15 N and 66 N/cm2
(90th percentile 182), forefinger pad of the other hand 58 N and 185 N/cm2 (341), 100 people; ISO/TS
15066:2016, table A.2: 75 % of people, 110 and 270 N/cm2. Numbers seen in texts that quote them; the
lognormal is ours.
"""

import pytest

from tameshi.reference import row
from tameshi.tolerance import Lognormal, lognormal_of_median, published_values
from tests.published.as_printed import as_printed

ROWS = {one.key: one for one in published_values()}
N_CM2 = 1e4


def rebuilt(key: str) -> Lognormal:
    one = ROWS[key]
    assert one.value is not None
    assert one.high is not None
    return lognormal_of_median(one.value, one.high, 0.90)


@pytest.mark.parametrize(
    ("key", "median", "sigma", "p75", "iso_key", "iso"),
    [
        ("mz-2", "66", "0.79", "113", "iso-p03", 110.0),
        ("mz-4", "185", "0.48", "255", "iso-p18", 270.0),
    ],
)
def test_the_two_sources_agree(key: str, median: str, sigma: str, p75: str, iso_key: str, iso: float) -> None:
    found = rebuilt(key)
    assert found.median / N_CM2 == as_printed(median)
    assert found.sigma == as_printed(sigma)
    assert found.at(0.75) / N_CM2 == as_printed(p75)
    assert ROWS[iso_key].value == pytest.approx(iso * N_CM2)
    assert found.at(0.75) / N_CM2 == pytest.approx(iso, rel=0.06)


@pytest.mark.parametrize(("force", "pressure", "factor"), [("mz-1", "mz-2", "8.6"), ("mz-3", "mz-4", "6.3")])
def test_local_pressure_is_many_times_the_mean(force: str, pressure: str, factor: str) -> None:
    newtons, pascals = ROWS[force].value, ROWS[pressure].value
    assert newtons is not None
    assert pascals is not None
    assert pascals / (newtons / 1.96e-4) == as_printed(factor)


def test_the_band_from_mean_to_local_reaches_as_far() -> None:
    band = row("tolerance_relations", "peak over mean")
    assert band["high"] == as_printed("8.6")
    assert band["low"] == 1.0
