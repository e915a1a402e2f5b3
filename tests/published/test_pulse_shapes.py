"""Constants of simple pulse shapes, through finding and measuring strikes in a recording.

Source: derived from the shapes' formulas: impulse/(A T), 10-90 % rise, time above 5 %, greatest slope. The
worked figure: a half-sine of 3000 N and 8 ms carries 15.278875 N s.

Tolerances are what straight lines between samples at 100 kHz and the code's shortest averages cost.
"""

import math

import numpy as np
import pytest

from tameshi.force import Trace, reduce_trace
from tameshi.rig import conversion_by_scale

RATE, PEAK, DURATION, START = 100_000.0, 3000.0, 0.008, 0.05
SHAPES = {
    "half-sine": lambda x: np.sin(math.pi * x),
    "haversine": lambda x: np.sin(math.pi * x) ** 2,
    "triangle": lambda x: 1.0 - np.abs(2.0 * x - 1.0),
}
TABLE = {  # impulse/(A T), rise/T, time above 5 %/T, greatest slope/(A/T)
    "half-sine": (0.636620, 0.324549, 0.968156, 3.141593),
    "haversine": (0.5, 0.295167, 0.856434, 3.141593),
    "triangle": (0.5, 0.4, 0.95, 2.0),
}


@pytest.fixture(scope="module", params=list(SHAPES))
def measured(request):
    time = np.arange(round(0.15 * RATE)) / RATE
    x = np.clip((time - START) / DURATION, 0.0, 1.0)
    samples = np.where((x > 0.0) & (x < 1.0), PEAK * SHAPES[request.param](x), 0.0)
    conversion = conversion_by_scale(1.0, origin="newtons in the file", identity="test")
    reduction = reduce_trace(Trace(samples, RATE, "N"), conversion)
    (strike,) = reduction.strikes
    return request.param, strike


def test_peak(measured):
    shape, strike = measured
    # a triangle's tip lies between two samples and is rounded by any curve through them
    assert strike.peak_force.value == pytest.approx(PEAK, rel=2e-3 if shape == "triangle" else 2e-4)


def test_impulse(measured):
    shape, strike = measured
    assert strike.impulse.value == pytest.approx(TABLE[shape][0] * PEAK * DURATION, rel=3e-4)


def test_rise_time(measured):
    shape, strike = measured
    assert strike.rise_time.value == pytest.approx(TABLE[shape][1] * DURATION, rel=3e-3)


def test_contact_duration(measured):
    shape, strike = measured
    assert strike.contact_duration.value == pytest.approx(TABLE[shape][2] * DURATION, rel=2e-3)


def test_greatest_slope_over_the_stated_span(measured):
    shape, strike = measured
    slope = TABLE[shape][3] * PEAK / DURATION
    # a mean slope over a span falls short of the greatest one by the curve within the span
    assert strike.loading_rate.value == pytest.approx(slope, rel=0.02)
    assert strike.loading_span < 0.2 * DURATION


def test_truth_lies_in_the_intervals(measured):
    shape, strike = measured
    assert strike.peak_force.low < PEAK < strike.peak_force.high
    impulse = TABLE[shape][0] * PEAK * DURATION
    assert strike.impulse.low < impulse < strike.impulse.high


def test_the_worked_half_sine(measured):
    shape, strike = measured
    if shape == "half-sine":
        assert strike.impulse.value == pytest.approx(15.278875, rel=3e-4)
    else:
        assert strike.impulse.value == pytest.approx(12.0, rel=3e-4)  # derived: A T / 2
