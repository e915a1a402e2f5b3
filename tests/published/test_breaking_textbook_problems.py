"""Textbook problems on breaking boards.

Sources: a published problem (board that breaks at 800 N and 12 mm, hand of 0.50 kg: 4.8 J, 4.382 m/s, mean
force 400 N); Serway and Jewett, Physics for Scientists and Engineers, 9th edition, chapter 12, problem 58
(1.00 kg from 10 to 1 m/s in 2.00 ms: 4500 N; over 1 cm x 10 cm 4.5 MPa, above 3.6 MPa of shear strength: it
breaks), both seen in answers; Halliday and Resnick, Fundamentals of Physics, sample problem (fist 0.70 kg,
board 0.14 kg, block 3.2 kg: seen; stiffnesses 4.1e4 and 2.6e6 N/m, deflections 16 and 1.1 mm: value from
memory).
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from tameshi.rig import expected_strike
from tameshi.target.breaking import energy_to_break, speed_to_break, typed_strike
from tests.published.as_printed import as_printed


def test_a_board_that_breaks_at_800_newtons_and_12_millimetres() -> None:
    energy = energy_to_break(800.0, 800.0 / 0.012)
    assert energy == as_printed("4.8")
    assert speed_to_break(energy, 0.5, 0.0) == as_printed("4.382")
    assert energy / 0.012 == pytest.approx(400.0)


def test_a_hand_stopped_in_two_milliseconds() -> None:
    # a half-sine as long, of the peak that has the momentum of the problem, 1.00 kg times 9 m/s
    length = 2.00e-3
    peak = 0.5 * math.pi * 1.00 * (10.0 - 1.0) / length
    strike = typed_strike(expected_strike(f"{peak!r} N", f"{length!r} s"), mass=1.00)
    assert strike.course is not None
    impulse = np.trapezoid(strike.course.force, strike.course.time)
    mean = float(impulse) / length
    assert mean == pytest.approx(4500.0, rel=1e-5)
    assert 1e-6 * mean / (0.01 * 0.10) == as_printed("4.5")
    assert mean / (0.01 * 0.10) > 3.6e6
    # it stops the kilogram and throws it back as fast: half of it does the stopping
    assert strike.speed == pytest.approx(0.5 * impulse / 1.00, rel=1e-5)


def test_a_board_and_a_block() -> None:
    board = energy_to_break(4.1e4 * 0.016, 4.1e4)
    block = energy_to_break(2.6e6 * 0.0011, 2.6e6)
    assert board == as_printed("5.248")
    assert block == as_printed("1.573")
    assert speed_to_break(board, 0.70, 0.14) == as_printed("4.242")
    assert speed_to_break(block, 0.70, 3.2) == as_printed("5.004")


def test_the_heavy_block_takes_less_energy_and_more_speed() -> None:
    assert speed_to_break(1.573, 0.70, 3.2) > speed_to_break(5.248, 0.70, 0.14)
