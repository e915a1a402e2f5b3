"""Colours of pixels: the darkest and the brightest of three, and levels by rank, quickly."""

import cv2
import numpy as np

from tameshi.footprint.picture.arrays import FloatArray, Mask, Picture, Pixels, Where

_ENOUGH = 20_000  # values: their median is off by less than a hundredth of their scatter


def lowest(pixels: Pixels) -> Pixels:
    """Return the least of red, green and blue, (h, w), of a picture, (h, w, 3)."""
    red, green, blue = cv2.split(pixels)
    return np.asarray(cv2.min(cv2.min(red, green), blue), np.uint8)


def highest(pixels: Pixels) -> Pixels:
    """Return the greatest of red, green and blue, (h, w), of a picture, (h, w, 3)."""
    red, green, blue = cv2.split(pixels)
    return np.asarray(cv2.max(cv2.max(red, green), blue), np.uint8)


def median_where(values: Picture, where: Where) -> float:
    """Return the median of values where something holds, as :func:`some_where` sees them."""
    return float(np.median(some_where(values, where)))


def some_where(values: Picture, where: Where) -> Picture:
    """Return values, (n,), where something holds; of many every so many.

    Parameters
    ----------
    values, where : (h, w) arrays
    """
    at = np.flatnonzero(where)
    return values.take(at[:: max(1, len(at) // _ENOUGH)])


def quantiles(values: Pixels, shares: tuple[float, ...], within: Mask | None = None) -> FloatArray:
    """Return quantiles of stored values, (h, w), as ``numpy.quantile`` does, by counting them.

    Parameters
    ----------
    values : (h, w) array of uint8
    shares : tuple of float
    within : (h, w) array or None
        Only values where it is not 0 count; there must be some.
    """
    counts = np.asarray(cv2.calcHist([values], [0], within, [256], [0, 256]), np.int64).ravel()
    up_to = np.cumsum(counts)
    place = np.asarray(shares) * (up_to[-1] - 1)
    before = np.floor(place)
    low, high = (np.searchsorted(up_to, rank, side="right") for rank in (before, np.ceil(place)))
    found: FloatArray = low + (place - before) * (high - low)
    return found
