"""Several comparisons at once."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np


def holm(p_values: Sequence[float]) -> tuple[float, ...]:
    """Return p-values adjusted so that the chance of any false claim among them stays at the level.

    Parameters
    ----------
    p_values : sequence of float

    Notes
    -----
    Source: S. Holm, Scand. J. Stat. 6 (1979) 65-70 (value from memory).
    """
    p = np.asarray(p_values, np.float64)
    order = np.argsort(p)
    steps = np.maximum.accumulate(p[order] * (len(p) - np.arange(len(p))))
    adjusted = np.empty_like(p)
    adjusted[order] = np.minimum(steps, 1.0)
    return tuple(float(one) for one in adjusted)
