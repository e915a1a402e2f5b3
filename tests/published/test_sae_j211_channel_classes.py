"""Channel frequency classes against SAE J211-1, Appendix C.

Source: SAE J211-1:1995, Appendix C, equation C1 with k = 2.0775 for the coefficients; table 1 for the
sampling each class needs. The coefficient values, corner frequencies and peak factors to many digits are
derived from that equation in extended precision.
"""

import math

import numpy as np
import pytest

from tameshi.errors import WrongUseError
from tameshi.force import class_coefficients, filter_class

COEFFICIENTS = [
    (60, 10_000, 1.452367473553e-3, 1.889343224222, -0.895152694116, 100.0178),
    (180, 10_000, 1.179627109978e-2, 1.670117463268, -0.717302547667, 300.4909),
    (600, 10_000, 9.718462527937e-2, 0.945574009062, -0.334312510179, 1018.2407),
    (600, 20_000, 2.980607203982e-2, 1.455728213907, -0.574952502066, 1004.5530),
    (1000, 10_000, 2.192314172190e-1, 0.311896544996, -0.188822213872, 1751.0402),
    (1000, 100_000, 3.895174478377e-3, 1.815855727667, -0.831436425581, 1667.5039),
]
PEAKS = {  # filtered over true peak of a half-sine, by class, for 2, 5, 10 and 20 ms
    60: (0.336295, 0.702500, 0.950717, 0.999173),
    180: (0.782499, 0.995560, 0.999650, 0.999980),
    600: (0.999173, 0.999959, 0.999997, 1.000000),
    1000: (0.999780, 0.999995, 1.000000, 1.000000),
}
DURATIONS = (0.002, 0.005, 0.010, 0.020)


def pair_gain(c, frequency, rate):
    """Return the gain of both passes together."""
    z = np.exp(-2j * math.pi * frequency / rate)
    one = (c.a0 + c.a1 * z + c.a2 * z * z) / (1.0 - c.b1 * z - c.b2 * z * z)
    return abs(one) ** 2


@pytest.mark.parametrize(("channel_class", "rate", "a0", "b1", "b2", "_corner"), COEFFICIENTS)
def test_coefficients(channel_class, rate, a0, b1, b2, _corner):
    c = class_coefficients(channel_class, rate)
    assert (c.a0, c.b1, c.b2) == pytest.approx((a0, b1, b2), rel=1e-9)
    assert c.a1 == 2.0 * c.a0 == 2.0 * c.a2


@pytest.mark.parametrize(("channel_class", "rate", "_a0", "_b1", "_b2", "corner"), COEFFICIENTS)
def test_the_pair_is_three_decibels_down_at_its_corner(channel_class, rate, _a0, _b1, _b2, corner):
    c = class_coefficients(channel_class, rate)
    assert 20.0 * math.log10(pair_gain(c, corner, rate)) == pytest.approx(-3.0103, abs=1e-4)


@pytest.mark.parametrize("channel_class", [60, 180, 600, 1000])
def test_a_constant_passes_unchanged(channel_class):
    c = class_coefficients(channel_class, 50_000)
    assert c.a0 + c.a1 + c.a2 + c.b1 + c.b2 == pytest.approx(1.0, abs=1e-12)


@pytest.mark.parametrize("channel_class", [60, 180, 600, 1000])
@pytest.mark.parametrize("place", range(4))
def test_half_sine_peak_and_impulse(channel_class, place):
    rate, duration = 1e6, DURATIONS[place]
    time = np.arange(round(0.12 * rate)) / rate - 0.05
    pulse = np.where((time > 0.0) & (time < duration), np.sin(math.pi * time / duration), 0.0)
    filtered = filter_class(pulse, rate, channel_class)
    assert filtered.max() == pytest.approx(PEAKS[channel_class][place], abs=2e-6)
    assert filtered.sum() == pytest.approx(pulse.sum(), rel=1e-6)


@pytest.mark.parametrize(("channel_class", "least"), [(60, 600), (180, 1800), (600, 6000), (1000, 10_000)])
def test_a_class_beyond_the_rate_is_refused(channel_class, least):
    with pytest.raises(WrongUseError) as caught:
        filter_class(np.zeros(100), 0.99 * least, channel_class)
    assert caught.value.code == "class-beyond-rate"
    assert filter_class(np.zeros(100), least, channel_class).max() == 0.0
