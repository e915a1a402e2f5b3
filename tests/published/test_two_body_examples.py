"""Two bodies on a spring: published problems and worked cases.

T4: studysoup.com/tsg/9718, a board that breaks at 800 N and 12 mm under a hand of 0.50 kg. T5: Serway, 9th
edition, chapter 12, problem 58 (studysmarter): 1.00 kg from 10 to 1 m/s in 2.00 ms, 4500 N. T6: Halliday and
Resnick, sample problem of a fist on board and block (masses seen, stiffness and bending from memory). T1, T2
and T3 are worked out from F = v sqrt(k mu), T = pi sqrt(mu/k), J = (1 + e) mu v; T2 with the means of T. J.
Walilko, D. C. Viano, C. A. Bir, British Journal of Sports Medicine 39, 710 (2005). Transfer: ratios of the
same formulas for the standard's parameters.
"""

import math

import pytest

from tameshi.reference import row
from tameshi.target.transfer import WALL, collide, passed_on, reduced_mass
from tests.published.as_printed import as_printed


def test_a_punch_on_a_wall_and_on_a_free_mass():
    wall = collide(2.9, WALL, 9.14, 80e3)
    assert wall.peak_force == as_printed("4402.4")
    assert 1e3 * wall.duration == as_printed("18.915")
    assert wall.impulse == as_printed("53.012")
    assert 1e3 * wall.depth == as_printed("55.03")
    assert wall.energy == as_printed("121.13")
    free = collide(2.9, 4.4, 9.14, 80e3)
    assert free.reduced_mass == as_printed("1.74795")
    assert free.peak_force == as_printed("3417.9")
    assert 1e3 * free.duration == as_printed("14.685")
    assert free.impulse == as_printed("31.952")
    assert free.speed == as_printed("7.262")
    assert free.energy == as_printed("73.01")
    assert free.peak_force / wall.peak_force == as_printed("0.77636")


def test_the_same_with_a_restitution():
    free = collide(2.9, 4.4, 9.14, 80e3, restitution=0.3)
    assert free.impulse == as_printed("20.769")
    assert free.speed == as_printed("4.720")
    assert free.lost == as_printed("66.44")


def test_olympic_boxers_hang_together():
    mass = reduced_mass(2.9, 4.4)
    stiffness = (3427.0 / 9.14) ** 2 / mass
    assert 1e-3 * stiffness == as_printed("80.43")
    free = collide(2.9, 4.4, 9.14, stiffness)
    assert free.peak_force == pytest.approx(3427.0)
    assert 1e3 * free.duration == as_printed("14.65")
    # the reported mean peak is 58 g: a head is not one rigid mass
    assert free.peak_force / 4.4 / 9.80665 == as_printed("79.4")


def test_a_round_case():
    free = collide(2.0, 4.0, 5.0, 50e3)
    assert free.reduced_mass == as_printed("1.33333")
    assert free.peak_force == as_printed("1290.994")
    assert 1e3 * free.duration == as_printed("16.2231")
    assert free.impulse == as_printed("13.3333")
    assert free.energy == as_printed("16.6667")


def test_a_board_at_800_newtons():
    hit = collide(0.50, WALL, 4.382, 800.0 / 0.012)
    assert as_printed("4.8") == 0.5 * 800.0 * 0.012
    assert hit.energy == as_printed("4.8")
    assert hit.peak_force == as_printed("800")
    assert math.sqrt(2.0 * 4.8 / 0.50) == as_printed("4.382")
    assert hit.energy / hit.depth == as_printed("400")


def test_a_kilogram_stopped_almost():
    # 10 to 1 m/s without turning round: less than a wall without rebound would take
    lost = collide(1.00, WALL, 10.0, 1e5, restitution=0.0).impulse - 1.00 * 1.0
    assert lost / 2.00e-3 == as_printed("4500")
    assert 1e-6 * lost / 2.00e-3 / (0.01 * 0.10) == as_printed("4.5")


@pytest.mark.parametrize(
    ("struck", "stiffness", "bent", "energy", "speed"),
    [(0.14, 4.1e4, 16e-3, "5.248", "4.242"), (3.2, 2.6e6, 1.1e-3, "1.573", "5.004")],
    ids=["board", "block"],
)
def test_a_fist_on_board_and_block(struck, stiffness, bent, energy, speed):
    needed = 0.5 * stiffness * bent**2
    assert needed == as_printed(energy)
    # stuck together first, then bending: the energy left after that has to do
    meeting = math.sqrt(2.0 * needed * (0.70 + struck)) / 0.70
    assert meeting == as_printed(speed)
    stuck = collide(0.70, struck, meeting, stiffness, restitution=0.0)
    assert 0.5 * 0.70 * meeting**2 - stuck.lost == pytest.approx(needed)


@pytest.mark.parametrize(
    ("key", "printed"),
    [
        ("forehead, standard", "0.67"),
        ("face, standard", "0.61"),
        ("neck, standard", "0.39"),
        ("chest, standard", "0.56"),
        ("abdomen, standard", "0.40"),
        ("thigh, standard", "0.70"),
        ("lower leg, standard", "0.73"),
    ],
)
def test_what_the_standards_parts_would_feel(key, printed):
    part = row("body_parts", key)
    striker = 3427.0**2 / (2.9 * 9.14**2)
    assert 1e-3 * striker == as_printed("48")
    ratio = passed_on(2.9, part["mass"], striker, part["stiffness"])
    assert ratio == as_printed(printed)
    # the other way to the same: both collisions in full
    series = 1.0 / (1.0 / striker + 1.0 / part["stiffness"])
    free = collide(2.9, part["mass"], 9.14, series)
    assert free.peak_force / collide(2.9, WALL, 9.14, striker).peak_force == pytest.approx(ratio)


def test_bone_passes_most_of_it_on():
    assert passed_on(2.9, 4.4, 3427.0**2 / (2.9 * 9.14**2), 1800e3) == as_printed("0.77")
