"""Crossings of printed lines to a small part of a pixel.

Each of the two lines is looked for across, on stretches beside the crossing where the other line is
not: the place where it is darkest, weighed, is where the line is.
"""

from dataclasses import dataclass

import cv2
import numpy as np

from tameshi.footprint.picture.arrays import FloatArray, Picture, Where

_BESIDE = np.array([-0.42, -0.34, -0.26, 0.26, 0.34, 0.42])  # of the pitch along a line
_STEP = 0.5  # pixels between values of a profile
_FEWEST, _MOST = 13, 161  # values of a profile
_ENDS = 0.16  # of a profile, at either end: paper
_HALF_LINE = (2.2, 0.10)  # pixels, and of the pitch: a line is no wider to either side
_FOOT = 0.25  # of a line's darkness: paler values do not pull at its place
_CHUNK = 400_000  # values looked at together
_OVER_NOISE = 3.0
_STEEPEST_GROUND = 0.6  # of a line's darkness: more is the edge of something
_FAINTEST = 0.008  # of the paper's level


@dataclass(frozen=True, slots=True)
class Crossings:
    """What was found at places where lines should cross.

    Parameters
    ----------
    place : (n, 2) array
        In pixels.
    strength : (n, 2) array
        Darkness of both lines as shares of the paper's level.
    found : (n,) array of bool
        Whether both lines are there.
    """

    place: FloatArray
    strength: FloatArray
    found: Where


def look_for_crossings(level: Picture, at: FloatArray, ways: FloatArray, reach: float) -> Crossings:
    """Look for crossings near places.

    Parameters
    ----------
    level : (h, w) array
    at : (n, 2) array
        In pixels.
    ways : (n, 2, 2) array
        From each place to the next crossing, in pixels: ``ways[:, 0]`` across the first family of
        lines, ``ways[:, 1]`` across the second.
    reach : float
        How far to look to either side, as a share of the way; below a half.
    """
    place, strength, found = at.copy(), np.zeros((len(at), 2)), np.ones(len(at), bool)
    for family in (0, 1):
        across, along = ways[:, family], ways[:, 1 - family]
        values, share = profiles(level, at, across, along, reach)
        offset, dark, there = _darkest(values, share, across)
        place += offset[:, None] * across
        strength[:, family] = dark
        found &= there
    return Crossings(place, strength, found)


def profiles(
    level: Picture, at: FloatArray, across: FloatArray, along: FloatArray, reach: float
) -> tuple[FloatArray, FloatArray]:
    """Return mean levels across a line beside each crossing, (n, m), and where they are, (m,), as shares."""
    longest = float(np.max(np.linalg.norm(across, axis=1), initial=1.0))
    count = int(np.clip(np.ceil(2.0 * reach * longest / _STEP), _FEWEST, _MOST)) | 1
    share = np.linspace(-reach, reach, count)
    result = np.empty((len(at), count))
    rows = max(1, _CHUNK // (count * len(_BESIDE)))
    for first in range(0, len(at), rows):
        part = slice(first, first + rows)
        points = (
            at[part, None, None]
            + share[None, None, :, None] * across[part, None, None]
            + _BESIDE[None, :, None, None] * along[part, None, None]
        ).astype(np.float32)
        flat = points.reshape(-1, count, 2)
        x, y = np.ascontiguousarray(flat[..., 0]), np.ascontiguousarray(flat[..., 1])
        seen = cv2.remap(level, x, y, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
        result[part] = np.asarray(seen, np.float64).reshape(len(points), len(_BESIDE), count).mean(axis=1)
    return result, share


def _darkest(
    values: FloatArray, share: FloatArray, across: FloatArray
) -> tuple[FloatArray, FloatArray, Where]:
    """Return offset of the line as a share of the way, its darkness, and whether it is one."""
    ends = max(2, round(_ENDS * len(share)))
    low, high = values[:, :ends].mean(axis=1), values[:, -ends:].mean(axis=1)
    slope = (share - share[0]) / (share[-1] - share[0])
    ground = np.maximum(low[:, None] + (high - low)[:, None] * slope, 1e-3)
    dark = 1.0 - values / ground
    length = np.linalg.norm(across, axis=1)
    smooth = dark.copy()
    smooth[:, 1:-1] = (dark[:, :-2] + dark[:, 1:-1] + dark[:, 2:]) / 3.0
    inner = slice(ends // 2, len(share) - ends // 2)
    best = np.argmax(smooth[:, inner], axis=1) + ends // 2
    peak = np.take_along_axis(smooth, best[:, None], axis=1)[:, 0]
    half = np.maximum(_HALF_LINE[0] / np.maximum(length, 1.0), _HALF_LINE[1])
    place = share[best]
    for _ in range(2):
        near = np.abs(share[None, :] - place[:, None]) <= half[:, None]
        weight = np.where(near, np.maximum(dark - _FOOT * peak[:, None], 0.0), 0.0)
        total = weight.sum(axis=1)
        place = np.where(total > 0.0, (weight @ share) / np.maximum(total, 1e-12), place)
    beside = np.abs(share[None, :] - place[:, None]) > 1.3 * half[:, None]
    count = np.maximum(beside.sum(axis=1), 1)
    noise = np.sqrt(np.sum(np.where(beside, dark, 0.0) ** 2, axis=1) / count)
    step = np.abs(high - low) / np.maximum(0.5 * (high + low), 1e-3)
    there = (
        (peak > _FAINTEST)
        & (peak > _OVER_NOISE * noise)
        & (step < _STEEPEST_GROUND * peak)
        & (best > inner.start)
        & (best < inner.stop - 1)
    )
    return place, peak, there
