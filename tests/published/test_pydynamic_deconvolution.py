"""The cell's response undone, against an independent deconvolution in the frequency domain.

Source: PyDynamic 2.5.1, DFT_deconv (S. Eichstaedt, V. Wilkens, 2016, GUM2DFT, Meas. Sci. Technol. 27, 055001,
reference from memory). It is no longer developed, and is used here as a reference only. The same low-pass
is put on its result.
"""

import numpy as np
import pytest
from PyDynamic import DFT_deconv

from tameshi.demo.pulses import half_sine, haversine, skewed
from tameshi.rig import cell_response, low_pass, recover_force

RATE, COUNT, CUTOFF = 20_000.0, 2_000, 3_000.0
TIME = np.arange(COUNT) / RATE
PULSES = {
    "half-sine": half_sine(2000.0, 0.010, 0.04),
    "haversine": haversine(2000.0, 0.008, 0.04),
    "skewed": skewed(2000.0, 0.012, 0.04),
}


def stacked(spectrum):
    return np.concatenate([spectrum.real, spectrum.imag])


@pytest.mark.parametrize("natural", [250.0, 800.0, 2500.0])
@pytest.mark.parametrize("damping", [0.02, 0.1])
@pytest.mark.parametrize("name", PULSES)
def test_undone_force_agrees(name, natural, damping):
    frequency = np.asarray(np.fft.rfftfreq(COUNT, 1.0 / RATE), dtype=np.float64)
    response = cell_response(frequency, natural, damping)
    # the reading as a cell gives it to a pulse that comes again and again
    reading = np.fft.irfft(np.fft.rfft(PULSES[name](TIME)) * response, COUNT)
    theirs, _ = DFT_deconv(
        stacked(response),
        stacked(np.fft.rfft(reading)),
        np.zeros(2 * len(frequency)),
        np.zeros(2 * len(frequency)),
    )
    half = len(frequency)
    spectrum = (theirs[:half] + 1j * theirs[half:]) * low_pass(frequency, CUTOFF)
    expected = np.fft.irfft(spectrum, COUNT)
    ours = recover_force(reading, RATE, natural, damping, CUTOFF)
    middle = slice(
        COUNT // 4, 3 * COUNT // 4
    )  # the ends differ: theirs wraps round, ours is turned about itself
    assert ours[middle] == pytest.approx(expected[middle], abs=2.0)  # of 2000 N
