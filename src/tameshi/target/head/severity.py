"""The severity index of a head pulse: the integral of its acceleration to the power 2.5.

Source of the measure: C. W. Gadd, Use of a weighted-impulse criterion for estimating injury hazard, SAE
660793 (1966); value of the exponent from memory.
"""

from __future__ import annotations

import numpy as np

from tameshi.target.head.pulse import FloatArray, Pulse

EXPONENT = 2.5
_NEARLY_LEVEL = 0.02  # rise over level below which the closed form loses digits
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(4)


def severity_index(pulse: Pulse) -> float:
    """Return the severity index (GSI) of a pulse.

    Parameters
    ----------
    pulse : Pulse

    Returns
    -------
    float
        Integral of a^2.5 over the whole pulse, a in g0, negative values left out; exact for the straight
        lines between samples. [s]
    """
    start, end = pulse.acceleration[:-1], pulse.acceleration[1:]
    return float(pulse.step * _mean_of_power(start, end).sum())


def _mean_of_power(start: FloatArray, end: FloatArray) -> FloatArray:
    """Return the mean of max(a, 0)^2.5 along straight lines."""
    rise, level = end - start, np.maximum(np.abs(start), np.abs(end))
    steep = np.abs(rise) > _NEARLY_LEVEL * level
    mean = np.zeros_like(start)
    power = EXPONENT + 1.0
    upper, lower = (np.maximum(side[steep], 0.0) ** power for side in (end, start))
    mean[steep] = (upper - lower) / (power * rise[steep])
    flat = ~steep
    middle, half = 0.5 * (start[flat] + end[flat]), 0.5 * rise[flat]
    for node, weight in zip(_NODES, _WEIGHTS, strict=True):
        mean[flat] += 0.5 * weight * np.maximum(middle + node * half, 0.0) ** EXPONENT
    return mean
