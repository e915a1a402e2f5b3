"""What is left of a flat fit: how much areas may be off where the sheet or the lens still bends."""

import numpy as np

from tameshi.footprint.picture.arrays import FloatArray

_ORDER = 3
_PLACES = 9  # each way, where the bending is looked at
_SHARE = 0.9  # of the places: the rest are the outermost corners
_FEWEST = 40


def area_error(places: FloatArray, off: FloatArray) -> float | None:
    """Return by what share areas are off, nearly everywhere, from smooth misfit.

    Parameters
    ----------
    places : (n, 2) array
        On the paper, in metres.
    off : (n, 2) array
        Misfit there, in metres.

    Returns
    -------
    float or None
        The divergence of a cubic through the misfit, at most so much over most of the paper; None
        where there are too few points. Derived.
    """
    if len(places) < _FEWEST:
        return None
    middle, half = places.mean(axis=0), np.maximum(np.ptp(places, axis=0) / 2.0, 1e-6)
    at = (places - middle) / half
    factors = np.linalg.lstsq(_terms(at), off, rcond=None)[0]
    line = np.linspace(-0.9, 0.9, _PLACES)
    board = np.stack(np.meshgrid(line, line), axis=2).reshape(-1, 2)
    step = 1e-3
    spread = np.zeros(len(board))
    for axis in (0, 1):
        shift = np.zeros(2)
        shift[axis] = step
        slope = (_terms(board + shift) - _terms(board - shift)) @ factors[:, axis] / (2.0 * step)
        spread += slope / half[axis]
    return float(np.quantile(np.abs(spread), _SHARE))


def _terms(at: FloatArray) -> FloatArray:
    x, y = at.T
    return np.column_stack([x**n * y**m for n in range(_ORDER + 1) for m in range(_ORDER + 1 - n)])
