"""Pulses for tests, and the plain double loop over all windows."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from tameshi.target.head import Pulse, pulse_of

FloatArray = NDArray[np.float64]


def plain_search(pulse: Pulse, longest: float) -> float:
    """Return the criterion by trying every window that begins and ends on a sample."""
    a, step = pulse.acceleration, pulse.step
    total = np.concatenate(([0.0], np.cumsum(0.5 * (a[1:] + a[:-1])))) * step
    most = int(np.floor(longest / step * (1.0 + 1e-12)))
    best = 0.0
    for first in range(len(a) - 1):
        for last in range(first + 1, min(first + most, len(a) - 1) + 1):
            gained, width = float(total[last] - total[first]), (last - first) * step
            if gained > 0.0:
                best = max(best, gained**2.5 / width**1.5)
    return best


def refined(pulse: Pulse, times: int) -> Pulse:
    """Return the same straight lines with more samples on them."""
    count = len(pulse.acceleration)
    fine = np.linspace(0.0, count - 1.0, times * (count - 1) + 1)
    return pulse_of(np.interp(fine, np.arange(count), pulse.acceleration), times * pulse.rate)
