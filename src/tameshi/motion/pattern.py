"""What is followed through a film: a small picture, smoothed, with how much of it is known.

A round marker is turned into its mean profile around the middle, so that a twisting hand changes nothing; a
patch or a square marker stays as it was seen and may turn and grow.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from tameshi.motion.arrays import FloatArray, Light

SMOOTHING = 0.8
"""Standard deviation, in pixels, of the smoothing before comparing: steps between pixels do less then."""

_LIGHT = (255.0 * (np.arange(256) / 255.0) ** 2.2).astype(np.float32)  # video's curve, near enough
_ALL_KNOWN = 0.98  # of a smeared pixel's light that has to come from inside the pattern
_SPLAT = 4  # points for each pixel of a smear
_LEAST_LEFT = 0.15  # of a pattern's pixels that must stay known under a smear


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Pattern:
    """A small picture around a place.

    Parameters
    ----------
    light : (2 k + 1, 2 k + 1) array
        Light of stored values, smoothed.
    known : (2 k + 1, 2 k + 1) array
        1 where it belongs to what is followed, 0 where not.
    radius : float
        Of what is followed, in pixels: half of a square's side.
    is_round : bool
        Whether it looks the same when it turns.
    """

    light: Light
    known: Light
    radius: float
    is_round: bool

    @property
    def half(self) -> int:
        """Pixels from its middle to its border."""
        return int(self.light.shape[0]) // 2


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Smeared:
    """A pattern as it looks while it moves: its light, slopes and the pixels that can be compared."""

    light: Light
    slopes: tuple[Light, Light]
    weight: Light


def smoothed(stored: NDArray[Any]) -> Light:
    """Return the light behind stored values, smoothed as patterns are: light adds up during an exposure."""
    light = cv2.LUT(np.clip(stored, 0, 255).astype(np.uint8), _LIGHT)
    return np.asarray(cv2.GaussianBlur(light, (0, 0), SMOOTHING), np.float32)


def smear(pattern: Pattern, along: FloatArray) -> Smeared:
    """Return a pattern smeared along a straight line.

    Parameters
    ----------
    pattern : Pattern
    along : (2,) array
        Smear, in pixels across and down.
    """
    light, weight = pattern.light, pattern.known
    if float(np.hypot(*along)) > 0.5:  # noqa: PLR2004  half a pixel: less changes nothing
        kernel = _line(along)
        light = _light(cv2.filter2D(light, -1, kernel, borderType=cv2.BORDER_REPLICATE))
        known = _light(cv2.filter2D(weight, -1, kernel, borderType=cv2.BORDER_CONSTANT))
        sure = (known > _ALL_KNOWN).astype(np.float32)
        weight = sure if sure.mean() > _LEAST_LEFT * weight.mean() else known**4
    slope_x = _light(cv2.filter2D(light, -1, np.array([[-0.5, 0.0, 0.5]], np.float32)))
    slope_y = _light(cv2.filter2D(light, -1, np.array([[-0.5], [0.0], [0.5]], np.float32)))
    return Smeared(light=light, slopes=(slope_x, slope_y), weight=weight)


def _light(filtered: NDArray[Any]) -> Light:
    return np.asarray(filtered, np.float32)


def _line(along: FloatArray) -> Light:
    """Return the kernel that smears evenly along a line through its middle."""
    length = float(np.hypot(*along))
    reach = math.ceil(0.5 * float(np.abs(along).max())) + 1
    count = max(3, math.ceil(length * _SPLAT)) | 1
    share = (np.arange(count) + 0.5) / count - 0.5
    x, y = share * along[0] + reach, share * along[1] + reach
    kernel = np.zeros((2 * reach + 1, 2 * reach + 1))
    left, top = np.floor(x).astype(int), np.floor(y).astype(int)
    for dx, dy in ((0, 0), (1, 0), (0, 1), (1, 1)):
        part = np.abs(1 - dx - (x - left)) * np.abs(1 - dy - (y - top))
        np.add.at(kernel, (np.minimum(top + dy, 2 * reach), np.minimum(left + dx, 2 * reach)), part)
    return np.asarray(kernel / kernel.sum(), np.float32)


def patch_pattern(stored: NDArray[Any], middle: FloatArray, radius: float) -> Pattern:
    """Return the pattern of a square patch around a place of a frame."""
    half = math.ceil(radius) + 1
    cut = _cut(smoothed(stored), middle, half)
    y, x = np.mgrid[-half : half + 1, -half : half + 1]
    known = ((np.abs(x) <= radius) & (np.abs(y) <= radius)).astype(np.float32)
    return Pattern(light=cut, known=known, radius=radius, is_round=False)


def round_pattern(stored: NDArray[Any], middle: FloatArray, radius: float, surround: float) -> Pattern:
    """Return the pattern of a round marker: its mean profile around its middle.

    Parameters
    ----------
    stored : (h, w) array
        Stored values.
    middle : (2,) array
        Of the marker, in pixels.
    radius, surround : float
        Of the marker, and out to where what is around it stays even, in pixels.
    """
    half = math.ceil(surround) + 1
    cut = _cut(smoothed(stored), middle, half)
    y, x = np.mgrid[-half : half + 1, -half : half + 1]
    away = np.hypot(x, y)
    # the mean at every distance, by linear shares between whole steps
    steps = np.arange(half * 2 + 1) * 0.5
    place = np.clip(away / 0.5, 0.0, len(steps) - 1.001)
    low = place.astype(int)
    share = place - low
    total, count = np.zeros((2, len(steps)))
    for index, part in ((low, 1.0 - share), (low + 1, share)):
        np.add.at(total, index.ravel(), (part * cut).ravel())
        np.add.at(count, index.ravel(), part.ravel())
    profile = total / np.maximum(count, 1e-9)
    drawn = profile[low] * (1.0 - share) + profile[low + 1] * share
    known = (away <= surround).astype(np.float32)
    return Pattern(light=drawn.astype(np.float32), known=known, radius=radius, is_round=True)


def _cut(light: Light, middle: FloatArray, half: int) -> Light:
    """Return the square around a place that need not be a whole pixel."""
    x, y = (np.arange(-half, half + 1) + float(m) for m in middle)
    grid_x, grid_y = np.meshgrid(x.astype(np.float32), y.astype(np.float32))
    return np.asarray(
        cv2.remap(light, grid_x, grid_y, cv2.INTER_CUBIC, borderMode=cv2.BORDER_REPLICATE), np.float32
    )
