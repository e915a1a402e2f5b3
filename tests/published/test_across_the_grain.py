"""A board bent across its grain and, wrongly, along it.

Source: three-point bending with values of the Wood Handbook (eastern white pine: 2.1 MPa tension across the
grain, 59.0 MPa and 8.5 GPa along it; ratio 0.078), check numbers computed independently: span 28 cm, width 30
cm, 19 mm: 541.5 N, 2.18 mm, 0.590 J, 248.6 kN/m across; 15 214 N, 4.77 mm, 36.3 J along. A published page
took the strength along the grain and half of stress squared over modulus, which is that of a rod: 359 J for
0.0017 m3.
"""

from __future__ import annotations

import pytest

from tameshi.target.breaking import breaking_force, energy_to_break, stiffness
from tests.published.as_printed import as_printed

SPAN, WIDTH, THICKNESS = 0.28, 0.30, 0.019


def test_across_the_grain() -> None:
    force = breaking_force(2.1e6, SPAN, WIDTH, THICKNESS)
    spring = stiffness(0.078 * 8.5e9, SPAN, WIDTH, THICKNESS)
    assert force == as_printed("541.5")
    assert 1e-3 * spring == as_printed("248.6")
    assert 1e3 * force / spring == as_printed("2.18")
    assert energy_to_break(force, spring) == as_printed("0.590")


def test_along_the_grain() -> None:
    force = breaking_force(59.0e6, SPAN, WIDTH, THICKNESS)
    spring = stiffness(8.5e9, SPAN, WIDTH, THICKNESS)
    assert force == pytest.approx(15_214.0, abs=0.5)
    assert 1e3 * force / spring == as_printed("4.77")
    assert energy_to_break(force, spring) == as_printed("36.3")


def test_the_energy_of_a_bent_board_is_a_ninth_of_that_of_a_pulled_rod() -> None:
    volume = 0.0017
    rod = volume * 61e6**2 / (2.0 * 8.81e9)
    assert rod == as_printed("359.0")
    width = volume / (SPAN * THICKNESS)
    force = breaking_force(61e6, SPAN, width, THICKNESS)
    assert energy_to_break(force, stiffness(8.81e9, SPAN, width, THICKNESS)) == as_printed("39.9")
