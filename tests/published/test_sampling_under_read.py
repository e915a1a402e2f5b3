"""What sampling hides of a half-sine's peak and impulse, against closed-form values.

Source: derived. For n samples in the pulse: worst shortfall of the highest sample 1 - cos(pi/2n), mean
1 - (2n/pi) sin(pi/2n); of the parabola through the highest sample and its neighbours 1 - c (3 - c^2)/2 with
c = cos(pi/2n); trapezoidal over true impulse between (pi/2n) cot(pi/2n) and (pi/2n)/sin(pi/2n).
"""

import math
from functools import cache

import numpy as np
import pytest

from tameshi.force import Settings, Trace, reduce_trace
from tameshi.rig import (
    chance_of_no_sample,
    conversion_by_scale,
    effect_of_sampling,
    expected_strike,
    mean_under_read,
    read_strike,
    samples_needed,
    worst_under_read,
)
from tests.known import known
from tests.published.as_printed import as_printed

TABLE = [  # n, highest sample: worst %, mean %; parabola: worst %; trapezoid: least and greatest ratio
    (4, "7.612", "2.550", "0.847", "0.94806", "1.02617"),
    (6, "3.407", "1.138", "0.172", "0.97705", "1.01151"),
    (10, "1.231", "0.411", "0.0226", "0.99176", "1.00412"),
    (20, "0.308", "0.103", "0.0014", "0.99794", "1.00103"),
    (50, "0.0493", "0.0164", "0.00004", "0.99967", "1.00017"),
]
PEAK, DURATION, PHASES = 1000.0, 0.010, 40  # an even count: half a step is one of the phases


@cache
def measured(samples: int) -> tuple[list[float], list[float]]:
    """Return peak and impulse over the true ones for every phase of sampling."""
    rate = samples / DURATION
    conversion = conversion_by_scale(1.0, origin="newtons in the file", identity="test")
    peaks, impulses = [], []
    for phase in range(PHASES):
        time = (np.arange(round(rate)) + phase / PHASES) / rate
        x = np.clip((time - 0.5) / DURATION, 0.0, 1.0)
        trace = Trace(PEAK * np.sin(math.pi * x), rate, "N")
        (strike,) = reduce_trace(trace, conversion, settings=Settings(fewest_samples=3.0)).strikes
        peaks.append(known(strike.peak_force).value / PEAK)
        impulses.append(known(strike.impulse).value / (PEAK * DURATION * 2.0 / math.pi))
    return peaks, impulses


@pytest.mark.parametrize("row", TABLE, ids=lambda row: f"n={row[0]}")
def test_the_highest_sample(row):
    samples, worst, mean = row[:3]
    assert 100.0 * worst_under_read(samples) == as_printed(worst)
    assert 100.0 * mean_under_read(samples) == as_printed(mean)


@pytest.mark.parametrize("row", TABLE, ids=lambda row: f"n={row[0]}")
def test_the_measured_peak_falls_short_by_no_more_than_a_parabola_does(row):
    samples, parabola = row[0], row[3]
    assert 100.0 * (1.0 - min(measured(samples)[0])) == as_printed(parabola)
    assert max(measured(samples)[0]) <= 1.0 + 1e-12


@pytest.mark.parametrize("row", TABLE, ids=lambda row: f"n={row[0]}")
def test_the_measured_impulse_lies_between_those_of_the_trapezoidal_rule(row):
    samples, least, greatest = row[0], row[4], row[5]
    assert min(measured(samples)[1]) == as_printed(least)
    # 1.000165 at fifty samples is printed as 1.00017
    assert max(measured(samples)[1]) == as_printed(greatest, slack=1e-6)


@pytest.mark.parametrize("row", TABLE, ids=lambda row: f"n={row[0]}")
def test_a_planned_rig_is_told_the_same(row):
    samples, worst, _, _, least, greatest = row
    effect = effect_of_sampling(
        read_strike(expected_strike("2 kN", "10 ms")), rate=samples / 0.01, duration=0.01
    )
    assert 100.0 * effect.peak == as_printed(worst, slack=2e-5)  # the fine grid of the pulse
    away = max((least, greatest), key=lambda ratio: abs(float(ratio) - 1.0))
    assert effect.impulse == pytest.approx(abs(float(away) - 1.0), abs=2e-5)


@pytest.mark.parametrize(
    ("share", "printed"),
    [(0.05, "4.95"), (0.02, "7.84"), (0.01, "11.10"), (0.005, "15.70"), (0.001, "35.12")],
)
def test_samples_needed(share, printed):
    assert samples_needed(share) == as_printed(printed)


@pytest.mark.parametrize("samples", [4, 10, 20])
def test_a_sampled_half_sine_really_does_fall_short_by_that_much(samples):
    phases = np.arange(2000) / 2000.0
    index = np.arange(samples + 1)
    highest = np.array(
        [np.sin(math.pi * np.clip((index + phase) / samples, 0.0, 1.0)).max() for phase in phases]
    )
    assert 1.0 - highest.min() == pytest.approx(worst_under_read(samples), abs=1e-6)
    assert 1.0 - highest.mean() == pytest.approx(mean_under_read(samples), abs=1e-5)


def test_a_weigh_scale_misses_a_strike_altogether():
    assert chance_of_no_sample(80.0, 0.010) == pytest.approx(0.20)  # derived: 1 - 80 x 0.010
    assert chance_of_no_sample(10.0, 0.010) == pytest.approx(0.90)
