"""The corners of a dark square on white to a fraction of a pixel: where its sides cross half of the light.

Stored values are raised to the power that turns them back into light first: half of the stored step lies
inside of a dark square, by a third of a pixel where a lens is soft, and would make every scale read too
large.
"""

from __future__ import annotations

import cv2
import numpy as np

from tameshi.motion.arrays import FloatArray, Light, Pixels

_POWER = 2.2  # from stored values to light, of video near enough
_PLACES = 24  # along each side
_ENDS = 0.12  # of a side that is left out at either end
_REACH = 4.0  # pixels across a side; less where the marker is small
_BORDER = 0.12  # of a side: white around it, and black before its pattern, at least
_STEP = 0.1  # pixels


def exact_corners(grey: Pixels, corners: FloatArray) -> FloatArray:
    """Return the corners of a square marker, better than they were found.

    Parameters
    ----------
    grey : (h, w) array
        Stored values.
    corners : (4, 2) array
        Rough, in order around.

    Returns
    -------
    (4, 2) array
        As they were, where a side cannot be followed.
    """
    light = ((grey.astype(np.float32) / 255.0) ** _POWER).astype(np.float32)
    sides = []
    for begin, end in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        line = _side(light, begin, end, corners.mean(axis=0))
        if line is None:
            return corners
        sides.append(line)
    return np.array([_meet(sides[n - 1], sides[n]) for n in range(4)])


def _side(
    light: Light, begin: FloatArray, end: FloatArray, middle: FloatArray
) -> tuple[FloatArray, FloatArray] | None:
    """Return a point of a side and its direction."""
    along = (end - begin) / np.hypot(*(end - begin))
    out = np.array([along[1], -along[0]])
    out = out if (begin - middle) @ out > 0.0 else -out
    length = float(np.hypot(*(end - begin)))
    reach = min(_REACH, _BORDER * length)
    if reach < 1.5:  # noqa: PLR2004  pixels: a softened edge needs as much on either side
        return None
    places = begin + np.linspace(_ENDS, 1.0 - _ENDS, _PLACES)[:, None] * (end - begin)
    away = np.arange(-reach, reach + _STEP / 2, _STEP)
    x, y = ((places[:, None, k] + away[None, :] * out[k]).astype(np.float32) for k in (0, 1))
    seen = cv2.remap(light, x, y, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    ends = max(1, round(0.25 * len(away)))
    level = 0.5 * (np.median(seen[:, :ends]) + np.median(seen[:, -ends:]))
    found = []
    for place, ray in zip(places, seen, strict=True):
        crossed = np.flatnonzero((ray[:-1] < level) & (ray[1:] >= level))
        if len(crossed):
            k = int(crossed[np.argmin(np.abs(away[crossed]))])
            found.append(place + out * (away[k] + _STEP * (level - ray[k]) / (ray[k + 1] - ray[k])))
    if len(found) < _PLACES // 2:
        return None
    points = np.array(found)
    offset = (points - points.mean(axis=0)) @ out
    keep = np.abs(offset - np.median(offset)) < 1.0
    points = points[keep]
    centre = points.mean(axis=0)
    _, _, axes = np.linalg.svd(points - centre)
    return centre, axes[0]


def _meet(one: tuple[FloatArray, FloatArray], other: tuple[FloatArray, FloatArray]) -> FloatArray:
    """Return where two lines meet."""
    share = np.linalg.solve(np.column_stack([one[1], -other[1]]), other[0] - one[0])
    return np.asarray(one[0] + share[0] * one[1])
