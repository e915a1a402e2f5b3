"""Two studies of punches on a dummy head agree on the mass that was accelerated.

Sources: Walilko, Viano and Bir (2005), Br J Sports Med 39:710: straight punches, 3427 N (811) and 58 g
(13); Viano et al. (2005), Neurosurgery 57:1154: hooks, 4405 N (2318) and 71.2 g (32.2). Abstracts seen;
the masses are derived.
"""

import pytest

from tameshi.tolerance import published_values
from tests.published.as_printed import as_printed

ROWS = {one.key: one for one in published_values()}


def value(key: str) -> float:
    found = ROWS[key].value
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("force", "acceleration", "mass"), [("st-01", "st-04", "6.0"), ("st-05", "st-07", "6.3")]
)
def test_force_over_acceleration(force: str, acceleration: str, mass: str) -> None:
    assert value(force) / value(acceleration) == as_printed(mass)


@pytest.mark.parametrize(("key", "sd"), [("st-01", 811.0), ("st-05", 2318.0)])
def test_the_spread_is_the_printed_standard_deviation(key: str, sd: float) -> None:
    row = ROWS[key]
    assert row.low is not None
    assert row.high is not None
    assert 0.5 * (row.high - row.low) == pytest.approx(sd)
