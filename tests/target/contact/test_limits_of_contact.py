import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tameshi.errors import WrongUseError
from tameshi.target.contact import (
    Body,
    DissipativeContact,
    Distribution,
    Layer,
    damping_for,
    indent,
    press,
    punch,
    restitution,
    squeeze,
    strike_elastically,
)

FLAT = Body(modulus=3e6, poisson=0.3)


@given(st.floats(1.0, 1e4), st.floats(0.005, 0.2))
def test_pressing_and_squeezing_are_one(force, radius):
    ball = Body(modulus=2e6, poisson=0.45, radius=radius)
    contact = press(ball, FLAT, force)
    again = squeeze(ball, FLAT, contact.approach)
    assert again.force == pytest.approx(force)
    assert contact.peak_pressure == pytest.approx(1.5 * contact.mean_pressure)
    # area as F^(2/3), mean pressure as F^(1/3)
    heavier = press(ball, FLAT, 8.0 * force)
    assert heavier.radius == pytest.approx(2.0 * contact.radius)
    assert heavier.mean_pressure == pytest.approx(2.0 * contact.mean_pressure)


@given(st.floats(1e-4, 0.02))
def test_energy_in_a_contact_is_the_work_done(approach):
    ball = Body(modulus=2e6, poisson=0.45, radius=0.05)
    depth = approach * np.linspace(0.0, 1.0, 2001)[1:] ** 2
    force = [squeeze(ball, FLAT, float(one)).force for one in depth[::100]]
    work = np.trapezoid([0.0, *force], [0.0, *depth[::100]])
    assert squeeze(ball, FLAT, float(depth[1900])).energy == pytest.approx(work, rel=0.02)


@pytest.mark.parametrize(
    "impossible",
    [
        lambda: Body(modulus=0.0, poisson=0.3),
        lambda: Body(modulus=1e6, poisson=0.6),
        lambda: Body(modulus=1e6, poisson=0.3, radius=0.0),
        lambda: squeeze(FLAT, Body(modulus=1e6, poisson=0.3, radius=0.1), 0.0),
        lambda: strike_elastically(FLAT, Body(modulus=1e6, poisson=0.3, radius=0.1), 1.0, 0.0),
        lambda: indent(Layer(modulus=1e6, thickness=0.01), 0.05, 0.0),
        lambda: indent(Layer(modulus=1e6, thickness=0.01), 0.05, 0.02),
        lambda: punch(0.0, 1e6, 0.001),
        lambda: Distribution(-1.0),
        lambda: DissipativeContact(stiffness=-1.0),
        lambda: restitution(-0.1),
        lambda: damping_for(1.1),
    ],
)
def test_what_cannot_be(impossible):
    with pytest.raises(WrongUseError):
        impossible()


def test_bodies_never_pull():
    contact = DissipativeContact(stiffness=1e4, exponent=1.0, dissipation=0.5)
    assert contact.force(0.01, -10.0) == 0.0
    assert contact.force(-0.01, 1.0) == 0.0
    assert contact.force(0.01, 0.0) == pytest.approx(100.0)
