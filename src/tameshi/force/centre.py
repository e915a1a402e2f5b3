"""Where most values lie, and how far they scatter there, whatever a minority does."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

# width of the middle half and quarter of a normal distribution, in standard deviations
_HALF_OF_NORMAL, _QUARTER_OF_NORMAL = 1.349, 0.637
_FEWEST = 2


def centre(values: FloatArray, *, quarter: bool = False) -> tuple[float, float]:
    """Return where most values lie and their standard deviation there.

    The narrowest span holding half the values (a quarter, if so asked) marks the quiet ones; their
    median within three standard deviations is the centre. Strikes may fill the rest.
    """
    if len(values) < _FEWEST:
        return (float(values[0]) if len(values) else 0.0), 0.0
    ordered = np.sort(values)
    half = max(1, len(ordered) // (4 if quarter else 2))
    widths = ordered[half:] - ordered[: len(ordered) - half]
    start = int(np.argmin(widths))
    scale = float(widths[start]) / (_QUARTER_OF_NORMAL if quarter else _HALF_OF_NORMAL)
    middle = 0.5 * (ordered[start] + ordered[start + half])
    near = ordered[np.abs(ordered - middle) <= 3.0 * scale]
    return float(np.median(near)) if len(near) else float(middle), scale
