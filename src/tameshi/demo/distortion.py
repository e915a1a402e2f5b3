"""What a lens that bends straight lines does to a rendered picture."""

from __future__ import annotations

import cv2
import numpy as np

from tameshi.demo.prints import Picture

_BAND = 256  # rows done at once
_ROUNDS = 8


def distorted(light: Picture, k: float) -> Picture:
    """Return a picture, (h, w, 3), as a lens of that radial distortion shows it."""
    if k == 0.0:
        return light
    rows, columns = light.shape[:2]
    middle = np.array([(columns - 1) / 2.0, (rows - 1) / 2.0], np.float32)
    reach = np.float32(0.25 * (columns**2 + rows**2))
    bands = []
    for top in range(0, rows, _BAND):
        down = np.arange(top, min(top + _BAND, rows), dtype=np.float32)
        x, y = np.meshgrid(np.arange(columns, dtype=np.float32), down)
        away = (x - middle[0]) ** 2 + (y - middle[1]) ** 2
        inwards = np.ones_like(away)
        for _ in range(_ROUNDS):
            inwards = 1.0 / (1.0 + np.float32(k) * away * inwards**2 / reach)
        x, y = (x - middle[0]) * inwards + middle[0], (y - middle[1]) * inwards + middle[1]
        bands.append(cv2.remap(light, x, y, cv2.INTER_CUBIC, borderMode=cv2.BORDER_REPLICATE))
    return np.asarray(np.concatenate(bands), np.float32)
