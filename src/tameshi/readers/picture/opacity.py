"""What is transparent shows the paper under it: white."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

_ROWS = 256  # blended at once, so that memory stays bounded


def on_white(
    pixels: NDArray[np.uint8] | NDArray[np.uint16],
) -> NDArray[np.uint8] | NDArray[np.uint16]:
    """Return colours on white paper.

    Parameters
    ----------
    pixels : (h, w, 4) array of uint8 or uint16
        Red, green, blue and opacity, colours not multiplied by it.

    Returns
    -------
    (h, w, 3) array of the same type
    """
    full = float(np.iinfo(pixels.dtype).max)
    blended = np.empty((*pixels.shape[:2], 3), pixels.dtype)
    for top in range(0, len(pixels), _ROWS):
        part = pixels[top : top + _ROWS].astype(np.float32)
        opacity = part[:, :, 3:] / full
        blended[top : top + _ROWS] = np.rint(part[:, :, :3] * opacity + full * (1.0 - opacity))
    return blended
