"""Is anything in a picture sharp? Told apart by direction, since motion blurs one way only."""

from dataclasses import dataclass

import cv2
import numpy as np

from tameshi.footprint.picture.arrays import Where
from tameshi.footprint.picture.view import View

_LONG_SIDE = 1000  # pixels of the copy that is looked at
_LEAST_CONTRAST = 40.0  # stored values between the darkest and the brightest parts: less is a blank picture
_STEEPEST = 0.999  # share of pixels that are flatter than the steepest edges
_WAYS = 8
_BLURRED = 0.012  # of the picture's longer side: wider edges show no marker and no tick
_FEWEST = 24  # pixels of the copy that are steep each way around a small sharp thing
_MOST, _LEAST = 0.2, 0.01  # of the picture's sides: the small thing's; smaller is a speck
_MOSTLY = 0.9  # of the steep pixels


@dataclass(frozen=True, slots=True)
class Sharpness:
    """What is sharp in a picture.

    Parameters
    ----------
    blurred : bool
        Whether edges across some direction are all too wide to show a reference.
    small : (float, float, float, float) or None
        Left, top, right and bottom of the one small thing that is sharp all the same, as shares of the
        picture's width and height; None where there is none.
    """

    blurred: bool
    small: tuple[float, float, float, float] | None = None


def look_for_blur(view: View) -> Sharpness:
    """Return whether nothing in a picture is sharp, or hardly anything.

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
        return Sharpness(blurred=False)
    down, across = (np.asarray(np.gradient(small, axis=n), np.float32) for n in (0, 1))
    needed = contrast / (_BLURRED * max(small.shape))
    steep = np.square(down) + np.square(across) >= needed**2
    fewest = (1.0 - _STEEPEST) * (small.size - 1)
    counts = [
        np.count_nonzero(np.abs(np.cos(turn) * across[steep] + np.sin(turn) * down[steep]) >= needed)
        for turn in np.arange(_WAYS) * np.pi / _WAYS
    ]
    if min(counts) > fewest:
        return Sharpness(blurred=False)
    return Sharpness(blurred=True, small=_small_thing(steep) if min(counts) >= _FEWEST else None)


def _small_thing(steep: Where) -> tuple[float, float, float, float] | None:
    """Return the box that holds nearly all steep pixels, if it is small."""
    tails = (0.5 * (1.0 - _MOSTLY), 0.5 * (1.0 + _MOSTLY))
    height, width = steep.shape
    rows, columns = np.nonzero(steep)
    top, bottom = (float(edge) / height for edge in np.quantile(rows, tails))
    left, right = (float(edge) / width for edge in np.quantile(columns, tails))
    if not all(_LEAST <= size <= _MOST for size in (right - left, bottom - top)):
        return None
    return left, top, right, bottom
