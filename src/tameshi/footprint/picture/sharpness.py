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
    """Return whether edges across some direction are all too wide to show a reference."""
    width = widest_edge(view)
    return width is not None and width > _BLURRED


def widest_edge(view: View) -> float | None:
    """Return the width of the sharpest edges in the worst direction, as a share of the longer side.

    Returns
    -------
    float or None
        None where nothing stands out from anything. Contrast over slope; derived.
    """
    factor = max(1, round(max(view.grey.shape) / _LONG_SIDE))
    size = (view.grey.shape[1] // factor, view.grey.shape[0] // factor)
    small = cv2.resize(view.grey, size, interpolation=cv2.INTER_AREA).astype(np.float32)
    small = np.asarray(cv2.GaussianBlur(small, (0, 0), 1.0), np.float32)
    dark, bright = np.quantile(small, (0.01, 0.99))
    contrast = float(bright - dark)
    if contrast < _LEAST_CONTRAST:
        return None
    down, across = np.gradient(small)
    widths: list[float] = []
    for turn in np.arange(_WAYS) * np.pi / _WAYS:
        slope = np.abs(np.cos(turn) * across + np.sin(turn) * down)
        widths.append(contrast / max(float(np.quantile(slope, _STEEPEST)), 1e-3))
    return max(widths) / float(max(small.shape))
