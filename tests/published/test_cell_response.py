"""What a second-order cell reads of short pulses, against closed-form values.

Source: derived. Undamped: the textbook response of a single-degree-of-freedom system to a half-sine (pi/2 at
one half, sqrt 3 at one; greatest 1.768458 at 0.80994 cycles). Damped: the same equation in extended
precision. The dynamic load factors of a half-sine in handbooks of structural dynamics are the same numbers.
"""

import math

import numpy as np
import pytest
from scipy.optimize import minimize_scalar

from tameshi.rig import cell_response, peak_ratio, pulse_reading, recover_force
from tests.published.as_printed import as_printed

UNDAMPED = [
    (0.5, "1.570796"), (0.6, "1.690395"), (0.75, "1.763356"), (0.80994, "1.768458"), (1.0, "1.732051"),
    (1.5, "1.500000"), (2.0, "1.268075"), (3.0, "1.169913"), (4.0, "1.125495"), (5.0, "1.099802"),
    (7.5, "1.071429"), (10.0, "1.049688"), (20.0, "1.024888"), (50.0, "1.009979"),
]  # fmt: skip
DAMPED = [
    ("half-sine", 0.05, 1, "1.6201"), ("half-sine", 0.05, 2, "1.2111"), ("half-sine", 0.05, 3, "1.1010"),
    ("half-sine", 0.05, 5, "1.0428"), ("half-sine", 0.05, 10, "1.0112"), ("half-sine", 0.05, 20, "1.0013"),
    ("half-sine", 0.01, 1, "1.7082"), ("half-sine", 0.10, 3, "1.0620"), ("half-sine", 0.65, 1, "0.9760"),
    ("haversine", 0.05, 1, "1.5906"), ("haversine", 0.05, 2, "1.2858"), ("haversine", 0.05, 3, "1.0234"),
    ("haversine", 0.05, 5, "1.0113"), ("haversine", 0.05, 10, "1.0061"), ("haversine", 0.10, 5, "1.0162"),
]  # fmt: skip


@pytest.mark.parametrize(("cycles", "printed"), UNDAMPED)
def test_undamped_half_sine(cycles, printed):
    assert peak_ratio(cycles) == as_printed(printed, slack=2e-7)


@pytest.mark.parametrize(("shape", "damping", "cycles", "printed"), DAMPED)
def test_damped_pulse(shape, damping, cycles, printed):
    assert peak_ratio(cycles, damping, shape=shape) == as_printed(printed)


def test_the_greatest_reading_of_all_and_where_it_is():
    found = minimize_scalar(
        lambda cycles: -peak_ratio(cycles), bounds=(0.7, 0.95), method="bounded", options={"xatol": 1e-9}
    )
    assert -found.fun == as_printed("1.768458", slack=2e-7)
    assert found.x == as_printed("0.80994")
    assert max(peak_ratio(cycles) for cycles in np.linspace(0.3, 3.0, 271)) <= -found.fun + 2e-7


@pytest.mark.parametrize("cycles", [10.0, 20.0, 50.0, 100.0])
def test_overshoot_of_a_long_pulse_is_about_one_over_twice_its_cycles(cycles):
    assert 2.0 * cycles * (peak_ratio(cycles) - 1.0) == pytest.approx(1.0, abs=0.007)


@pytest.mark.parametrize(
    ("relative", "printed"), [(0.1, "1.0100928"), (0.2, "1.0416305"), (0.5, "1.3328595"), (1.0, "25.000000")]
)
def test_gain_of_a_lightly_damped_cell(relative, printed):
    gain = abs(cell_response(np.array([relative]), 1.0, 0.02)[0])
    assert gain == as_printed(printed)


def test_the_inverse_recovers_the_pulse():
    # derived: half-sine of 5 ms at 100 kHz on a 1 kHz cell with damping 0.02 reads 1.070860 at its peak
    rate, duration, natural, damping = 100_000.0, 0.005, 1000.0, 0.02
    time, reading = pulse_reading(natural * duration, damping)
    assert reading.max() == pytest.approx(1.070860, abs=2e-5)
    grid = np.arange(round(0.02 * rate)) / rate
    seen = np.interp(grid - 0.004, time * duration, reading, left=0.0, right=0.0)
    truth = np.where((grid > 0.004) & (grid < 0.009), np.sin(math.pi * (grid - 0.004) / duration), 0.0)
    recovered = recover_force(seen, rate, natural, damping, 3000.0)[: round(0.012 * rate)]
    assert recovered.max() == pytest.approx(1.0, abs=2e-3)
    assert np.sqrt(np.mean((recovered - truth[: len(recovered)]) ** 2)) < 5e-3
