"""Readings at uneven times, with straight lines between: the figures say what that leaves in doubt."""

import numpy as np
import pytest
from numpy.typing import NDArray

from tameshi.demo.pulses import half_sine
from tameshi.errors import UnmeasurableError
from tameshi.force import Reduction, Trace, reduce_trace
from tameshi.quantity import Missing, Quantity
from tameshi.rig import conversion_by_scale
from tests.force.scenes import codes
from tests.known import known

PEAK, DURATION, START = 2000.0, 0.010, 0.2
RATE = 20_000.0
# a half-sine is above 5 % of its peak from arcsin(0.05)/pi of its duration on, and as long before its end
FOOT = DURATION * np.arcsin(0.05) / np.pi
TRUTH = {
    "peak_force": PEAK,
    "impulse": 2.0 / np.pi * PEAK * DURATION,
    "contact_duration": DURATION - 2.0 * FOOT,
    "rise_time": DURATION * (np.arcsin(0.9) - np.arcsin(0.1)) / np.pi,
    "time_to_peak": 0.5 * DURATION - FOOT,
}
Array = NDArray[np.float64]


def between(times: Array, force: Array) -> tuple[Array, float]:
    """Return straight lines through readings, as samples at a high rate, and the widest step."""
    grid = np.arange(times[0], times[-1], 1.0 / RATE)
    return np.interp(grid, times, force), float(np.diff(times).max())


def measured(samples: Array, spacing: float | None) -> Reduction:
    conversion = conversion_by_scale(1.0, origin="newtons in the file", identity="test")
    return reduce_trace(Trace(samples, RATE, "N", spacing=spacing), conversion)


def uneven_times(seed: int, mean: float) -> Array:
    times: Array = np.cumsum(np.random.default_rng(seed).choice([0.4, 1.0, 1.6], round(0.4 / mean)) * mean)
    return times


@pytest.mark.parametrize("mean", [0.00025, 0.0005])
def test_intervals_hold_the_truth_however_few_readings_the_lines_go_through(mean: float) -> None:
    held = dict.fromkeys(TRUTH, 0)
    for seed in range(20):
        times = uneven_times(seed, mean)
        rng = np.random.default_rng(1000 + seed)
        force = half_sine(PEAK, DURATION, START)(times) + rng.normal(0.0, 5.0, len(times))
        (strike,) = measured(*between(times, force)).strikes
        for name, truth in TRUTH.items():
            figure = known(getattr(strike, name))
            held[name] += figure.low <= truth <= figure.high
    assert min(held.values()) >= 18, held  # 95 % of 20 is 19


def test_the_same_samples_taken_for_an_even_recording_promise_too_much() -> None:
    times = uneven_times(3, 0.0005)
    samples, spacing = between(times, half_sine(PEAK, DURATION, START)(times))
    honest, naive = (measured(samples, one).strikes[0] for one in (spacing, None))
    for name in ("peak_force", "contact_duration", "rise_time", "time_to_peak"):
        wide, narrow = (known(getattr(one, name)) for one in (honest, naive))
        assert wide.value == narrow.value
        assert wide.high - wide.low > narrow.high - narrow.low
    assert "undersampled" in codes(honest.flags)
    assert "undersampled" not in codes(naive.flags)


def test_lines_over_steps_too_wide_for_a_strike_are_no_recording_of_it() -> None:
    times = np.cumsum(np.random.default_rng(1).choice([0.002, 0.006], 100))
    samples, spacing = between(times, half_sine(PEAK, DURATION, START)(times))
    with pytest.raises(UnmeasurableError) as caught:
        measured(samples, spacing)
    assert caught.value.code == "recording-too-slow"
    assert "At 166.667 samples a second" in caught.value.message  # one in 6 ms


@pytest.mark.parametrize("gap", [slice(4080, 4100), slice(4040, 4060)])
def test_a_gap_in_a_contact_leaves_bounds_of_what_was_seen(gap: slice) -> None:
    time = np.arange(20_000) / RATE
    force = half_sine(PEAK, DURATION, START)(time)
    samples = force + np.random.default_rng(1).normal(0.0, 2.0, len(time))
    samples[gap] = np.nan
    (strike,) = measured(samples, None).strikes
    seen = np.delete(force, np.arange(gap.start, gap.stop))
    assert isinstance(strike.peak_force, Missing)
    assert isinstance(strike.impulse, Missing)
    assert "samples are missing" in strike.impulse.why
    # less what the scale leaves in doubt
    assert 0.97 * seen.max() < strike.peak_force.at_least < seen.max()
    assert 0.97 * seen.sum() / RATE < strike.impulse.at_least < seen.sum() / RATE
    assert not isinstance(strike.mean_force, Quantity)
