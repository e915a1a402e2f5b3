"""What sampling hides of a half-sine's peak, against closed-form values.

Source: derived. Worst shortfall 1 - cos(pi/2n), mean 1 - (2n/pi) sin(pi/2n) for n samples in the pulse.
"""

import math

import numpy as np
import pytest

from tameshi.rig import chance_of_no_sample, mean_under_read, samples_needed, worst_under_read
from tests.published.as_printed import as_printed

TABLE = [
    (4, "7.612", "2.550"), (6, "3.407", "1.138"), (10, "1.231", "0.411"), (20, "0.308", "0.103"),
    (50, "0.0493", "0.0164"),
]  # fmt: skip


@pytest.mark.parametrize(("samples", "worst", "mean"), TABLE)
def test_table(samples, worst, mean):
    assert 100.0 * worst_under_read(samples) == as_printed(worst)
    assert 100.0 * mean_under_read(samples) == as_printed(mean)


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
