"""Whether a closed line crosses itself."""

from collections.abc import Sequence

import numpy as np

from tameshi.footprint.picture.arrays import FloatArray


def is_simple(corners: Sequence[tuple[float, float]]) -> bool:
    """Return whether a polygon has an inside and no two of its sides meet but at their common corner.

    Parameters
    ----------
    corners : sequence of (float, float)
        Three at least; the last is joined to the first.
    """
    starts = np.asarray(corners, np.float64)
    ends = np.roll(starts, -1, axis=0)
    count = len(starts)
    if len(np.unique(starts, axis=0)) < count or _area(starts, ends) == 0.0:
        return False
    for n in range(count):
        after = (n + 1) % count
        others = np.arange(count)
        others = others[(others != n) & (others != after) & (others != (n - 1) % count)]
        if np.any(_meet(starts[n], ends[n], starts[others], ends[others])):
            return False
        if _folds_back(starts[n], ends[n], ends[after]):
            return False
    return True


def _area(starts: FloatArray, ends: FloatArray) -> float:
    return 0.5 * float(np.sum(starts[:, 0] * ends[:, 1] - ends[:, 0] * starts[:, 1]))


def _folds_back(before: FloatArray, corner: FloatArray, after: FloatArray) -> bool:
    """Return whether a side runs back over the one before."""
    there, back = corner - before, after - corner
    return bool(_side(before, corner, after) == 0.0 and float(there @ back) < 0.0)


def _meet(start: FloatArray, end: FloatArray, starts: FloatArray, ends: FloatArray) -> FloatArray:
    """Return which of other sides a side crosses or touches."""
    one, two = _side(start, end, starts), _side(start, end, ends)
    three, four = _side(starts, ends, start), _side(starts, ends, end)
    apart = (one * two > 0.0) | (three * four > 0.0)
    low, high = np.minimum(start, end), np.maximum(start, end)
    lows, highs = np.minimum(starts, ends), np.maximum(starts, ends)
    clear = np.any((highs < low) | (lows > high), axis=1)
    return np.asarray(~(apart | clear))


def _side(start: FloatArray, end: FloatArray, point: FloatArray) -> FloatArray:
    """Return on which side of a line points lie: the sign of the cross product."""
    way, to = end - start, point - start
    return np.asarray(way[..., 0] * to[..., 1] - way[..., 1] * to[..., 0])
