"""Carry values that are known in places over the whole picture, smoothly."""

import cv2
import numpy as np

from tameshi.footprint.picture.arrays import Picture

_ENOUGH = 0.05  # of full weight: from there on a place's own value counts
_NO_WEIGHT = np.float32(1e-6)
_SMALLEST = 4  # pixels: the coarsest level of the pyramid


def spread_over(values: Picture, weight: Picture) -> Picture:
    """Return values smoothed where they have weight and carried on where they have none.

    Parameters
    ----------
    values : (h, w) array
    weight : (h, w) array
        0 where a value is not known; larger where it counts for more.

    Returns
    -------
    (h, w) array
        Near known values about those, far from them the average of what is around, coarser the
        farther. Zeros where nothing is known at all.

    Notes
    -----
    A pyramid of weighted averages, filled from the coarse end. Derived.
    """
    height, width = values.shape
    if min(height, width) <= _SMALLEST or float(weight.max()) == 0.0:
        total = float(weight.sum())
        mean = float((values * weight).sum()) / total if total > 0.0 else 0.0
        return np.where(weight > _ENOUGH, values, np.float32(mean)).astype(np.float32)
    half = ((width + 1) // 2, (height + 1) // 2)
    fewer_weight = np.asarray(cv2.resize(weight, half, interpolation=cv2.INTER_AREA), np.float32)
    sums = np.asarray(cv2.resize(values * weight, half, interpolation=cv2.INTER_AREA), np.float32)
    coarse = spread_over(ratio(sums, fewer_weight), np.minimum(4.0 * fewer_weight, 1.0))
    carried = cv2.resize(coarse, (width, height), interpolation=cv2.INTER_LINEAR)
    own = np.clip(weight / _ENOUGH, 0.0, 1.0) if weight.max() > _ENOUGH else weight
    filled: Picture = (own * values + (1.0 - own) * carried).astype(np.float32)
    return filled


def smoothed_over(values: Picture, weight: Picture, sigma: float) -> Picture:
    """Return a weighted Gaussian average, carried on where nothing is known nearby.

    Parameters
    ----------
    values, weight : (h, w) arrays
    sigma : float
        Standard deviation of the Gaussian, in pixels.
    """
    near = np.asarray(cv2.GaussianBlur(weight, (0, 0), sigma), np.float32)
    sums = np.asarray(cv2.GaussianBlur(values * weight, (0, 0), sigma), np.float32)
    return spread_over(ratio(sums, near), near)


def ratio(sums: Picture, weight: Picture) -> Picture:
    """Return weighted sums over weights: the mean where there is weight, zero where there is none."""
    return np.asarray(sums / np.maximum(weight, _NO_WEIGHT), np.float32)
