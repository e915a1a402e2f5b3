"""A round marker around a place in a frame: its middle, its radius, and how far its surroundings are even.

Rays from a first guess meet the rim; a circle through where they do gives a better middle, and so on.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np

from tameshi.motion.arrays import FloatArray, Light

_WINDOWS = (8, 14, 24, 40, 70)  # half widths in pixels
_RAYS = 64
_STEP = 0.5  # pixels along a ray
_FARTHEST = 90.0  # pixels
_ROUNDS = 6
_LEAST_STEP = 12.0  # stored values from marker to surroundings
_STRONG = 0.4  # of the strongest rim, for a nearer one to be taken
_SMALLEST = 2.5  # pixels of radius
_ROUGHEST = 0.13  # root mean square distance of the rim from its circle, of the radius
_UNEVEN = 0.25  # of the marker's contrast: scatter around a ring where the surroundings end
_WIDEST = 2.2  # radii: surroundings farther out are not asked for
_RIM = 2.0  # pixels over which the rim spreads


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RoundMarker:
    """A round marker as seen.

    Parameters
    ----------
    middle : (2,) array
        Pixels.
    radius : float
        Pixels.
    surround : float
        Radius out to which its surroundings are even, in pixels.
    contrast : float
        Stored values from the marker to its surroundings; negative where it is darker.
    """

    middle: FloatArray
    radius: float
    surround: float
    contrast: float


def round_marker_at(light: Light, place: FloatArray) -> RoundMarker | None:
    """Return the round marker that holds a place, None where there is none.

    Parameters
    ----------
    light : (h, w) array
    place : (2,) array
        Pixels, inside of the marker.
    """
    start = _spot(light, place)
    if start is None:
        return None
    middle, radius, contrast = start, 0.0, 0.0
    for _ in range(_ROUNDS):
        rays = _rays(light, middle)
        rim = _rim(rays)
        if rim is None:
            return None
        at, inside, outside = rim
        contrast = inside - outside
        circle = _circle(_crossings(rays, at, 0.5 * (inside + outside)))
        if circle is None:
            return None
        shift, radius, rough = circle
        if radius < _SMALLEST or float(np.hypot(*shift)) > 0.9 * at or rough > _ROUGHEST * radius + 0.3:
            return None
        middle = middle + shift
    surround = _surround(_rays(light, middle), radius, contrast)
    return RoundMarker(middle=middle, radius=radius, surround=surround, contrast=contrast)


def _spot(light: Light, place: FloatArray) -> FloatArray | None:
    """Return the middle of the spot of like light around a place, in the smallest window that holds it."""
    at = np.round(place).astype(int)
    for half in _WINDOWS:
        left, top = (max(0, int(v) - half) for v in at)
        part = np.clip(light[top : int(at[1]) + half + 1, left : int(at[0]) + half + 1], 0, 255).astype(
            np.uint8
        )
        x, y = int(at[0]) - left, int(at[1]) - top
        if not (0 <= x < part.shape[1] and 0 <= y < part.shape[0]):
            return None
        _, bright = cv2.threshold(part, 0, 1, cv2.THRESH_BINARY | cv2.THRESH_OTSU)
        _, names = cv2.connectedComponents((bright == bright[y, x]).astype(np.uint8), connectivity=4)
        spot = names == names[y, x]
        if not (spot[0].any() or spot[-1].any() or spot[:, 0].any() or spot[:, -1].any()):
            rows, columns = np.nonzero(spot)
            return np.array([columns.mean() + left, rows.mean() + top])
    return None


def _rays(light: Light, middle: FloatArray) -> FloatArray:
    """Return light along rays, (rays, steps)."""
    angle = np.arange(_RAYS) * (2.0 * np.pi / _RAYS)
    away = np.arange(0.0, _FARTHEST, _STEP)
    x = (middle[0] + np.cos(angle)[:, None] * away).astype(np.float32)
    y = (middle[1] + np.sin(angle)[:, None] * away).astype(np.float32)
    return np.asarray(cv2.remap(light, x, y, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE), np.float64)


def _rim(rays: FloatArray) -> tuple[float, float, float] | None:
    """Return how far the first strong rim is, and the light inside and outside of it."""
    mean = rays.mean(axis=0)
    wide = round(_RIM / _STEP)
    step = np.abs(mean[2 * wide :] - mean[: -2 * wide])
    peaks = np.flatnonzero((step[1:-1] >= step[:-2]) & (step[1:-1] > step[2:])) + 1
    peaks = peaks[step[peaks] >= max(_LEAST_STEP, _STRONG * float(step[: round(60 / _STEP)].max()))]
    if len(peaks) == 0:
        return None
    at = int(peaks[0]) + wide
    inside = float(mean[: max(1, round(0.7 * at))].mean())
    outside = float(mean[at + wide : at + 2 * wide].mean())
    return at * _STEP, inside, outside


def _crossings(rays: FloatArray, at: float, level: float) -> FloatArray:
    """Return where rays cross the level, nearest to where the rim is, (n, 2) pixels from the middle."""
    angle = np.arange(_RAYS) * (2.0 * np.pi / _RAYS)
    found = []
    for n, ray in enumerate(rays):
        above = ray > level
        places = np.flatnonzero(above[1:] != above[:-1])
        if len(places) == 0:
            continue
        near = int(places[np.argmin(np.abs(places * _STEP - at))])
        share = (level - ray[near]) / (ray[near + 1] - ray[near])
        away = (near + share) * _STEP
        if abs(away - at) < 0.6 * at + _RIM:
            found.append((away * np.cos(angle[n]), away * np.sin(angle[n])))
    return np.array(found).reshape(-1, 2)


def _circle(points: FloatArray) -> tuple[FloatArray, float, float] | None:
    """Return middle, radius and root mean square misfit of the circle through points."""
    if len(points) < 0.8 * _RAYS:
        return None
    matrix = np.column_stack([points, np.ones(len(points))])
    solved = np.linalg.lstsq(matrix, (points**2).sum(axis=1), rcond=None)[0]
    middle = 0.5 * solved[:2]
    radius = float(np.sqrt(max(0.0, solved[2] + middle @ middle)))
    misfit = np.hypot(*(points - middle).T) - radius
    return middle, radius, float(np.sqrt(np.mean(misfit**2)))


def _surround(rays: FloatArray, radius: float, contrast: float) -> float:
    """Return out to which radius the light around the marker is even."""
    first = round((radius + _RIM) / _STEP)
    last = min(rays.shape[1] - 1, round(_WIDEST * radius / _STEP))
    level = rays[:, first].mean()
    for at in range(first, last):
        ring = rays[:, at]
        if ring.std() > _UNEVEN * abs(contrast) or abs(ring.mean() - level) > _UNEVEN * abs(contrast):
            return float(max(radius + _RIM, at * _STEP - 1.5 * _RIM))
    return float(max(radius + _RIM, last * _STEP))
