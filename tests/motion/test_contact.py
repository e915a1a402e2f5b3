"""Contact is found where it was, whatever stops the hand; an arm that stops itself is no contact."""

import numpy as np
import pytest

from tameshi.demo.film_motion import Thrust, way_at
from tameshi.errors import UnmeasurableError, WrongUseError
from tameshi.motion import (
    Film,
    Sound,
    contact_at_frame,
    contact_from_flash,
    contact_from_sound,
    contact_from_stop,
)


def stop_of(thrust, rate, rng):
    times = np.arange(-thrust.lasts - 0.03, 0.05, 1.0 / rate) + rng.uniform(0, 1) / rate
    noise = 2e-4
    way = way_at(thrust, times) + noise * rng.standard_normal(len(times))
    return contact_from_stop(times, way, np.full(len(times), noise))


@pytest.mark.parametrize("rate", [120, 240, 960])
def test_the_interval_holds_contact(rate):
    rng = np.random.default_rng(rate)
    found = []
    for _ in range(80):
        thrust = Thrust(
            speed=rng.uniform(4, 12),
            reach=rng.uniform(0.4, 0.8),
            peak_at=rng.uniform(0.82, 1.1),
            contact=rng.uniform(0.006, 0.02),
            restitution=rng.uniform(0, 0.4),
        )
        found.append(stop_of(thrust, rate, rng))
    assert np.mean([one.earliest <= 0.0 <= one.latest for one in found]) > 0.88
    assert np.median([abs(one.time) for one in found]) < 0.5 / rate + 0.001


def test_an_arm_that_stops_itself_is_no_contact():
    times = np.arange(0.0, 0.4, 1 / 240)
    way = 0.6 * (times / 0.4 - np.sin(2 * np.pi * times / 0.4) / (2 * np.pi))  # speeds up as it slows down
    with pytest.raises(UnmeasurableError) as refused:
        contact_from_stop(times, way, np.full(len(times), 1e-4))
    assert refused.value.code == "contact-not-seen"


def test_a_film_that_ends_before_contact_says_so():
    times = np.arange(-0.1, -0.002, 1 / 240)
    with pytest.raises(UnmeasurableError) as refused:
        contact_from_stop(times, way_at(Thrust(), times), np.full(len(times), 1e-4))
    assert refused.value.code == "contact-not-seen"


def still(count=40):
    return Film(frames=np.full((count, 60, 80), 60, np.uint8), times=np.arange(count) / 240, first=11)


def test_a_named_frame_bounds_contact():
    found = contact_at_frame(still(), 20)
    assert (found.earliest, found.latest) == pytest.approx((8 / 240, 9 / 240))
    with pytest.raises(WrongUseError):
        contact_at_frame(still(), 11)
    with pytest.raises(WrongUseError):
        contact_at_frame(still(), 60)


def test_a_lamp_tells_contact():
    film = still()
    film.frames[25:, 26:34, 36:44] = 250
    found = contact_from_flash(film, np.array([40.0, 30.0]))
    assert found.earliest == pytest.approx(24 / 240)
    assert found.latest == pytest.approx(25 / 240)
    with pytest.raises(UnmeasurableError):
        contact_from_flash(film, np.array([5.0, 5.0]))
    with pytest.raises(WrongUseError):
        contact_from_flash(film, np.array([500.0, 5.0]))


def test_sound_arrives_late_by_the_way_it_went():
    rng = np.random.default_rng(3)
    samples = 0.001 * rng.standard_normal(48_000)
    beat = np.exp(-np.arange(2000) / 300.0) * np.sin(np.arange(2000))
    samples[24_000:26_000] += 0.5 * beat
    found = contact_from_sound(Sound(samples=samples, rate=48_000, start=0.0), 3.43)
    # 343 m/s: common practice, no source
    assert found.time == pytest.approx(0.5 - 0.01, abs=0.001)
    assert found.u > 0.008
    with pytest.raises(UnmeasurableError):
        contact_from_sound(Sound(samples=0.001 * rng.standard_normal(48_000), rate=48_000, start=0.0), 3.0)
