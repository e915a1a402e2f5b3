import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tameshi.errors import UnmeasurableError, WrongUseError
from tameshi.quantity import Missing, Quantity, Source, exact
from tameshi.reference import row
from tameshi.rig import Bounce, Fall, agreement, air_share, check_drop, local_gravity
from tests.rig.drops import GRAVITY, bouncing, crossings


def quantity(value, unit, u, name):
    return Quantity(value, unit, {Source(name, name): u})


def fall(mass=2.0, height=0.4, u_mass=0.002, u_height=0.002):
    high = None if height is None else quantity(height, "m", u_height, "height")
    return Fall(mass=quantity(mass, "kg", u_mass, "mass"), height=high, gravity=local_gravity(GRAVITY))


def read(met, scale=1.0, u=0.005):
    calibration = Source("calibration", "calibration")
    edges = [crossings(begin, end) for begin, end, _ in met]
    return [
        Bounce(index=place, onset=onset, end=end, impulse=Quantity(scale * j, "N s", {calibration: u * j}))
        for place, ((onset, end), (_, _, j)) in enumerate(zip(edges, met, strict=True), start=1)
    ]


def check(*given: Any, **named: Any) -> Any:
    """Return what check_drop does, for tests that know what it holds."""
    return check_drop(*given, **named)


def codes(found):
    return {flag.code for flag in found.flags}


@given(st.floats(0.2, 20.0), st.floats(0.1, 2.0), st.floats(0.3, 0.9), st.integers(2, 4), st.floats(0.9, 1.1))
def test_whatever_falls_the_ratio_is_that_of_the_chain(mass, height, restitution, count, scale):
    met = bouncing(mass, height, restitution, count=count)[1]
    found = check(read(met, scale), fall(mass, height), rate=20_000.0)
    assert found.ratio.value == pytest.approx(scale, rel=1e-9)
    usable = [one for one in found.bounces if isinstance(one.ratio, Quantity)]
    assert all(one.ratio.value == pytest.approx(scale, rel=1e-9) for one in usable)
    assert usable[0].restitution.value == pytest.approx(restitution, rel=1e-9)


def test_momentum_of_a_first_bounce_by_hand():
    # derived: 2 kg from 0.4 m arrive with sqrt(2 g h) = 2.80095 m/s; 8 ms from 5 % to 5 % are 8.672 ms of
    # contact, and 0.3 s between them a flight of 0.299328 s, which means 1.467702 m/s after; with 2 kg x g x
    # 8.672 ms of weight 2 (2.80095 + 1.467702) + 0.170087 = 8.707397 N s
    bounces = [
        Bounce(index=1, onset=0.1, end=0.108, impulse=exact(8.7, "N s")),
        Bounce(index=2, onset=0.408, end=0.416, impulse=exact(4.0, "N s")),
    ]
    found = check(bounces, fall(), rate=20_000.0)
    first = found.bounces[0]
    assert first.flight.before.value == pytest.approx(math.sqrt(2 * GRAVITY * 0.4))
    assert first.flight.after.value == pytest.approx(1.467702, abs=1e-6)
    assert first.flight.contact.value == pytest.approx(0.008672, rel=1e-9)
    assert first.expected.value == pytest.approx(8.707397, abs=1e-5)


@pytest.mark.parametrize(("power", "share"), [(1.0, 0.01645), (1.5, 0.04744), (2.0, 0.08382)])
def test_feet_that_a_chain_does_not_see_lie_within_what_is_allowed(power, share):
    # derived: sin^p crosses 5 % at asin(0.05^(1/p)) / pi of its length
    crossed = math.asin(0.05 ** (1.0 / power)) / math.pi
    assert crossed / (1.0 - 2.0 * crossed) == pytest.approx(share, abs=1e-5)
    feet = row("drops", "contact")
    assert abs(share - feet["value"]) <= feet["half_width"] + 1e-9


def test_without_a_rebound_bounds_are_stated_and_no_ratio():
    met = bouncing(2.0, 0.4, 0.5, count=1)[1]
    found = check(read(met), fall(), rate=20_000.0)
    only = found.bounces[0]
    arriving = 2.0 * math.sqrt(2 * GRAVITY * 0.4)
    assert isinstance(only.ratio, Missing)
    assert only.bounds[0] == pytest.approx(arriving + 2.0 * GRAVITY * 0.008, rel=0.02)
    assert only.bounds[1] == pytest.approx(2.0 * arriving + 2.0 * GRAVITY * 0.008, rel=0.02)
    assert only.is_within
    assert codes(found) == {"no-rebound"}


def test_a_reading_no_rebound_allows_is_told():
    met = bouncing(2.0, 0.4, 0.5, count=1)[1]
    found = check(read(met, scale=2.5), fall(), rate=20_000.0)
    assert found.bounces[0].is_within is False
    assert "outside-bounds" in codes(found)


