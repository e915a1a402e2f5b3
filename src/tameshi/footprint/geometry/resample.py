"""Look up pixels elsewhere: a picture as seen through a homography, or wherever a function says.

Both go by narrow strips and take from the picture only what a strip shows: that stays near the processor,
and memory stays bounded. Beyond the picture's edge its outermost pixels are repeated.
"""

import math
from collections.abc import Callable

import cv2
import numpy as np

from tameshi.footprint.picture.arrays import FloatArray, Picture, Pixels

_STRIP = 128  # columns done at once
_SQUARE = 8  # pixels: so far apart are those whose place is asked for, if a function tells it
_GREY = 2  # axes of a picture in grey


def warped(pixels: Pixels, matrix: FloatArray, size: tuple[int, int]) -> Pixels:
    """Return a picture as seen through a homography.

    Parameters
    ----------
    pixels : (h, w, 3) or (h, w) array
    matrix : (3, 3) array
        From pixels of the result to those of the picture.
    size : (int, int)
        Columns and rows of the result.
    """
    seen = np.empty((size[1], size[0], *pixels.shape[2:]), np.uint8)
    for first in range(0, size[0], _STRIP):
        strip = seen[:, first : first + _STRIP]
        strip[...] = _strip(pixels, matrix @ _moved(first, 0), (strip.shape[1], size[1]))
    return seen


def looked_up(pixels: Pixels, where: Callable[[FloatArray], FloatArray], size: tuple[int, int]) -> Pixels:
    """Return a picture with each pixel taken from somewhere else.

    Parameters
    ----------
    pixels : (h, w, 3) or (h, w) array
    where : callable
        From pixels of the result, (n, 2), to places in the picture, (n, 2), column before row; smooth.
    size : (int, int)
        Columns and rows of the result.

    Notes
    -----
    The function is asked for the middles of small squares, and places are interpolated between them: for the
    perspective and the lens of a photo that is off by some thousandths of a pixel.
    """
    columns, rows = (_SQUARE * np.arange(-1, side // _SQUARE + 2) + 0.5 * (_SQUARE - 1) for side in size)
    grid = np.stack(np.meshgrid(columns, rows), axis=-1)
    asked = where(grid.reshape(-1, 2)).astype(np.float32).reshape(grid.shape)
    x, y = (_between(np.ascontiguousarray(asked[:, :, way]), size) for way in (0, 1))
    seen = np.empty((size[1], size[0], *pixels.shape[2:]), np.uint8)
    for first in range(0, size[0], _STRIP):
        strip = slice(first, first + _STRIP)
        seen[:, strip] = _at(pixels, x[:, strip], y[:, strip])
    return seen


def _between(asked: Picture, size: tuple[int, int]) -> Picture:
    """Return values at every pixel from those at the middles of squares, of one more square all round."""
    whole = np.asarray(cv2.resize(asked, None, fx=_SQUARE, fy=_SQUARE), np.float32)
    return whole[_SQUARE : _SQUARE + size[1], _SQUARE : _SQUARE + size[0]]


def _strip(pixels: Pixels, matrix: FloatArray, size: tuple[int, int]) -> Pixels:
    rows, columns = _seen_part(pixels, matrix, size)
    part, moved = _four_channels(pixels[rows, columns]), _moved(-columns.start, -rows.start) @ matrix
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    found = cv2.warpPerspective(part, moved, size, flags=flags, borderMode=cv2.BORDER_REPLICATE)
    return _three_channels(np.asarray(found, np.uint8))


def _at(pixels: Pixels, x: Picture, y: Picture) -> Pixels:
    rows = _within((float(y.min()), float(y.max())), pixels.shape[0])
    columns = _within((float(x.min()), float(x.max())), pixels.shape[1])
    part = _four_channels(pixels[rows, columns])
    x, y = x - np.float32(columns.start), y - np.float32(rows.start)
    found = cv2.remap(part, x, y, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    return _three_channels(np.asarray(found, np.uint8))


def _four_channels(pixels: Pixels) -> Pixels:
    """Return a picture in colour with a channel more: interpolating that takes less than half the time."""
    return pixels if pixels.ndim == _GREY else np.asarray(cv2.cvtColor(pixels, cv2.COLOR_RGB2RGBA), np.uint8)


def _three_channels(pixels: Pixels) -> Pixels:
    return pixels if pixels.ndim == _GREY else np.asarray(cv2.cvtColor(pixels, cv2.COLOR_RGBA2RGB), np.uint8)


def _moved(x: float, y: float) -> FloatArray:
    return np.array([[1.0, 0.0, x], [0.0, 1.0, y], [0.0, 0.0, 1.0]])


def _seen_part(pixels: Pixels, matrix: FloatArray, size: tuple[int, int]) -> tuple[slice, slice]:
    """Return the rows and columns of a picture that a homography shows, all where it shows its horizon."""
    corners = np.array([(x, y, 1.0) for x in (0, size[0] - 1) for y in (0, size[1] - 1)]) @ matrix.T
    height, width = pixels.shape[:2]
    if corners[:, 2].min() <= 0.0 < corners[:, 2].max():
        return slice(0, height), slice(0, width)
    x, y = (corners[:, way] / corners[:, 2] for way in (0, 1))
    return _within((float(y.min()), float(y.max())), height), _within((float(x.min()), float(x.max())), width)


def _within(places: tuple[float, float], side: int) -> slice:
    """Return the pixels that are needed to interpolate between two places along a side of a picture."""
    first = min(max(0, math.floor(places[0]) - 1), side - 1)
    return slice(first, max(first + 1, min(side, math.ceil(places[1]) + 2)))
