"""What a mass weighs in air.

Source: OIML D 28:2004 (conventional value of the result of weighing in air: 8000 kg/m3, air of 1.2 kg/m3),
value from memory; the weighing equation is that of JCGM 101:2008, 9.3. The figures are derived from both.
"""

import pytest

from tameshi.rig import local_gravity, weight_of_mass
from tests.published.as_printed import as_printed

AIR, CONVENTIONAL = 1.2, 8000.0


@pytest.mark.parametrize("density", [2000.0, 7200.0, 7850.0, 8000.0, 11_340.0])
def test_what_scales_show_weighs_the_same_whatever_it_is_made_of(density):
    # derived: true mass = conventional (1 - 1.2/8000) / (1 - 1.2/density); weight = g m (1 - 1.2/density)
    true_mass = (1.0 - AIR / CONVENTIONAL) / (1.0 - AIR / density)
    weight = 9.80665 * true_mass * (1.0 - AIR / density)
    assert weight_of_mass(local_gravity(9.80665)).value == pytest.approx(weight, rel=1e-12)


def test_a_hundred_kilograms_weigh_fifteen_hundredths_of_a_newton_less_than_in_a_vacuum():
    weight = 100.0 * weight_of_mass(local_gravity(9.80665)).value
    assert 980.665 - weight == as_printed("0.147")


@pytest.mark.parametrize("density", [2000.0, 7200.0, 11_340.0])
@pytest.mark.parametrize("air", [0.95, 1.1, 1.3])
def test_other_air_is_within_what_is_allowed(density, air):
    true_mass = (1.0 - AIR / CONVENTIONAL) / (1.0 - AIR / density)
    found = weight_of_mass(local_gravity(9.80665))
    weight = 9.80665 * true_mass * (1.0 - air / density)
    assert abs(found.value - weight) <= found.u * 3**0.5


def test_a_gravity_nobody_stated_is_the_larger_doubt():
    # derived: 0.3 % and 0.013 % over sqrt 3
    found = weight_of_mass(local_gravity())
    assert found.u / found.value == pytest.approx((0.003**2 + 0.00013**2) ** 0.5 / 3**0.5, rel=1e-9)
    assert set(found.budget) == {"local gravity", "known loads"}
