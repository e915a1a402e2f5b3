"""Stacks of boards.

Source: mechanics, derived: momentum kept in a plastic impact with 17/35 of each board, then energy; n boards
that slide on each other bend as n, glued ones as one of n times the thickness. Check values computed
independently: striker of 0.7 kg, boards of 0.5 kg that take 2.5 J each need 3.102 m/s; 5 m/s break one, 6
two, 8 and 10 three; with 2.9 kg 5 m/s break seven and 10 m/s fourteen.
"""

from __future__ import annotations

import numpy as np
import pytest

from tameshi.target.breaking import (
    BEAM_MASS,
    boards_broken,
    breaking_force,
    energy_to_break,
    speed_for_boards,
    stack_factors,
    stiffness,
)
from tests.published.as_printed import as_printed


def test_the_least_speed() -> None:
    speed = speed_for_boards(1, np.array([0.7]), np.array([BEAM_MASS * 0.5]), np.array([2.5]))
    assert float(speed[0]) == as_printed("3.102")


@pytest.mark.parametrize(
    ("mass", "speed", "boards"),
    [
        (0.7, 3.10, 0),
        (0.7, 5.0, 1),
        (0.7, 6.0, 2),
        (0.7, 8.0, 3),
        (0.7, 10.0, 3),
        (2.9, 5.0, 7),
        (2.9, 10.0, 14),
    ],
)
def test_how_many_break(mass: float, speed: float, boards: int) -> None:
    assert boards_broken(speed, mass, 0.5, 2.5) == boards


@pytest.mark.parametrize("count", [2, 3, 5])
def test_touching_and_glued_boards_are_beams(count: int) -> None:
    strength, modulus, span, width, thickness = 3.8e6, 0.3e9, 0.28, 0.30, 0.019
    one = breaking_force(strength, span, width, thickness)
    soft = stiffness(modulus, span, width, thickness)
    glued = breaking_force(strength, span, width, count * thickness) / one
    stiff = stiffness(modulus, span, width, count * thickness) / soft
    assert stack_factors(count, "glued") == pytest.approx((glued, stiff))
    assert stack_factors(count, "touching") == (count, count)
    for between in ("touching", "glued"):
        force, spring = stack_factors(count, between)
        assert energy_to_break(force * one, spring * soft) == pytest.approx(
            count * energy_to_break(one, soft)
        )
