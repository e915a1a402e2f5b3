"""Strength in a short load.

Sources: the Madison curve SL = 18.3 + 108.4 t^-0.0464 as quoted in Forests 12 (2021) 1148 (impact anchor: 150
% at 0.015 s); CEB Bulletin 187, tension of concrete of 30 MPa: (rate / 1e-6)^0.04 (value from memory);
duration of load on glass t^(-1/16) (value from memory). Other numbers follow from the formulas.
"""

from __future__ import annotations

import pytest

from tameshi.target.breaking import law_factor, rate_factor, stress_level
from tests.published.as_printed import as_printed


@pytest.mark.parametrize(
    ("seconds", "printed"), [(0.015, "150.02"), (0.005, "156.91"), (1.0, "126.70"), (300.0, "101.49")]
)
def test_the_madison_curve(seconds: float, printed: str) -> None:
    assert stress_level(seconds) == as_printed(printed)


def test_five_milliseconds_over_five_minutes() -> None:
    assert law_factor("across the grain", 0.005, 0.01) == as_printed("1.546")


@pytest.mark.parametrize(("rate", "printed"), [(0.08, "1.571"), (1.0, "1.738")])
def test_concrete_in_tension(rate: float, printed: str) -> None:
    assert law_factor("concrete", 0.001, 0.001 * rate) == as_printed(printed)


def test_slow_growth_of_cracks() -> None:
    assert law_factor("ceramic", 0.005, 0.001) == as_printed("1.80")


def test_no_gain_at_all_stays_possible() -> None:
    # impact tests of timber found hardly any (Polocoser and others, Materials and Structures 2018)
    assert rate_factor("across the grain", 0.0025, 0.01).low == 1.0
