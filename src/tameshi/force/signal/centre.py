"""Where most values lie, and how far they scatter there, whatever a minority does."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

# width of the middle half and quarter of a normal distribution, in standard deviations
_HALF_OF_NORMAL, _QUARTER_OF_NORMAL = 1.349, 0.637
_FEWEST = 2
_NEAR = 3.0


def centre(values: FloatArray, *, quarter: bool = False) -> tuple[float, float]:
    """Return where most values lie and their standard deviation there.

    The narrowest span holding half the values (a quarter, if so asked) marks the quiet ones; their
    median within three standard deviations is the centre. Strikes may fill the rest.
    """
    if len(values) < _FEWEST:
        return (float(values[0]) if len(values) else 0.0), 0.0
    level, scale = centres(values[None, :], quarter=quarter)
    return float(level[0]), float(scale[0])


def centres(rows: FloatArray, *, quarter: bool = False) -> tuple[FloatArray, FloatArray]:
    """Return :func:`centre` of every row.

    Parameters
    ----------
    rows : (m, n) array, n >= 2
        Without NaN.
    quarter : bool

    Returns
    -------
    (m,) array, (m,) array
        Level and standard deviation.
    """
    ordered = np.sort(rows, axis=1)
    half = max(1, ordered.shape[1] // (4 if quarter else 2))
    widths = ordered[:, half:] - ordered[:, :-half]
    start = np.argmin(widths, axis=1)
    row = np.arange(len(ordered))
    scale: FloatArray = widths[row, start] / (_QUARTER_OF_NORMAL if quarter else _HALF_OF_NORMAL)
    middle = 0.5 * (ordered[row, start] + ordered[row, start + half])
    near = np.abs(ordered - middle[:, None]) <= _NEAR * scale[:, None]
    # what is near stands together in ordered values: its median is at the middle of the run
    first, count = np.argmax(near, axis=1), np.count_nonzero(near, axis=1)
    lower, upper = first + (np.maximum(count, 1) - 1) // 2, first + count // 2
    level = 0.5 * (ordered[row, lower] + ordered[row, np.maximum(lower, upper)])
    return np.where(count > 0, level, middle), scale
