"""Time stamps of every kind: the readings hold the true times, so that samples tell where they were put."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from tameshi.errors import UnreadableError
from tameshi.readers import Recording, read_recording
from tests.readers.files import text
from tests.readers.test_formats import npz

Array = NDArray[np.float64]
RNG = np.random.default_rng(7)
EVEN = np.arange(20_000) / 20_000.0


def recording_of(stamps: Array, values: Array | None = None) -> Recording:
    readings = stamps if values is None else values
    lines = [f"{stamp:.9g},{value:.12g}" for stamp, value in zip(stamps.tolist(), readings, strict=True)]
    return read_recording(text("time (s),true (V)", lines), "stamps.csv")


def misplaced(recording: Recording, stamps: Array) -> float:
    """Return how far samples lie from where their readings were taken, but for one common shift. [s]"""
    samples = recording.channels[0].samples
    assert recording.rate is not None
    off = samples - (stamps[0] + np.arange(len(samples)) / recording.rate)
    return float(np.nanmax(np.abs(off - np.nanmedian(off))))


def told(recording: Recording) -> list[str]:
    return [flag.code for flag in recording.flags]


def down(times: Array, digit: float) -> Array:
    stamps: Array = np.floor(times / digit + 1e-6) * digit
    return stamps


def block_stamps(times: Array, size: int) -> Array:
    arrival = RNG.uniform(0.0, 1e-3, len(times) // size + 1)
    block = np.arange(len(times)) // size
    stamps: Array = times[block * size] + size / 20_000.0 + arrival[block]
    return stamps


PASSED_OVER = {
    "to a millisecond, downwards": (EVEN, down(EVEN, 1e-3)),
    "to a millisecond, to the nearest": (EVEN, np.round(EVEN, 3)),
    "to a tenth of a millisecond": (EVEN, np.round(EVEN, 4)),
    "to whole seconds": (EVEN * 5.0, np.floor(EVEN * 5.0)),
    "to six digits, coarser from 10 s on": (EVEN + 9.7, np.array([float(f"{t:.6g}") for t in EVEN + 9.7])),
    "stored in four bytes": (60.0 * EVEN + 10.0, (60.0 * EVEN + 10.0).astype(np.float32).astype(float)),
    "blocks stamped when they arrived": (EVEN, block_stamps(EVEN, 64)),
}


@pytest.mark.parametrize("name", list(PASSED_OVER))
def test_rows_on_an_even_clock_are_counted_whatever_their_stamps_were_rounded_to(name: str) -> None:
    times, stamps = PASSED_OVER[name]
    recording = recording_of(stamps, times)
    assert len(recording.channels[0].samples) == len(times)
    assert misplaced(recording, stamps) < 5e-4
    assert recording.rate == pytest.approx((len(times) - 1) / (times[-1] - times[0]), rel=1e-3)
    assert told(recording) == []
    assert recording.channels[0].spacing is None


@pytest.mark.parametrize("digit", [1e-3, 1e-4])
def test_a_gap_between_rounded_stamps_stays_open(digit: float) -> None:
    times = np.delete(EVEN, np.arange(7000, 7457))
    recording = recording_of(down(times, digit), times)
    assert told(recording) == ["gap"]
    assert recording.flags[0].message.startswith("About 45")
    missing = np.flatnonzero(np.isnan(recording.channels[0].samples))
    assert missing[0] == 7000
    assert len(missing) == pytest.approx(457, abs=digit * 20_000.0)
    assert misplaced(recording, times) < digit


def test_a_block_that_never_arrived_is_a_gap() -> None:
    kept = np.delete(np.arange(len(EVEN)), np.arange(64 * 40, 64 * 41))
    recording = recording_of(block_stamps(EVEN, 64)[kept], EVEN[kept])
    assert told(recording) == ["gap"]
    assert np.isnan(recording.channels[0].samples).sum() == pytest.approx(64, abs=20)  # 1 ms of arrival


def test_a_sample_clock_that_wanders_from_the_stamps_is_counted_and_told() -> None:
    times = EVEN + 1.5e-3 * np.sin(2.0 * np.pi * EVEN)
    recording = recording_of(down(times, 1e-3), times)
    assert told(recording) == ["irregular-sampling"]
    assert "the stamps wander by up to 0.00" in recording.flags[0].message
    assert misplaced(recording, times) < 2e-3


def test_rows_at_no_steady_rate_within_coarse_stamps_become_means() -> None:
    # one to three readings a millisecond, as a program prints them when it finds the time
    times = np.cumsum(RNG.choice([0.3e-3, 0.5e-3, 1.0e-3], 8000))
    recording = recording_of(down(times, 1e-3), times)
    assert told(recording) == ["irregular-sampling"]
    assert "rows share" in recording.flags[0].message
    assert "the mean of each was taken" in recording.flags[0].message
    assert recording.rate == pytest.approx(1000.0)
    assert misplaced(recording, times) < 1e-3


def test_readings_on_no_clock_stay_at_their_own_times() -> None:
    times: Array = np.cumsum(RNG.uniform(0.2e-3, 1.8e-3, 5000)).round(7)
    recording = recording_of(times)
    assert told(recording) == ["irregular-sampling"]
    assert misplaced(recording, times) < 1e-9
    assert recording.channels[0].spacing == pytest.approx(np.diff(times).max())
    assert f"5000 different times, {np.diff(times).min():.3g} s" in recording.flags[0].message


def test_no_reading_is_moved_where_all_stamps_lie_on_a_grid() -> None:
    times = np.cumsum(RNG.choice([2.0, 3.0, 5.0, 9.0], 3000)) * 1e-4
    values = RNG.normal(size=3000)
    recording = recording_of(times, values)
    assert recording.rate == pytest.approx(1e4)
    places = np.round((times - times[0]) * 1e4).astype(int)
    assert recording.channels[0].samples[places] == pytest.approx(values, abs=1e-11)


def test_too_wide_steps_between_uneven_readings_stay_open() -> None:
    steps = RNG.choice([2.0, 3.0, 5.0, 9.0], 3000) * 1e-4
    steps[[700, 1900]] = 0.05
    times = np.cumsum(steps)
    recording = recording_of(times)
    assert told(recording) == ["gap", "irregular-sampling"]
    assert "998 samples are missing in 2 places" in recording.flags[0].message
    samples = recording.channels[0].samples
    assert np.isnan(samples).sum() == 998  # of 499 between two readings 500 steps of the grid apart
    assert recording.channels[0].spacing == pytest.approx(9e-4)


def test_two_rates_in_one_file_keep_the_faster() -> None:
    times = np.r_[np.arange(1000) / 1000.0, 1.0 + np.arange(1000) / 5000.0]
    recording = recording_of(times)
    assert recording.rate == pytest.approx(5000.0)
    assert told(recording) == ["irregular-sampling"]
    assert misplaced(recording, times) < 1e-9


def test_jitter_does_not_smooth_over_lost_samples() -> None:
    times = np.delete(EVEN + RNG.uniform(-0.2, 0.2, len(EVEN)) / 20_000.0, [7000, *range(9000, 9010)])
    recording = recording_of(np.round(times, 8), times)
    assert told(recording) == ["gap", "irregular-sampling"]
    assert "11 samples are missing in 2 places" in recording.flags[0].message
    missing = np.flatnonzero(np.isnan(recording.channels[0].samples))
    assert missing.tolist() == [7000, *range(9000, 9010)]
    assert misplaced(recording, times) < 0.5 / 20_000.0


def test_many_lost_samples_do_not_shift_what_follows() -> None:
    keeps = RNG.random(len(EVEN)) > 0.003
    gone = np.flatnonzero(~keeps)
    times = EVEN[keeps]
    recording = recording_of(times)
    assert told(recording) == ["gap"]
    assert np.flatnonzero(np.isnan(recording.channels[0].samples)).tolist() == gone.tolist()


def test_rows_of_one_stamp_that_differ_are_told_with_by_how_much() -> None:
    times = np.sort(np.r_[EVEN, EVEN[500:510]])
    values = np.zeros(len(times))
    again = np.flatnonzero(np.diff(times) == 0.0) + 1
    values[again] = 3.0
    recording = recording_of(times, values)
    channel = recording.channels[0]
    assert told(recording) == ["irregular-sampling"]
    assert recording.flags[0].message == "20 rows share 10 time stamps; the mean of each was taken."
    # each pair is 3 V apart: its two rows lie 1.5 V from their mean, and one of two is free
    assert [flag.message for flag in channel.flags] == [
        "true: rows of one time stamp differ by up to 3 V; a single row scatters by 2.12 V about the mean."
    ]
    assert channel.samples[500:510] == pytest.approx(1.5)
    assert np.count_nonzero(channel.samples) == 10


def test_a_missing_reading_leaves_its_stamp_to_the_other_row() -> None:
    lines = [f"{stamp:.5f},{place}" for place, stamp in enumerate(EVEN[:400].tolist())]
    lines[200:200] = [lines[200].split(",")[0] + ",NaN"]
    recording = read_recording(text("time (s),true (V)", lines), "stamps.csv")
    assert recording.channels[0].samples[200] == 200.0
    assert recording.channels[0].flags == ()


def test_stamps_that_hardly_change_tell_no_rate() -> None:
    with pytest.raises(UnreadableError) as caught:
        recording_of(np.floor(EVEN * 2.0), EVEN)
    assert caught.value.code == "time-too-coarse"
    assert "20000 rows share 2 time stamps" in caught.value.message
    assert "--rate" in caught.value.hint


def test_a_jump_that_no_recording_has_is_refused_with_its_line() -> None:
    with pytest.raises(UnreadableError, match=r"stamps\.csv, line 1002: time jumps by 1e\+06 s") as caught:
        recording_of(np.r_[EVEN[:1000], EVEN[1000:2000] + 1e6])
    assert caught.value.code == "time-jumps"


STEPS = st.one_of(
    st.sampled_from([0.0, 1e-4, 2e-4, 1e-3]),
    st.floats(0.0, 1.0),
    st.floats(0.0, 1e12),
    st.floats(0.0, 1e-9),
    st.just(5e-324),
)


@settings(max_examples=400, deadline=None)
@given(
    st.lists(STEPS, min_size=2, max_size=80), st.floats(-1e9, 1e9), st.sampled_from([1.0, 1e-310, 1.7e308])
)
def test_any_rising_stamps_give_a_bounded_recording_or_a_refusal(
    steps: list[float], start: float, scale: float
) -> None:
    times = start + np.cumsum(steps)
    values = scale * np.sin(np.arange(len(times)))
    try:
        recording = read_recording(npz(t_s=times, force_N=values), "any.npz")
    except UnreadableError as error:
        expected = {"time-stands-still", "time-too-coarse", "time-jumps", "time-implausible"}
        assert error.code in expected  # noqa: PT017
        return
    samples = recording.channels[0].samples
    assert recording.rate is not None
    assert 0.0 < recording.rate < np.inf
    assert 2 <= len(samples) <= 52 * len(times)
    sound = samples[np.isfinite(samples)]
    assert sound.max(initial=-np.inf) / scale <= values.max() / scale + 1e-6
    assert sound.min(initial=np.inf) / scale >= values.min() / scale - 1e-6
    assert np.isfinite(samples[0]) or scale > 1.0
