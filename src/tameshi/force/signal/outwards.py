"""Follow a signal outwards from a place to where it falls below a level."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
_FIRST_LOOK = 64


def outwards(signal: FloatArray, start: int, direction: int, level: float) -> int:
    """Return the first index from ``start`` on where the signal is below a level.

    Parameters
    ----------
    signal : (n,) array
    start : int
        Counted as well.
    direction : -1 or 1
    level : float
        In the signal's unit.

    Returns
    -------
    int
        n or -1 where it stays above to the end.
    """
    # most ends are near: ever longer pieces are looked at
    length = _FIRST_LOOK
    while 0 <= start < len(signal):
        if direction > 0:
            part = signal[start : start + length] < level
        else:
            part = signal[max(0, start - length + 1) : start + 1][::-1] < level
        nearest = int(part.argmax())
        if part[nearest]:
            return start + direction * nearest
        start += direction * len(part)
        length *= 2
    return len(signal) if direction > 0 else -1
