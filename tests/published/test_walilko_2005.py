"""Straight punches of seven Olympic boxers: effective mass and speed go together, and are drawn together.

Source: Walilko, Viano and Bir (2005), Br J Sports Med 39:710, abstract and table 2 (seen): hand velocity 9.14
(2.06) m/s, effective mass 2.9 (2.0) kg, correlation of both -0.758. Impulse and energy at the means: derived.
"""

import numpy as np
import pytest

from tameshi.motion import draw_strikers, effective_mass
from tameshi.quantity import Quantity
from tests.published.as_printed import as_printed

COUNT = 200_000


@pytest.fixture(scope="module")
def drawn():
    return draw_strikers("punch", COUNT, np.random.default_rng(5))


def test_draws_have_the_published_means_and_spreads(drawn):
    mass, speed = drawn
    # slack: five standard errors of the drawing, whose spread is lognormal and so unsteady in its own spread
    assert mass.mean() == as_printed("2.9", slack=0.02)
    assert mass.std() == as_printed("2.0", slack=0.05)
    assert speed.mean() == as_printed("9.14", slack=0.02)
    assert speed.std() == as_printed("2.06", slack=0.02)


def test_draws_have_the_published_correlation(drawn):
    assert np.corrcoef(*drawn)[0, 1] == as_printed("-0.758", slack=0.01)


def test_drawing_both_apart_would_scatter_the_momentum_too_much(drawn):
    """Derived: with r < 0 the product's relative variance falls by about 2 r times both spreads."""
    mass, speed = drawn
    apart = mass * np.random.default_rng(6).permutation(speed)
    together = mass * speed
    assert together.std() / together.mean() < 0.8 * apart.std() / apart.mean()


def test_momentum_of_the_means_gives_the_mean_mass_back():
    # 2.9 kg at 9.14 m/s: 26.51 N s and 121.1 J (derived)
    found = effective_mass(Quantity(26.51, "N s"), Quantity(9.14, "m/s"), Quantity(0.0, "m/s"))
    assert isinstance(found.mass, Quantity)
    assert isinstance(found.energy, Quantity)
    assert found.mass.value == as_printed("2.9")
    # slack: the impulse is printed to 0.005 N s, and energy is half of it times the speed
    assert found.energy.value == as_printed("121.1", slack=0.005 * 0.5 * 9.14)
    # a whole rebound would halve the mass
    unknown = effective_mass(Quantity(26.51, "N s"), Quantity(9.14, "m/s"), None)
    assert unknown.limits == pytest.approx((1.45, 2.9), abs=0.005)
