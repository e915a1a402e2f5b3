"""Is anything in a picture sharp? Told apart by direction, since motion blurs one way only."""

import cv2
import numpy as np

from tameshi.footprint.picture.view import View

_LONG_SIDE = 1000  # pixels of the copy that is looked at
_LEAST_CONTRAST = 40.0  # stored values between the darkest and the brightest parts: less is a blank picture
_STEEPEST = 0.999  # share of pixels that are flatter than the steepest edges
_WAYS = 8
_BLURRED = 0.012  # of the picture's longer side: wider edges show no marker and no tick


def is_blurred(view: View) -> bool:
    """Return whether edges across some direction are all too wide to show a reference.

    An edge is as wide as its contrast over its slope. Where nothing stands out from anything, nothing is
    blurred. Derived.
    """
    factor = max(1, round(max(view.grey.shape) / _LONG_SIDE))
    small = np.asarray(
        cv2.GaussianBlur(view.smaller(factor, grey=True).astype(np.float32), (0, 0), 1.0), np.float32
    )
    dark, bright = np.quantile(small, (0.01, 0.99))
    contrast = float(bright - dark)
    if contrast < _LEAST_CONTRAST:
        return False
    down, across = (np.asarray(np.gradient(small, axis=n), np.float32) for n in (0, 1))
    needed = contrast / (_BLURRED * max(small.shape))
    steep = np.square(down) + np.square(across) >= needed**2
    down, across = down[steep], across[steep]
    fewest = (1.0 - _STEEPEST) * (small.size - 1)
    return any(
        np.count_nonzero(np.abs(np.cos(turn) * across + np.sin(turn) * down) >= needed) <= fewest
        for turn in np.arange(_WAYS) * np.pi / _WAYS
    )
