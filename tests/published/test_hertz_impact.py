"""The elastic impact of rounded bodies: constants of the theory and a worked case.

T = 2.87 (m^2/(R E*^2 v))^0.2: LIGGGHTS documentation, fix check/timestep/gran (printed as 2.87). The further
digits of 2.8683, 2.9433 = (4/5) sqrt(pi) Gamma(2/5)/Gamma(9/10) and 1.2827, and the shape 0.54361, follow
from the theory, worked out independently of this project's code. HI1: a steel ball of 10 mm radius at 1 m/s
on a flat of the same steel, worked out likewise.
"""

import math

import numpy as np
import pytest

from tameshi.target.contact import DURATION, FORCE, MEAN_OVER_PEAK, TURNS, Body, strike_elastically
from tests.published.as_printed import as_printed


@pytest.mark.parametrize(
    ("constant", "printed"),
    [
        (DURATION, "2.87"),
        (DURATION, "2.8683"),
        (TURNS, "2.943275"),
        (FORCE, "1.2827"),
        (MEAN_OVER_PEAK, "0.54361"),
    ],
)
def test_constants(constant, printed):
    assert constant == as_printed(printed)


def test_a_steel_ball_at_one_metre_a_second():
    ball = Body(modulus=210e9, poisson=0.3, radius=0.010)
    mass = 7850.0 * 4.0 / 3.0 * math.pi * 0.010**3
    assert mass == as_printed("0.032882")
    impact = strike_elastically(ball, Body(modulus=210e9, poisson=0.3), mass, 1.0)
    assert 1e6 * impact.duration == as_printed("69.110")
    assert 1e6 * impact.deepest.approach == as_printed("23.481")
    assert impact.deepest.force == as_printed("1750.47")
    assert 1e3 * impact.deepest.radius == as_printed("0.48457")
    assert 1e-6 * impact.deepest.peak_pressure == as_printed("3559.5")


def test_the_constants_put_the_case_together():
    ball = Body(modulus=2e6, poisson=0.45, radius=0.04)
    mass, speed, modulus = 0.7, 6.0, 2e6 / (1.0 - 0.45**2)
    impact = strike_elastically(ball, Body(modulus=np.inf, poisson=0.0), mass, speed)
    assert impact.duration == pytest.approx(DURATION * (mass**2 / (0.04 * modulus**2 * speed)) ** 0.2)
    assert impact.deepest.force == pytest.approx(FORCE * mass**0.6 * speed**1.2 * 0.04**0.2 * modulus**0.4)
    assert impact.deepest.energy == pytest.approx(0.5 * mass * speed**2)
