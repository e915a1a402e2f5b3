"""Which part of a piece of paper lies beyond the picture's edge."""

import cv2
import numpy as np

from tameshi.footprint.geometry.box import Box
from tameshi.footprint.geometry.plane import Plane, to_pixels
from tameshi.footprint.picture.arrays import Mask

_KNOTS = 40  # each way, from which the picture's edge is interpolated


def unseen(plane: Plane, region: Box, scale: float, size: tuple[int, int]) -> Mask | None:
    """Return 1 where the paper is not in the picture, None where all of it is.

    Parameters
    ----------
    plane : Plane
    region : Box
        Part of the paper, in metres.
    scale : float
        Metres a pixel of the result.
    size : (int, int)
        Width and height of the picture, in its pixels.

    Returns
    -------
    (rows, columns) array of uint8, or None
    """
    x = np.linspace(region.left, region.right, _KNOTS)
    y = np.linspace(region.top, region.bottom, _KNOTS)
    places = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
    seen = to_pixels(plane, places)
    inside = np.minimum(seen, np.array(size) - 1.0 - seen).min(axis=1) + 0.5
    if inside.min() >= 0.0:
        return None
    rows, columns = max(1, round(region.height / scale)), max(1, round(region.width / scale))
    # knots lie on the region's edge, pixels half a pixel inside it
    at = [(np.arange(n, dtype=np.float32) + 0.5) / n * (_KNOTS - 1) for n in (columns, rows)]
    across, down = np.meshgrid(*at)
    depth = cv2.remap(inside.reshape(_KNOTS, _KNOTS).astype(np.float32), across, down, cv2.INTER_LINEAR)
    return np.asarray(np.asarray(depth) < 0.0, np.uint8)
