"""Levels of published risk functions at which half are injured, against the rows of the table.

Sources: expanded Prasad-Mertz curves (Eppinger 1999; Kuppa 2004; NCAP 2008), P = Phi((ln HIC -
mu)/sigma); Prasad and Mertz (1985), P = 1/(1 + exp(a + 200/HIC - b HIC)); NCAP 2008 for femur and chest,
Kuppa 2004 for the pelvis. Coefficients seen in texts that quote them.
"""

import math

import pytest
from scipy.optimize import brentq
from scipy.special import ndtr

from tameshi.tolerance import published_values
from tests.published.as_printed import as_printed

ROWS = {one.key: one for one in published_values()}


def printed(key: str) -> float:
    one = ROWS[key]
    assert one.value is not None
    assert one.risk == 0.5
    return one.value / one.factor


@pytest.mark.parametrize(
    ("key", "mu", "sigma"),
    [("hk-01", 6.96352, 0.84664), ("hk-02", 7.45231, 0.73998), ("hk-03", 7.65605, 0.6058)],
)
def test_lognormal_family(key: str, mu: float, sigma: float) -> None:
    assert math.exp(mu) == as_printed(f"{printed(key):.0f}")
    assert ndtr((math.log(printed(key)) - mu) / sigma) == pytest.approx(0.5, abs=0.001)


@pytest.mark.parametrize(
    ("key", "a", "b"),
    [
        ("hk-04", 1.54, 0.0065),
        ("hk-05", 2.49, 0.00483),
        ("hk-06", 3.39, 0.00372),
        ("hk-07", 4.9, 0.00351),
        ("hk-08", 7.82, 0.00429),
        ("hk-09", 12.24, 0.00565),
    ],
)
def test_logistic_family(key: str, a: float, b: float) -> None:
    half = brentq(lambda hic: a + 200.0 / hic - b * hic, 100.0, 5000.0)
    assert half == as_printed(f"{printed(key):.0f}")


def test_the_two_families_differ_by_more_than_half() -> None:
    assert printed("hk-02") / printed("hk-06") == as_printed("1.8")
    assert (printed("hk-06"), printed("hk-02")) == (967.0, 1724.0)


def test_pelvis_femur_and_chest() -> None:
    pelvis, worse, femur = 6.403 / 0.00163, 7.5969 / 0.0011, 1000.0 * 5.795 / 0.5196
    chest = (10.5456 / 1.568) ** (1.0 / 0.4612)
    assert pelvis == as_printed(f"{printed('ab-07'):.0f}")
    assert worse == as_printed("6906")
    assert femur == pytest.approx(printed("lb-21"), abs=5.0)  # to the 10 N that are printed
    assert chest == as_printed(f"{printed('ch-14'):.0f}")
