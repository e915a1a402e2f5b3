"""Constants of simple pulse shapes, through finding and measuring strikes in a recording.

Source: derived from the shapes' formulas: impulse/(A T), 10-90 % rise, width at half maximum, time above 5 %
and 10 %, greatest slope. The worked figure: a half-sine of 3000 N and 8 ms carries 15.278875 N s.

Sampled at 2 MHz, samples falling on first touch, peak and end, every printed digit has to come out. The
greatest slope is measured over a span that the strike states; what a fitted line loses over such a span is
derived, and taken off before the digits are compared.
"""

import math
from functools import cache

import numpy as np
import pytest

from tameshi.force import Settings, Strike, Trace, reduce_trace
from tameshi.rig import conversion_by_scale
from tests.known import known
from tests.published.as_printed import as_printed

RATE, PEAK, DURATION, START = 2e6, 3000.0, 0.008, 0.02
SHAPES = {
    "half-sine": lambda x: np.sin(math.pi * x),
    "haversine": lambda x: np.sin(math.pi * x) ** 2,
    "triangle": lambda x: 1.0 - np.abs(2.0 * x - 1.0),
}
IMPULSE = {"half-sine": "0.636620", "haversine": "0.5", "triangle": "0.5"}
RISE = {"half-sine": "0.324549", "haversine": "0.295167", "triangle": "0.4"}
TIME_ABOVE = {  # share of the peak: share of the duration
    0.05: {"half-sine": "0.968156", "haversine": "0.856434", "triangle": "0.95"},
    0.10: {"half-sine": "0.936231", "haversine": "0.795167", "triangle": "0.9"},
    0.50: {"half-sine": "0.666667", "haversine": "0.5", "triangle": "0.5"},
}
SLOPE = {"half-sine": "3.141593", "haversine": "3.141593", "triangle": "2"}


@cache
def measured(shape: str, rate: float = RATE, onset_share: float = 0.05) -> Strike:
    """Return the one strike of a recording of a shape, without noise."""
    time = np.arange(round(0.06 * rate)) / rate
    samples = PEAK * SHAPES[shape](np.clip((time - START) / DURATION, 0.0, 1.0))
    conversion = conversion_by_scale(1.0, origin="newtons in the file", identity="test")
    settings = Settings(onset_share=onset_share)
    (strike,) = reduce_trace(Trace(samples, rate, "N"), conversion, settings=settings).strikes
    return strike


def six_decimals(printed: str) -> object:
    """Return what equals a number that is printed with six decimals, or is exact with fewer."""
    return as_printed(f"{float(printed):.6f}")


@pytest.mark.parametrize("shape", SHAPES)
def test_peak(shape):
    assert known(measured(shape).peak_force).value / PEAK == six_decimals("1")


@pytest.mark.parametrize("shape", SHAPES)
def test_impulse(shape):
    assert known(measured(shape).impulse).value / (PEAK * DURATION) == six_decimals(IMPULSE[shape])


@pytest.mark.parametrize("shape", SHAPES)
def test_rise_time(shape):
    assert known(measured(shape).rise_time).value / DURATION == six_decimals(RISE[shape])


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("share", TIME_ABOVE)
def test_time_above_a_share_of_the_peak(shape, share):
    found = known(measured(shape, onset_share=share).contact_duration).value / DURATION
    assert found == six_decimals(TIME_ABOVE[share][shape])


def kept_over(shape: str, span: float) -> float:
    """Return the slope of a line fitted over a span over the greatest slope. Derived."""
    if shape == "triangle":
        return 1.0
    angular = math.pi / DURATION * (2.0 if shape == "haversine" else 1.0)
    # a line through n points a step apart weighs them like one through all of a span of sqrt(n^2 - 7/3)
    half = 0.5 * angular / RATE * math.sqrt((span * RATE + 1.0) ** 2 - 7.0 / 3.0)
    centred = 3.0 * (math.sin(half) - half * math.cos(half)) / half**3
    # a half-sine is steepest at its foot: the span begins there and is centred half of itself later
    return centred * (math.cos(0.5 * angular * span) if shape == "half-sine" else 1.0)


@pytest.mark.parametrize("shape", SHAPES)
def test_greatest_slope(shape):
    strike = measured(shape)
    assert strike.loading_span is not None
    assert strike.loading_span < 0.05 * DURATION
    found = known(strike.loading_rate).value / (PEAK / DURATION)
    assert found / kept_over(shape, strike.loading_span) == six_decimals(SLOPE[shape])
    assert found == pytest.approx(float(SLOPE[shape]), rel=0.002)


def test_the_worked_half_sine():
    # exact 15.27887454: so near the edge of its last digit that straight lines between samples must be short
    assert known(measured("half-sine", rate=2.0 * RATE).impulse).value == as_printed("15.278875")


@pytest.mark.parametrize("rate", [20_000.0, 100_000.0])
@pytest.mark.parametrize("shape", SHAPES)
def test_truth_lies_in_the_intervals_at_rates_of_the_trade(shape, rate):
    strike = measured(shape, rate)
    true = {
        "peak_force": PEAK,
        "impulse": float(IMPULSE[shape]) * PEAK * DURATION,
        "rise_time": float(RISE[shape]) * DURATION,
        "contact_duration": float(TIME_ABOVE[0.05][shape]) * DURATION,
    }
    for name, value in true.items():
        assert known(strike.figure(name)).low < value < known(strike.figure(name)).high, name
