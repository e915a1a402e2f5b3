"""The impulse survives ringing: within 0.5 % from five cycles in a contact on, whatever the damping.

Source: derived. The equation of a second-order cell, integrated once over time, says that reading and force
have the same impulse when the cell has come to rest; before that they differ by (y' + 2 zeta wn y) / wn^2.
The readings here are the exact ones of a cell driven by straight lines between fine samples (scipy's
first-order hold), and nobody tells tameshi of the cell: nothing is undone.
"""

import math

import numpy as np
import pytest
from scipy.signal import cont2discrete, lfilter

from tameshi.force import Origin, Trace, reduce_trace
from tameshi.rig import conversion_by_scale, effect_on, expected_strike, read_strike, ring_out
from tests.known import known

RATE, FINER, DURATION, PEAK = 50_000.0, 8, 0.010, 2000.0
SHAPES = {
    "half-sine": (lambda x: np.sin(math.pi * x), 2.0 / math.pi),
    "haversine": (lambda x: np.sin(math.pi * x) ** 2, 0.5),
}
CYCLES = (5.0, 5.25, 5.5, 5.75, 6.0, 7.5, 10.0, 15.0, 20.0, 40.0)


def reading_of(shape: str, cycles: float, damping: float) -> tuple[np.ndarray, float]:
    """Return what the cell reads of one pulse, and the impulse of the pulse."""
    form, share = SHAPES[shape]
    time = np.arange(round(0.5 * RATE * FINER)) / (RATE * FINER)
    x = np.clip((time - 0.2) / DURATION, 0.0, 1.0)
    wn = 2.0 * math.pi * cycles / DURATION
    system = ([wn * wn], [1.0, 2.0 * damping * wn, wn * wn])
    above, below, _ = cont2discrete(system, 1.0 / (RATE * FINER), method="foh")
    reading = lfilter(above.ravel(), below, PEAK * form(x) * ((x > 0.0) & (x < 1.0)))
    return reading[::FINER], share * PEAK * DURATION


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("damping", [0.0, 0.01, 0.02, 0.05, 0.1])
@pytest.mark.parametrize("cycles", CYCLES)
def test_uncorrected_impulse_is_within_half_a_per_cent(shape, damping, cycles):
    reading, impulse = reading_of(shape, cycles, damping)
    reading = reading + np.random.default_rng(1).normal(0.0, 2.0, len(reading))
    conversion = conversion_by_scale(1.0, origin="newtons in the file", identity="test")
    trace = Trace(reading, RATE, "N", Origin("test.csv", "0" * 64, "force"))
    (strike,) = reduce_trace(trace, conversion).strikes
    assert known(strike.impulse).value == pytest.approx(impulse, rel=0.005)


@pytest.mark.parametrize("damping", [0.0, 0.01, 0.05, 0.1])
@pytest.mark.parametrize("cycles", CYCLES)
def test_a_planned_rig_is_told_the_same(damping, cycles):
    seen = read_strike(expected_strike("2 kN", "10 ms"), cell=(cycles / DURATION, damping))
    assert abs(effect_on(seen, duration=DURATION).impulse) < 0.005


def test_up_to_the_first_zero_an_undamped_cell_is_a_hundredth_off_and_over_a_cycle_it_is_not():
    # derived, five cycles: y' = -2 (pi/T) / (1 - 1/100) at the end of contact, where the reading is zero;
    # 2 (pi/T) / 0.99 / (10 pi/T)^2 = T / (49.5 pi), which over 2 T / pi is 1.0101 %
    reading, impulse = reading_of("half-sine", 5.0, 0.0)
    first, stop = round(0.2 * RATE), round((0.2 + DURATION) * RATE) + 1
    area = float(np.trapezoid(reading[first:stop]))
    assert area / RATE / impulse - 1.0 == pytest.approx(0.010101, abs=2e-5)
    cycle = ring_out(reading, stop, len(reading), length=DURATION * RATE, peak=PEAK)
    assert cycle.stop - stop == pytest.approx(DURATION * RATE / 5.0, abs=2.0)
    assert (area + cycle.area) / RATE / impulse == pytest.approx(1.0, abs=2e-4)
