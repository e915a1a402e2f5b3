"""The measured force and deflection of a pine board, and of a concrete block, at the break.

Source: M. S. Feld, R. E. McNair, S. R. Wilk, The Physics of Karate, Scientific American 240 (April 1979)
150-158, as quoted by several pages: wood breaks at about 500 N and 1 cm, concrete at about 2500 to 3000 N and
1 mm, contact lasts about 5 ms. Size of the board, 28 x 15 x 1.9 cm, and of the block, 40 x 19 x 4 cm: value
from memory. "About" is taken as a factor of 1.25 either way.
"""

from __future__ import annotations

import pytest

from tameshi.target.breaking import (
    energy_to_break,
    material_of,
    parse_target,
    predict,
    rupture_stress,
    stress_per_newton,
)

BOARD = """
kind = "board"
material = "eastern white pine"
[wood]
grain = "GRAIN"
rings = "RINGS"
[size]
thickness = "19 mm"
width = "15 cm"
[support]
how = "two edges"
span = "28 cm"
"""
BLOCK = """
kind = "slab"
material = "concrete"
[size]
thickness = "4 cm"
width = "19 cm"
[support]
how = "two edges"
span = "38 cm"
"""
ABOUT = 1.25


def board(grain: str = "across", rings: str = "unknown") -> str:
    return BOARD.replace("GRAIN", grain).replace("RINGS", rings)


@pytest.mark.parametrize("rings", ["unknown", "flat"])
def test_the_board_is_met_within_the_scatter_of_the_model_across_the_grain(rings: str) -> None:
    needs = predict(parse_target(board(rings=rings))).needs
    assert needs.static_force.low < 500.0 < needs.static_force.high
    assert needs.static_force.value == pytest.approx(500.0, rel=ABOUT - 1.0)
    assert needs.deflection.low < 0.010 < needs.deflection.high
    assert needs.energy.low < 0.5 * 500.0 * 0.010 < needs.energy.high


def test_the_handbook_strength_along_the_grain_is_excluded() -> None:
    needs = predict(parse_target(board("along"))).needs
    assert needs.static_force.low > 10.0 * 500.0


def test_the_block_is_met_within_the_scatter_of_concrete() -> None:
    target = parse_target(BLOCK)
    needs = predict(target).needs
    assert needs.static_force.low < 2500.0
    assert needs.force.high > 3000.0
    assert material_of(target).rate == "concrete"
    # derived: 4.69 to 5.63 MPa on 38 cm
    assert [1e-6 * force * stress_per_newton(target) for force in (2500.0, 3000.0)] == pytest.approx(
        [4.69, 5.63], abs=0.005
    )


def test_the_deflection_of_the_block_is_not_met() -> None:
    # a beam of concrete bends by a tenth of what is published: supports that give, a light block, or another
    # size than the remembered one. The energy told for concrete is therefore a lower bound.
    needs = predict(parse_target(BLOCK)).needs
    assert needs.deflection.high < 0.5e-3
    assert needs.energy.high < 0.5 * 2500.0 * 0.001


def test_what_the_measurement_itself_says() -> None:
    # derived: 500 N at 10 mm are 3.88 MPa and 2.5 J
    assert 1e-6 * rupture_stress(500.0, 0.28, 0.15, 0.019) == pytest.approx(3.88, abs=0.005)
    assert energy_to_break(500.0, 500.0 / 0.010) == pytest.approx(2.5)
