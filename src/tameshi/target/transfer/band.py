"""What comes out of a model: a band, not a number."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tameshi.quantity import LEVEL

FloatArray = NDArray[np.float64]
BOTH, AT_LEAST, AT_MOST = "both", "at least", "at most"
SHARES = (0.005, 0.01, 0.025, 0.05, *(0.05 * step for step in range(2, 19)), 0.95, 0.975, 0.99, 0.995)
"""Shares of the draws that lie below the quantiles of a band."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """A modelled figure.

    Parameters
    ----------
    unit : str
        Coherent SI unit.
    median : float or None
        None where only one side is known, or only limits.
    low, high : float or None
        Ends of the band; None on a side that is not known.
    level : float or None
        Share of the draws inside; None for limits.
    quantiles : tuple of float
        Of the draws, one for each of :data:`SHARES`; empty for limits.
    """

    unit: str
    median: float | None
    low: float | None
    high: float | None
    level: float | None = LEVEL
    quantiles: tuple[float, ...] = ()

    @property
    def is_one_sided(self) -> bool:
        """Whether one end is not known."""
        return self.low is None or self.high is None


def band_of(draws: FloatArray, unit: str, *, known: str = BOTH) -> Band:
    """Return the band of draws.

    Parameters
    ----------
    draws : (d,) array
    unit : str
    known : "both", "at least" or "at most"
        Which side holds: draws of a lower bound give a band without an upper end.
    """
    tail = 0.5 * (1.0 - LEVEL)
    low, middle, high = (float(one) for one in np.quantile(draws, (tail, 0.5, 1.0 - tail)))
    return Band(
        unit=unit,
        median=middle if known == BOTH else None,
        low=None if known == AT_MOST else low,
        high=None if known == AT_LEAST else high,
        quantiles=tuple(float(one) for one in np.quantile(draws, SHARES)),
    )


def limits(low: float | None, high: float | None, unit: str) -> Band:
    """Return two limits, which say nothing of what lies between."""
    return Band(unit=unit, median=None, low=low, high=high, level=None)
