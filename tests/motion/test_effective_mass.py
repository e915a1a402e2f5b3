"""Mass, energy and restitution are those of momentum; what is not known stays not known."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tameshi.errors import UnmeasurableError, WrongUseError
from tameshi.motion import effective_mass
from tameshi.quantity import Missing, Quantity, Source
from tests.known import known


def quantity(value, unit, u):
    return Quantity(value, unit, {Source(unit, unit): u * value})


@given(st.floats(0.5, 6.0), st.floats(3.0, 15.0), st.floats(0.0, 1.0))
def test_momentum_gives_the_mass_back(mass, speed, e):
    impulse = quantity(mass * speed * (1.0 + e), "N s", 0.01)
    back = Quantity(e * speed, "m/s", {Source("back", "back"): 0.02})
    found = effective_mass(impulse, quantity(speed, "m/s", 0.02), back)
    assert known(found.mass).value == pytest.approx(mass)
    assert known(found.restitution).value == pytest.approx(e)
    # what the striker lost is the difference of kinetic energies
    assert known(found.energy_given).value == pytest.approx(0.5 * mass * speed**2 * (1.0 - e**2), abs=1e-9)
    assert found.limits[0] <= known(found.mass).value <= found.limits[1]


def test_an_unknown_rebound_leaves_a_factor_of_two():
    found = effective_mass(quantity(26.5, "N s", 1e-6), quantity(9.14, "m/s", 1e-6), None)
    assert isinstance(found.mass, Missing)
    assert found.limits == pytest.approx((26.5 / 18.28, 26.5 / 9.14), rel=1e-4)
    assert found.rebound == "unknown"


def test_bounds_of_the_rebound_are_in_the_budget():
    found = effective_mass(quantity(26.5, "N s", 0.01), quantity(9.14, "m/s", 0.02), (0.0, 3.0))
    assert found.rebound == "bounded"
    assert next(iter(known(found.mass).budget)) == "rebound within bounds"
    assert known(found.mass).low < 26.5 / 12.14 * 1.05
    assert known(found.mass).high > 26.5 / 9.14 * 0.9


@pytest.mark.parametrize("bounds", [(3.0, 1.0), (-1.0, 1.0), (0.0, 30.0)])
def test_bounds_that_cannot_be_are_refused(bounds):
    with pytest.raises(WrongUseError):
        effective_mass(quantity(26.5, "N s", 0.01), quantity(9.14, "m/s", 0.02), bounds)


def test_a_hand_that_does_not_slow_down_has_no_mass():
    with pytest.raises(UnmeasurableError):
        effective_mass(quantity(26.5, "N s", 0.01), quantity(9.0, "m/s", 0.02), quantity(-9.5, "m/s", 0.02))
