"""Thin dark things in a picture: printed lines and ticks."""

import cv2
import numpy as np

from tameshi.footprint.picture.arrays import Picture

_LINE = 9  # pixels: printed lines are thinner
_MOST_DARK = 0.4  # darkness that counts: a letter should not outshout lines


def thin_darkness(level: Picture) -> Picture:
    """Return how much darker thin things are than what is around them, as shares."""
    ground = cv2.morphologyEx(level, cv2.MORPH_CLOSE, np.ones((_LINE, _LINE), np.uint8))
    dark = np.clip(1.0 - level / np.maximum(ground, np.float32(0.02)), 0.0, _MOST_DARK)
    return np.asarray(dark, np.float32)
