"""Carry values that are known in places over the whole picture, smoothly."""

from collections.abc import Sequence

import cv2
import numpy as np

from tameshi.footprint.picture.arrays import Picture, Where

_ENOUGH = 0.05  # of full weight: from there on a place's own value counts
_NO_WEIGHT = np.float32(1e-6)
_SMALLEST = 4  # pixels: the coarsest level of the pyramid


def spread_over(pictures: Sequence[Picture], weight: Picture) -> list[Picture]:
    """Return values smoothed where they have weight and carried on where they have none.

    Parameters
    ----------
    pictures : sequence of (h, w) arrays
        Values that share their weight.
    weight : (h, w) array
        0 where values are not known; larger where they count for more.

    Returns
    -------
    list of (h, w) arrays
        Near known values about those, far from them the average of what is around, coarser the
        farther. Zeros where nothing is known at all.

    Notes
    -----
    A pyramid of weighted averages, filled from the coarse end. Derived.
    """
    most = float(weight.max())
    if min(weight.shape) <= _SMALLEST or most == 0.0:
        total = float(weight.sum()) or 1.0
        return [
            np.where(weight > _ENOUGH, values, np.float32((values * weight).sum() / total))
            for values in pictures
        ]
    height, width = weight.shape
    half = ((width + 1) // 2, (height + 1) // 2)
    fewer_weight = np.asarray(cv2.resize(weight, half, interpolation=cv2.INTER_AREA), np.float32)
    fewer = [
        ratio(np.asarray(cv2.resize(values * weight, half, interpolation=cv2.INTER_AREA)), fewer_weight)
        for values in pictures
    ]
    own = np.minimum(weight / np.float32(_ENOUGH), np.float32(1.0)) if most > _ENOUGH else weight
    spread = []
    for values, coarse in zip(pictures, spread_over(fewer, np.minimum(4.0 * fewer_weight, 1.0)), strict=True):
        carried = np.asarray(cv2.resize(coarse, (width, height), interpolation=cv2.INTER_LINEAR), np.float32)
        carried += own * (values - carried)
        spread.append(carried)
    return spread


def smoothed_over(pictures: Sequence[Picture], weight: Picture, sigma: float) -> list[Picture]:
    """Return weighted Gaussian averages, carried on where nothing is known nearby.

    Parameters
    ----------
    pictures : sequence of (h, w) arrays
        Values that share their weight.
    weight : (h, w) array
    sigma : float
        Standard deviation of the Gaussian, in pixels.
    """
    near = np.asarray(cv2.GaussianBlur(weight, (0, 0), sigma), np.float32)
    sums = [np.asarray(cv2.GaussianBlur(values * weight, (0, 0), sigma), np.float32) for values in pictures]
    return spread_over([ratio(part, near) for part in sums], near)


def averages_over(pictures: Sequence[Picture], where: Where, coarser: int, sigma: float) -> list[Picture]:
    """Return Gaussian averages of pictures over some of their pixels, as pictures some times coarser.

    Parameters
    ----------
    pictures : sequence of (h, w) arrays
    where : (h, w) array of bool
        The pixels that count.
    coarser : int
        How many times coarser the result is.
    sigma : float
        Standard deviation of the Gaussian, in pixels of the pictures.
    """
    weight = where.astype(np.float32)
    share = averaged(weight, coarser)
    means = [ratio(averaged(values * weight, coarser), share) for values in pictures]
    return smoothed_over(means, share, sigma / coarser)


def averaged(picture: Picture, times: int) -> Picture:
    """Return a picture, (h, w), some times coarser; its last pixels are repeated to whole squares."""
    rows, columns = (-(-side // times) for side in picture.shape)
    more = (rows * times - picture.shape[0], columns * times - picture.shape[1])
    whole = (
        cv2.copyMakeBorder(picture, 0, more[0], 0, more[1], cv2.BORDER_REPLICATE) if any(more) else picture
    )
    return np.asarray(cv2.resize(whole, (columns, rows), interpolation=cv2.INTER_AREA), np.float32)


def enlarged(picture: Picture, coarser: int, like: Picture) -> Picture:
    """Return a picture, (h, w), that is some times coarser than another, at the size of that."""
    rows, columns = like.shape
    whole = cv2.resize(picture, None, fx=coarser, fy=coarser, interpolation=cv2.INTER_LINEAR)
    return np.asarray(whole[:rows, :columns], np.float32)


def ratio(sums: Picture, weight: Picture) -> Picture:
    """Return weighted sums over weights: the mean where there is weight, zero where there is none."""
    return np.asarray(sums / np.maximum(weight, _NO_WEIGHT), np.float32)
