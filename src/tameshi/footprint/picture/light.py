"""Pixels as they come, and the light they stand for.

Cameras and scanners store values close to the sRGB curve, but lenses mix light and drawing
software mixes stored values. Which of the two an edge obeys is estimated elsewhere; here are the
tables that turn one into the other.
"""

import cv2
import numpy as np
from numpy.typing import NDArray

from tameshi.errors import WrongUseError
from tameshi.footprint.picture.arrays import Picture, Pixels

_GREY_AXES, _COLOUR_AXES = 2, 3
_ALPHA = 4
_LINEAR_END = 0.04045  # of full scale: below it the curve is a straight line

DARKEST = 0.004
"""Light, as a share of full scale, below which a logarithm would show noise only."""


def _decoding() -> Picture:
    """Return the linear light, 0 to 1, of each eight-bit sRGB value (IEC 61966-2-1, value from memory)."""
    value = np.arange(256) / 255.0
    curve = np.where(value <= _LINEAR_END, value / 12.92, ((value + 0.055) / 1.055) ** 2.4)
    return curve.astype(np.float32)


LINEAR = _decoding()
"""Linear light of each stored value."""

ENCODED = (np.arange(256) / 255.0).astype(np.float32)
"""Each stored value as a share of full scale."""


def as_rgb(pixels: NDArray[np.generic]) -> Pixels:
    """Return any picture as eight-bit red, green and blue.

    Parameters
    ----------
    pixels : (h, w), (h, w, 1), (h, w, 3) or (h, w, 4) array of uint8 or uint16
        A fourth channel is opacity; what is transparent becomes white paper.

    Raises
    ------
    WrongUseError
        If it is no such array.
    """
    shape_fits = pixels.ndim == _GREY_AXES or (pixels.ndim == _COLOUR_AXES and pixels.shape[2] in (1, 3, 4))
    if not shape_fits or pixels.size == 0 or pixels.dtype not in (np.uint8, np.uint16):
        raise WrongUseError(
            "not-a-picture",
            f"An array of shape {pixels.shape} and type {pixels.dtype} is no picture.",
            hint="Give (height, width, 3) values of uint8, as readers.read_image returns.",
        )
    picture = np.empty(pixels.shape, np.uint8) if pixels.dtype == np.uint16 else np.asarray(pixels, np.uint8)
    if pixels.dtype == np.uint16:  # straight into eight bits: a large picture is not held twice more
        np.right_shift(pixels, 8, out=picture, casting="unsafe")
    picture = np.ascontiguousarray(picture)
    if picture.ndim == _GREY_AXES or picture.shape[2] == 1:
        return np.asarray(cv2.cvtColor(picture, cv2.COLOR_GRAY2RGB), np.uint8)
    if picture.shape[2] == _ALPHA:
        return _on_white(picture)
    return picture


def as_grey(pixels: Pixels) -> Pixels:
    """Return a picture in colour, (h, w, 3), in grey, (h, w)."""
    return np.asarray(cv2.cvtColor(pixels, cv2.COLOR_RGB2GRAY), np.uint8)


def reduced(pixels: Pixels, factor: int) -> Pixels:
    """Return the picture made smaller by a whole factor each way, averaging."""
    if factor <= 1:
        return pixels
    height, width = pixels.shape[0] // factor, pixels.shape[1] // factor
    whole = pixels[: height * factor, : width * factor]
    while factor % 2 == 0 and factor > 2:  # noqa: PLR2004  halves are averaged several times as quickly
        factor //= 2
        halved = cv2.resize(whole, (width * factor, height * factor), interpolation=cv2.INTER_AREA)
        whole = np.asarray(halved, np.uint8)
    return np.asarray(cv2.resize(whole, (width, height), interpolation=cv2.INTER_AREA), np.uint8)


def _on_white(picture: Pixels) -> Pixels:
    opacity = picture[:, :, 3:].astype(np.float32) / 255.0
    blended = picture[:, :, :3] * opacity + 255.0 * (1.0 - opacity)
    return np.asarray(np.rint(blended), np.uint8)
