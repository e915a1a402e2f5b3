"""Channel frequency classes against SAE J211-1, Appendix C.

Source: SAE J211-1:1995, Appendix C, equation C1 with k = 2.0775 for the coefficients; table 1 for the
sampling each class needs. ISO 6487 prints 1.25/0.6 in its place (value from memory). The coefficients, corner
frequencies, gains and peak factors to many digits are derived from that equation in extended precision.
"""

import math
from functools import cache

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import brentq

from tameshi.errors import WrongUseError
from tameshi.force import class_coefficients, filter_class
from tameshi.reference import row
from tests.published.as_printed import as_printed

COEFFICIENTS = [  # class, rate, a0, b1, b2, frequency at -3.0103 dB
    (60, 10_000, "1.452367473553e-3", "1.889343224222", "-0.895152694116", "100.0178"),
    (180, 10_000, "1.179627109978e-2", "1.670117463268", "-0.717302547667", "300.4909"),
    (600, 10_000, "9.718462527937e-2", "0.945574009062", "-0.334312510179", "1018.2407"),
    (600, 20_000, "2.980607203982e-2", "1.455728213907", "-0.574952502066", "1004.5530"),
    (1000, 10_000, "2.192314172190e-1", "0.311896544996", "-0.188822213872", "1751.0402"),
    (1000, 100_000, "3.895174478377e-3", "1.815855727667", "-0.831436425581", "1667.5039"),
]
PEAKS = {  # filtered over true peak of a half-sine, by class, for 2, 5, 10 and 20 ms
    60: ("0.336295", "0.702500", "0.950717", "0.999173"),
    180: ("0.782499", "0.995560", "0.999650", "0.999980"),
    600: ("0.999173", "0.999959", "0.999997", "1.000000"),
    1000: ("0.999780", "0.999995", "1.000000", "1.000000"),
}
DURATIONS = (0.002, 0.005, 0.010, 0.020)
GAINS = [  # of the analogue pair: frequency over class, decibels
    (1.0, "-0.454"), (5.0 / 3.0, "-3.01"), (2.0, "-5.385"), (4.0, "-23.37"), (10.0, "-54.6"),
]  # fmt: skip
DOWN = 20.0 * math.log10(math.sqrt(0.5))
SAMPLES = 1 << 16


@cache
def response_to_a_tick(channel_class: int, rate: float) -> NDArray[np.float64]:
    """Return what the shipped filter, both passes, makes of one sample of one."""
    tick = np.zeros(SAMPLES)
    tick[SAMPLES // 2] = 1.0
    return filter_class(tick, rate, channel_class)


def decibels(channel_class: int, rate: float, frequency: float) -> float:
    """Return the gain of the shipped filter at a frequency."""
    turn = -2j * math.pi * frequency / rate * (np.arange(SAMPLES) - SAMPLES // 2)
    return 20.0 * math.log10(abs(np.sum(response_to_a_tick(channel_class, rate) * np.exp(turn))))


@pytest.mark.parametrize(("channel_class", "rate", "a0", "b1", "b2", "_corner"), COEFFICIENTS)
def test_coefficients(channel_class, rate, a0, b1, b2, _corner):
    c = class_coefficients(channel_class, rate)
    assert (c.a0, c.b1, c.b2) == (as_printed(a0), as_printed(b1), as_printed(b2))
    assert c.a1 == 2.0 * c.a0 == 2.0 * c.a2


@pytest.mark.parametrize(("channel_class", "rate", "_a0", "_b1", "_b2", "corner"), COEFFICIENTS)
def test_both_passes_are_three_decibels_down_at_the_printed_corner(
    channel_class, rate, _a0, _b1, _b2, corner
):
    found = brentq(
        lambda frequency: decibels(channel_class, rate, frequency) - DOWN,
        channel_class,
        2.5 * channel_class,
        xtol=1e-9,
    )
    assert found == as_printed(corner)


@pytest.mark.parametrize("channel_class", [60, 180, 600, 1000])
@pytest.mark.parametrize(("relative", "printed"), GAINS)
def test_gain_of_the_pair_where_the_rate_is_high(channel_class, relative, printed):
    # derived at 100 kHz for class 60; other classes at the same rate over class
    rate = 100_000.0 / 60.0 * channel_class
    assert decibels(channel_class, rate, relative * channel_class) == as_printed(printed)


def test_the_factor_is_that_of_the_sae_and_not_of_the_iso():
    # derived: the corner of the analogue pair is k (sqrt 2 - 1)^(1/4) of the class
    factor = float(row("channel_classes", "design")["factor"])
    assert factor == as_printed("2.0775")
    assert factor * (math.sqrt(2.0) - 1.0) ** 0.25 == as_printed("1.6666603787")
    wa = math.tan(math.pi * 180.0 * factor / 10_000.0)
    assert class_coefficients(180, 10_000).a0 == pytest.approx(
        wa**2 / (1.0 + math.sqrt(2.0) * wa + wa**2), rel=1e-12
    )
    other = math.tan(math.pi * 180.0 * 25.0 / 12.0 / 10_000.0)
    assert other**2 / (1.0 + math.sqrt(2.0) * other + other**2) == as_printed("1.185768264324e-2")


@pytest.mark.parametrize("channel_class", [60, 180, 600, 1000])
def test_a_constant_passes_unchanged(channel_class):
    c = class_coefficients(channel_class, 50_000)
    assert c.a0 + c.a1 + c.a2 + c.b1 + c.b2 == pytest.approx(1.0, abs=1e-12)
    assert filter_class(np.full(5000, 3.7), 50_000.0, channel_class) == pytest.approx(3.7, abs=1e-9)


@pytest.mark.parametrize("channel_class", [60, 180, 600, 1000])
@pytest.mark.parametrize("place", range(4))
def test_half_sine_peak_and_impulse(channel_class, place):
    rate, duration = 1e6, DURATIONS[place]
    time = np.arange(round(0.12 * rate)) / rate - 0.05
    pulse = np.where((time > 0.0) & (time < duration), np.sin(math.pi * time / duration), 0.0)
    filtered = filter_class(pulse, rate, channel_class)
    assert filtered.max() == as_printed(PEAKS[channel_class][place])
    assert filtered.sum() / pulse.sum() == as_printed("1.000000")


@pytest.mark.parametrize(("channel_class", "least"), [(60, 600), (180, 1800), (600, 6000), (1000, 10_000)])
def test_a_class_beyond_the_rate_is_refused(channel_class, least):
    assert least == 10 * channel_class
    with pytest.raises(WrongUseError) as caught:
        filter_class(np.zeros(100), 0.99 * least, channel_class)
    assert caught.value.code == "class-beyond-rate"
    assert filter_class(np.zeros(100), least, channel_class).max() == 0.0
