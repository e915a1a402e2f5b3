"""Thin dark things in a picture: printed lines and ticks."""

import cv2
import numpy as np

from tameshi.footprint.picture.arrays import Picture, Pixels

_LINE = 9  # pixels: printed lines are thinner
_MOST_DARK = 0.4  # darkness that counts: a letter should not outshout lines
_DARKEST_GROUND = 0.02  # of full scale: blacker ground shows nothing
_ROWS = 128  # done at once: they stay near the processor


def thin_darkness(level: Picture | Pixels) -> Picture:
    """Return how much darker thin things are than what is around them, as shares.

    Parameters
    ----------
    level : (h, w) array
        From 0 to 1, or stored values.
    """
    dark = np.empty(level.shape, np.float32)
    least = level.dtype.type(_DARKEST_GROUND * (255 if level.dtype == np.uint8 else 1))
    window = np.ones((_LINE, _LINE), np.uint8)
    around = _LINE - 1  # rows to either side that a row's ground depends on
    for top in range(0, len(level), _ROWS):
        first, last = max(0, top - around), min(len(level), top + _ROWS + around)
        part, own = level[first:last], slice(top - first, min(top + _ROWS, len(level)) - first)
        ground = np.maximum(cv2.morphologyEx(part, cv2.MORPH_CLOSE, window)[own], least)
        share = np.asarray(cv2.divide(part[own], ground, dtype=cv2.CV_32F), np.float32)
        # ground is never darker than what lies on it: no share is above 1
        np.maximum(share, np.float32(1.0 - _MOST_DARK), out=share)
        np.subtract(np.float32(1.0), share, out=dark[top : top + _ROWS])
    return dark
