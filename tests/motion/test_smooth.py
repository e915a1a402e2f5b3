"""Smoothing: covariances against simulation, and intervals that hold the truth."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tameshi.demo.film_motion import Thrust, way_at
from tameshi.motion import smooth_motion
from tameshi.motion.smooth import _overlap


def test_the_covariance_is_that_of_noise_integrated_four_times():
    """Derived in another form: by numerical integration of the kernels."""
    u = np.linspace(0.0, 1.0, 200_001)
    for s, t, a, b in ((0.3, 0.8, 3, 3), (0.8, 0.3, 3, 2), (0.5, 0.9, 3, 1), (0.9, 0.5, 3, 1)):
        kernel = np.maximum(s - u, 0.0) ** a * np.maximum(t - u, 0.0) ** b
        scale = {3: 6.0, 2: 2.0, 1: 1.0}
        by_sum = np.trapezoid(np.where(u <= min(s, t), kernel, 0.0), u) / scale[a] / scale[b]
        assert _overlap(np.array([s]), np.array([t]), a, b)[0, 0] == pytest.approx(by_sum, rel=1e-4)


@given(st.floats(-20.0, 20.0), st.floats(-200.0, 200.0), st.floats(-1.0, 1.0))
@settings(max_examples=20, deadline=None)
def test_a_cubic_without_noise_comes_back(speed, change, start):
    times = np.arange(12) / 240
    places = start + speed * times + 0.5 * change * times**2 + 30.0 * times**3
    found = smooth_motion(times, places, np.full(12, 1e-5), np.array([0.05]))
    assert found.speed[0] == pytest.approx(speed + change * 0.05 + 90.0 * 0.05**2, abs=0.02)


@pytest.mark.parametrize("rate", [240, 960])
def test_nine_in_ten_speeds_at_contact_or_more_lie_in_their_interval(rate):
    rng = np.random.default_rng(20)
    holds = []
    for _ in range(60):
        thrust = Thrust(
            speed=rng.uniform(4, 12),
            reach=rng.uniform(0.4, 0.8),
            peak_at=rng.uniform(0.8, 1.1),
            ripple=rng.uniform(0, 0.02),
            ripple_rate=rng.uniform(8, 20),
        )
        count = min(round(0.08 * rate), 40)
        times = -rng.uniform(0.1, 1.2) / rate - np.arange(count)[::-1] / rate
        noise = rng.uniform(1e-4, 3e-4)
        places = way_at(thrust, times) + noise * rng.standard_normal(count)
        found = smooth_motion(times, places, np.full(count, noise), np.array([0.0]))
        holds.append(abs(found.speed[0] - thrust.speed) < 1.96 * found.u_speed[0])
    assert np.mean(holds) > 0.9


def test_places_after_contact_are_never_asked():
    """What follows the last place that is handed in cannot matter: it is not there."""
    thrust = Thrust()
    times = -np.arange(1, 15)[::-1] / 240
    places = way_at(thrust, times)
    found = smooth_motion(times, places, np.full(14, 2e-4), np.array([0.0]))
    assert found.speed[0] == pytest.approx(thrust.speed, abs=2.5 * found.u_speed[0])
    assert found.u_speed[0] < 0.03 * thrust.speed
