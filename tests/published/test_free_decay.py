"""Free decays: the logarithmic decrement, and a general least-squares routine as reference.

Source: derived. Successive extremes of one sign of a free decay shrink by exp(-d) with
d = 2 pi zeta / sqrt(1 - zeta^2), as any text on single-degree-of-freedom vibration has it (common practice,
no source). The reference routine is scipy.optimize.curve_fit on the same model.
"""

import math

import numpy as np
import pytest
from scipy.optimize import curve_fit

from tameshi.rig import measure_taps
from tameshi.rig.tapping import fit_modes, thin
from tests.published.as_printed import as_printed
from tests.rig.taps import tap_recording

RATE = 20_000.0


def decay(frequency, damping, noise=0.0, length=0.05):
    time = np.arange(round(length * RATE)) / RATE
    natural = 2.0 * math.pi * frequency
    swing = np.exp(-damping * natural * time) * np.cos(natural * math.sqrt(1.0 - damping**2) * time + 0.4)
    return time, swing + np.random.default_rng(3).normal(0.0, noise, len(time))


# derived: 2 pi zeta / sqrt(1 - zeta^2)
@pytest.mark.parametrize(
    ("damping", "decrement"), [(0.01, "0.0628350"), (0.05, "0.3145527"), (0.2, "1.2825498")]
)
def test_the_decrement_of_a_fitted_decay(damping, decrement):
    _, swing = decay(800.0, damping)
    natural = 2.0 * math.pi * 800.0
    fit = fit_modes(swing, RATE, (1.02 * natural,), (1.5 * damping * natural,))
    assert fit is not None
    found = 2.0 * math.pi * fit.damping_ratio / math.sqrt(1.0 - fit.damping_ratio**2)
    assert found == as_printed(decrement)
    assert fit.natural_frequency == pytest.approx(800.0, rel=1e-9)


@pytest.mark.parametrize("damping", [0.01, 0.03, 0.1])
def test_extremes_give_the_damping_that_was_put_in(damping):
    found = measure_taps(tap_recording(900.0, damping, RATE, noise=0.0005, seed=2), RATE)
    assert [one.decrement for one in found.decays] == pytest.approx([damping] * len(found.decays), rel=0.05)


def test_values_and_covariance_are_those_of_a_general_routine():
    time, swing = decay(800.0, 0.02, noise=0.01)
    length = len(time) / RATE

    def model(t, frequency, damping, *linear):
        a, b, c, d, e = linear
        natural = 2.0 * math.pi * frequency
        turning = natural * math.sqrt(1.0 - damping**2) * t
        envelope = np.exp(-damping * natural * t)
        offset = c + d * np.exp(-2.0 * t / length) + e * np.exp(-8.0 * t / length)
        return envelope * (a * np.cos(turning) + b * np.sin(turning)) + offset

    best, covariance = curve_fit(model, time, swing, p0=(800.0, 0.02, 1.0, 0.0, 0.0, 0.0, 0.0))
    natural = 2.0 * math.pi * 800.0
    fit = fit_modes(swing, RATE, (1.01 * natural,), (0.03 * natural,))
    assert fit is not None
    assert fit.natural_frequency == pytest.approx(best[0], rel=1e-7)
    assert fit.damping_ratio == pytest.approx(best[1], rel=1e-5)
    # ours takes the noise near the line, the reference all of it: alike for white noise, within its scatter
    ours = np.sqrt(np.diag(fit.covariance_of_cell()))
    assert ours == pytest.approx(np.sqrt(np.diag(covariance)[:2]), rel=0.15)


def test_averaging_over_blocks_leaves_frequency_and_damping_alone():
    # derived: the mean of a damped sine over a block is that damped sine, smaller and turned
    _, swing = decay(100.0, 0.03, length=0.4)
    fewer, rate = thin(swing, RATE, 100.0)
    assert len(fewer) < len(swing) / 10
    fit = fit_modes(fewer, rate, (630.0,), (15.0,))
    assert fit is not None
    assert fit.natural_frequency == pytest.approx(100.0, rel=1e-9)
    assert fit.damping_ratio == pytest.approx(0.03, rel=1e-7)