def test_pairs_of_bounces_do_without_a_height():
    met = bouncing(2.0, 0.4, 0.7, count=4)[1]
    found = check(read(met, 0.98), fall(height=None), rate=20_000.0)
    assert [isinstance(one.ratio, Quantity) for one in found.bounces] == [False, True, True, False]
    assert found.ratio.value == pytest.approx(0.98, rel=1e-9)
    assert found.air is None


def test_a_second_drop_is_told_from_a_rebound():
    first = bouncing(2.0, 0.4, 0.6, count=2)[1]
    again = bouncing(2.0, 0.4, 0.6, count=2, start=5.0)[1]
    found = check(read(first + again), fall(), rate=20_000.0)
    assert [one.flight.drop for one in found.bounces] == [1, 1, 2, 2]
    assert found.ratio.value == pytest.approx(1.0, rel=1e-9)


def test_strikes_left_out_leave_no_flight_between():
    met = bouncing(2.0, 0.4, 0.7, count=3)[1]
    bounces = read(met)
    found = check([bounces[0], bounces[2]], fall(), rate=20_000.0)
    assert found.bounces[0].flight.after is None


def test_a_wrong_height_shows_as_a_rebound_that_cannot_be():
    met = bouncing(2.0, 0.4, 0.9, count=2)[1]
    found = check(read(met), fall(height=0.31), rate=20_000.0)
    assert "rebound-too-high" in codes(found)


def test_one_bounce_that_disagrees_is_named():
    met = bouncing(2.0, 0.4, 0.8, count=4)[1]
    bounces = read(met)
    bent = Bounce(index=2, onset=met[1][0], end=met[1][1], impulse=bounces[1].impulse * 0.9)
    found = check([bounces[0], bent, *bounces[2:]], fall(), rate=20_000.0)
    assert "bounces-disagree" in codes(found)


def test_onset_and_end_hardly_matter_between_flights():
    # derived: flights count half on either side and the contact whole, so a shift of both edges cancels
    met = bouncing(2.0, 0.4, 0.8, count=3)[1]
    shifted = [(begin + 1e-4, end - 1e-4, j) for begin, end, j in met]
    one = check(read(met), fall(height=None), rate=20_000.0).ratio
    other = check(read(shifted), fall(height=None), rate=20_000.0).ratio
    assert other.value == pytest.approx(one.value, rel=1e-9)


def test_the_budget_names_everything():
    met = bouncing(2.0, 0.4, 0.6, count=2)[1]
    conditions = Fall(
        mass=quantity(2.0, "kg", 0.002, "mass"),
        height=quantity(0.4, "m", 0.002, "height"),
        gravity=local_gravity(),
    )
    found = check(read(met), conditions, rate=20_000.0)
    assert set(found.ratio.budget) == {
        "calibration", "mass", "height", "local gravity", "timing", "air drag"
    }  # fmt: skip


def test_a_missing_impulse_stays_missing():
    met = bouncing(2.0, 0.4, 0.6, count=2)[1]
    bounces = read(met)
    gone = Bounce(index=1, onset=met[0][0], end=met[0][1], impulse=Missing("N s", "clipped"))
    found = check([gone, bounces[1]], fall(), rate=20_000.0)
    assert found.bounces[0].ratio.why == "clipped"


def test_words_of_agreement():
    low = quantity(0.988, "1", 0.008, "x")
    assert agreement(low) == "the chain reads 1.2 % low; the 95 % interval 0.972 to 1.004 holds 1"
    assert "high" in agreement(quantity(1.05, "1", 0.01, "x"))
    assert "does not hold 1" in agreement(quantity(1.05, "1", 0.01, "x"))


def test_air_takes_little_of_a_compact_body():
    # derived: 2 kg no lighter than water have a section of 0.002^(2/3) = 0.01587 m2; over 1 m
    # 1.2 x 1.1 x 0.01587 / (4 x 2) = 0.262 %
    assert air_share(2.0, 1.0) == pytest.approx(0.00262, rel=2e-3)


@pytest.mark.parametrize(("mass", "height", "code"), [(0.0, 0.4, "wrong-mass"), (2.0, -0.1, "wrong-height")])
def test_a_fall_that_cannot_be(mass, height, code):
    with pytest.raises(WrongUseError) as caught:
        check(read(bouncing(2.0, 0.4, 0.5)[1]), fall(mass, height), rate=20_000.0)
    assert caught.value.code == code


def test_nothing_fell():
    with pytest.raises(UnmeasurableError):
        check([], fall(), rate=20_000.0)


def test_gravity_is_that_of_the_earth():
    assert local_gravity().u == pytest.approx(0.003 * GRAVITY / math.sqrt(3.0))
    assert local_gravity(9.79).u == 0.0
    with pytest.raises(WrongUseError):
        local_gravity(1.62)
