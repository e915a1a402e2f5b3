"""Where tick number n of a ruler is along a straight line in the picture: a projective map of a line."""

from dataclasses import dataclass

import numpy as np

from tameshi.footprint.geometry.robust import Robust, settle
from tameshi.footprint.picture.arrays import FloatArray, Where

_ROBUST = Robust(8, 2.0, 0.02)  # ticks are never known better than so many pixels
_OUTLIER = 5.0


@dataclass(frozen=True, slots=True)
class RowFit:
    """Place = (start + step n) / (1 + turn n).

    Parameters
    ----------
    start, step, turn : float
        In pixels, pixels and one.
    covariance : (3, 3) array
        Of these.
    scatter : float
        Of ticks about it, in pixels.
    """

    start: float
    step: float
    turn: float
    covariance: FloatArray
    scatter: float

    def place(self, numbers: FloatArray) -> FloatArray:
        """Return the places of ticks, (n,), in pixels."""
        places: FloatArray = (self.start + self.step * numbers) / (1.0 + self.turn * numbers)
        return places

    def pitch(self, numbers: FloatArray) -> FloatArray:
        """Return the pixels from tick to tick, (n,)."""
        steps: FloatArray = (self.step - self.turn * self.start) / (1.0 + self.turn * numbers) ** 2
        return steps


def fit_row(numbers: FloatArray, places: FloatArray) -> tuple[RowFit, Where]:
    """Fit a row to ticks; return it and which ticks belong to it.

    Parameters
    ----------
    numbers : (n,) array, n >= 8
    places : (n,) array
        In pixels along the row.

    Notes
    -----
    The projective map of a line, as in ``settle``. Derived.
    """
    half = max(1.0, float(np.abs(numbers).max()))
    at = numbers / half  # numbers near one keep the normal equations well conditioned
    slope, start = np.polyfit(at, places, 1)
    settled = settle(
        np.array([start, slope, 0.0]), lambda unknowns: _residuals(unknowns, at, places), _ROBUST
    )
    good = np.asarray(np.abs(settled.off) <= _OUTLIER * _ROBUST.scale(settled.off))
    scatter = max(float(np.sqrt(np.mean(settled.off[good] ** 2))), _ROBUST.smallest)
    back = np.array([1.0, 1.0 / half, 1.0 / half])
    covariance = np.asarray(scatter**2 * settled.unit * np.outer(back, back), np.float64)
    first, step, turn = (float(value) for value in settled.unknowns * back)
    return RowFit(first, step, turn, covariance, scatter), good


def _residuals(unknowns: FloatArray, at: FloatArray, places: FloatArray) -> tuple[FloatArray, FloatArray]:
    start, step, turn = unknowns
    depth = 1.0 + turn * at
    fitted = (start + step * at) / depth
    return places - fitted, np.column_stack([1.0 / depth, at / depth, -fitted * at / depth])
