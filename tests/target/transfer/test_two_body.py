import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tameshi.errors import WrongUseError
from tameshi.target.contact import DissipativeContact, damping_for, restitution
from tameshi.target.transfer import WALL, collide, follow_contact, in_series, passed_on
from tameshi.target.transfer.by_energy import Springs, meet

MASSES = st.floats(0.2, 80.0)
SPEEDS = st.floats(0.5, 20.0)
STIFFNESSES = st.floats(1e3, 1e7)
RESTITUTIONS = st.floats(0.0, 1.0)


@given(MASSES, MASSES, SPEEDS, STIFFNESSES, RESTITUTIONS)
def test_momentum_and_energy_are_kept_or_lost_as_said(striker, struck, speed, stiffness, e):
    met = collide(striker, struck, speed, stiffness, restitution=e)
    after = speed - met.impulse / striker
    assert met.impulse == pytest.approx(struck * met.speed)
    assert met.speed - after == pytest.approx(e * speed, abs=1e-9 * speed)
    before = 0.5 * striker * speed**2
    kept = 0.5 * striker * after**2 + 0.5 * struck * met.speed**2
    assert kept + met.lost == pytest.approx(before)
    assert 0.5 * stiffness * met.depth**2 == pytest.approx(met.energy)
    assert met.peak_force == pytest.approx(stiffness * met.depth)


@given(MASSES, SPEEDS, STIFFNESSES, RESTITUTIONS)
def test_a_mass_without_end_is_a_wall(striker, speed, stiffness, e):
    wall = collide(striker, WALL, speed, stiffness, restitution=e)
    heavy = collide(striker, 1e12, speed, stiffness, restitution=e)
    assert wall.reduced_mass == striker
    assert wall.speed == 0.0
    for name in ("peak_force", "duration", "depth", "impulse", "energy", "lost"):
        assert getattr(heavy, name) == pytest.approx(getattr(wall, name), rel=1e-9)


@given(MASSES, MASSES, STIFFNESSES, STIFFNESSES)
def test_a_free_soft_part_takes_less_than_the_wall(striker, struck, own, part):
    ratio = passed_on(striker, struck, own, part)
    assert 0.0 < ratio <= 1.0
    free = collide(striker, struck, 7.0, in_series(own, part))
    assert ratio == pytest.approx(free.peak_force / collide(striker, WALL, 7.0, own).peak_force)
    assert passed_on(striker, 1e12, own, 1e15) == pytest.approx(1.0)


@given(
    MASSES,
    MASSES,
    SPEEDS,
    STIFFNESSES,
    st.floats(0.2, 0.999),
    st.sampled_from([1.0, 1.5]),
)
@settings(max_examples=25, deadline=None)
def test_a_contact_followed_in_time_keeps_momentum_and_loses_what_it_should(
    striker, struck, speed, stiffness, e, exponent
):
    q = float(damping_for(e))
    contact = DissipativeContact(stiffness=stiffness, exponent=exponent, dissipation=q / (1.5 * speed))
    met = follow_contact(striker, struck, speed, contact)
    mu = striker * struck / (striker + struck)
    assert met.impulse == pytest.approx((1.0 + float(restitution(q))) * mu * speed, rel=1e-4)
    assert struck * met.struck_speed[-1] == pytest.approx(met.impulse, rel=1e-4)
    momentum = striker * met.striker_speed + struck * met.struck_speed
    assert momentum == pytest.approx(np.full(len(momentum), striker * speed), rel=1e-9)
    work = np.trapezoid(met.force * (met.striker_speed - met.struck_speed), met.time)
    assert work == pytest.approx(0.5 * mu * speed**2 * (1.0 - e**2), rel=1e-3, abs=1e-4 * mu * speed**2)
    # the other way to the same: by energy
    one = np.ones(1)
    springs = Springs(exponent=exponent, striker=stiffness * one, body=np.inf * one)
    quick = meet(mu * one, speed * one, q * one, springs)
    assert float(quick.peak_force[0]) == pytest.approx(float(met.force.max()), rel=3e-4)
    assert float(quick.duration[0]) == pytest.approx(met.duration, rel=1e-4)


@given(MASSES, SPEEDS, STIFFNESSES, STIFFNESSES)
@settings(max_examples=40, deadline=None)
def test_straight_springs_by_energy_are_the_closed_form(mass, speed, own, part):
    one = np.ones(1)
    springs = Springs(exponent=1.0, striker=own * one, body=part * one)
    quick = meet(mass * one, speed * one, 0.0 * one, springs)
    closed = collide(mass, WALL, speed, in_series(own, part))
    assert float(quick.peak_force[0]) == pytest.approx(closed.peak_force, rel=1e-5)
    assert float(quick.duration[0]) == pytest.approx(closed.duration, rel=1e-9)


@pytest.mark.parametrize("part", [2e3, 1e5, 1e8])
def test_a_hardening_spring_before_a_straight_one_against_integration(part):
    from scipy.integrate import solve_ivp
    from scipy.optimize import brentq

    own, mass, speed, q = 3e6, 1.8, 7.0, 0.8

    def elastic(depth: float) -> float:
        stiff = own * depth**1.5 + part * depth
        root: float = brentq(
            lambda force: (force / own) ** (2.0 / 3.0) + force / part - depth, 0.0, stiff + 1.0
        )
        return root

    def force(depth: float, closing: float) -> float:
        return elastic(depth) * (1.0 + q * closing / speed) if depth > 0.0 else 0.0

    def parted(_time, state):
        return state[0]

    parted.terminal, parted.direction = True, -1.0  # type: ignore[attr-defined]
    found = solve_ivp(
        lambda _t, state: [state[1], -force(state[0], state[1]) / mass],
        (0.0, 1.0),
        [0.0, speed],
        events=parted,
        rtol=1e-9,
        atol=1e-12,
        max_step=2e-4,
    )
    peak = max(force(depth, closing) for depth, closing in found.y.T)
    one = np.ones(1)
    quick = meet(mass * one, speed * one, q * one, Springs(exponent=1.5, striker=own * one, body=part * one))
    assert float(quick.peak_force[0]) == pytest.approx(peak, rel=2e-3)
    assert float(quick.duration[0]) == pytest.approx(float(found.t_events[0][0]), rel=1e-4)
    assert -found.y[1, -1] / speed == pytest.approx(float(restitution(q)), rel=1e-5)


@pytest.mark.parametrize(
    "changed",
    [{"striker": 0.0}, {"struck": -1.0}, {"speed": 0.0}, {"stiffness": 0.0}, {"restitution": 1.1}],
)
def test_collisions_that_cannot_be(changed):
    given_all = {"striker": 1.0, "struck": 2.0, "speed": 3.0, "stiffness": 4.0, "restitution": 0.5, **changed}
    e = given_all.pop("restitution")
    with pytest.raises(WrongUseError) as refused:
        collide(**given_all, restitution=e)
    assert refused.value.code == "wrong-collision"
    with pytest.raises(WrongUseError):
        follow_contact(0.0, math.inf, 1.0, DissipativeContact(stiffness=1.0))
