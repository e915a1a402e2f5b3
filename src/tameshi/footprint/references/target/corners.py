"""Exact corners of markers, and what the picture does to a sharp edge.

Each side of a marker is found again at full resolution as a straight edge between black and white,
and corners are where two sides meet. The same edges show what the lens did to them: how wide they
are, and whether light or stored values were mixed in them.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass

import cv2
import numpy as np

from tameshi.footprint.picture.arrays import FloatArray, Pixels
from tameshi.footprint.picture.light import ENCODED, LINEAR, as_grey
from tameshi.footprint.picture.spread import UNKNOWN_SPREAD, Spread, weighed
from tameshi.footprint.references.layout import MARKER_CELLS
from tameshi.footprint.references.target.markers import Marker

_SAMPLES = 28  # across each side
_INSET = 0.14  # of a side left out at either corner, where two edges blend
_STEPS = 61  # values along each profile
_REACH = 0.42  # of a cell: how far a profile goes to either side of the edge
_REACHES = (1.5, 9.0)  # pixels: bounds on that
_ROUNDS = 2
_OUTLIER = 3.0
_NO_CONTRAST = 1e-6
_SKEW_FLOOR = 0.03  # pixels: sampling and compression skew an edge by that much
_BIN = 0.25  # pixels over which profiles are averaged


@dataclass(frozen=True, slots=True)
class Corners:
    """Exact corners, and what the edges between them look like.

    Parameters
    ----------
    encoded, linear : (k, 4, 2) arrays
        Of k markers, in pixels: with edges placed by stored values, and by light.
    spread : Spread
    """

    encoded: FloatArray
    linear: FloatArray
    spread: Spread


def refine_markers(pixels: Pixels, markers: Iterable[Marker]) -> Corners:
    """Return exact corners of markers, and what their edges look like.

    Parameters
    ----------
    pixels : (h, w, 3) array
        The picture at full resolution.
    markers : iterable of Marker
        As :func:`find_markers` returns them.
    """
    corners = np.array([marker.corners for marker in markers])
    for _ in range(_ROUNDS - 1):
        profiles = _profiles(pixels, corners)
        corners = _corners(profiles, 0.5 * (_offsets(profiles, "encoded") + _offsets(profiles, "linear")))
    profiles = _profiles(pixels, corners)
    by_value, by_light = _offsets(profiles, "encoded"), _offsets(profiles, "linear")
    return Corners(
        _corners(profiles, by_value),
        _corners(profiles, by_light),
        _spread(profiles, _straight(profiles, 0.5 * (by_value + by_light))),
    )


@dataclass(frozen=True, slots=True)
class _Profiles:
    """Values across n sides, s profiles a side, m values a profile.

    ``start``, ``along`` and ``normal`` are (n, 2), ``position`` (n, s) along the side, ``distance``
    (n, m) outwards from it, ``encoded`` and ``linear`` (n, s, m) darkness: 1 inside, 0 outside.
    """

    start: FloatArray
    along: FloatArray
    normal: FloatArray
    position: FloatArray
    distance: FloatArray
    encoded: FloatArray
    linear: FloatArray
    black: float
    white: float


def _profiles(pixels: Pixels, corners: FloatArray) -> _Profiles:
    """Sample across every side of every marker."""
    start = corners.reshape(-1, 2)
    end = np.roll(corners, -1, axis=1).reshape(-1, 2)
    centre = np.repeat(corners.mean(axis=1), 4, axis=0)
    length = np.linalg.norm(end - start, axis=1)
    along = (end - start) / length[:, None]
    normal = np.column_stack([-along[:, 1], along[:, 0]])
    normal *= np.sign(np.sum(normal * (start - centre), axis=1))[:, None]
    reach = np.clip(_REACH * length / MARKER_CELLS, *_REACHES)
    distance = reach[:, None] * np.linspace(-1.0, 1.0, _STEPS)
    position = length[:, None] * np.linspace(_INSET, 1.0 - _INSET, _SAMPLES)
    x, y = (
        start[:, way, None, None]
        + position[:, :, None] * along[:, way, None, None]
        + distance[:, None, :] * normal[:, way, None, None]
        for way in (0, 1)
    )
    sides = corners.shape[1]
    markers = [slice(first, first + sides) for first in range(0, len(start), sides)]
    values = np.concatenate([_grey_at(pixels, x[marker], y[marker]) for marker in markers])
    encoded, linear = (curve.astype(np.float64)[values] for curve in (ENCODED, LINEAR))
    levels = _levels(encoded)
    return _Profiles(
        start,
        along,
        normal,
        position,
        distance,
        _darkness(encoded, levels),
        _darkness(linear, _levels(linear)),
        *(float(np.median(level)) for level in levels),
    )


def _grey_at(pixels: Pixels, x: FloatArray, y: FloatArray) -> Pixels:
    """Return the grey values of a picture at places, (n, s, m); only what is around them is made grey."""
    around = []
    for place, size in ((y, pixels.shape[0]), (x, pixels.shape[1])):
        first = min(max(0, math.floor(place.min())), size - 1)
        around.append(slice(first, max(first + 1, min(size, math.ceil(place.max()) + 2))))
    grey = as_grey(pixels[around[0], around[1]])
    rows, columns = (
        (place - part.start).reshape(-1, place.shape[2]).astype(np.float32)
        for place, part in zip((y, x), around, strict=True)
    )
    found = cv2.remap(grey, columns, rows, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    return np.asarray(found, np.uint8).reshape(x.shape)


def _levels(values: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return the levels well inside and well outside the edge, for each side."""
    fifth = _STEPS // 5
    inside, outside = values[:, :, :fifth], values[:, :, -fifth:]
    return np.median(inside, axis=(1, 2)), np.median(outside, axis=(1, 2))


def _darkness(values: FloatArray, levels: tuple[FloatArray, FloatArray]) -> FloatArray:
    """Return 1 inside, 0 outside and shares between."""
    black, white = (level[:, None, None] for level in levels)
    span = np.where(np.abs(white - black) < _NO_CONTRAST, np.inf, white - black)
    return np.asarray((white - values) / span)


def _offsets(profiles: _Profiles, name: str) -> FloatArray:
    """Return how far outwards the edge lies in each profile, (n, s), in pixels."""
    dark = getattr(profiles, name)
    step = profiles.distance[:, 1] - profiles.distance[:, 0]
    offsets: FloatArray = profiles.distance[:, :1] + (dark.sum(axis=2) - 0.5) * step[:, None]
    return offsets


def _line(profiles: _Profiles, offsets: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return offset and slope of each side, (n,) each; profiles that lie far off are left out."""
    middle = profiles.position.mean(axis=1, keepdims=True)
    place = profiles.position - middle
    keep = np.ones_like(offsets)
    for _ in range(3):
        count = keep.sum(axis=1)
        mean_place, mean = ((keep * values).sum(axis=1) / count for values in (place, offsets))
        apart = keep * (place - mean_place[:, None])
        slope = (apart * offsets).sum(axis=1) / np.maximum((apart * place).sum(axis=1), 1e-9)
        level = mean - slope * mean_place
        off = np.abs(offsets - level[:, None] - slope[:, None] * place)
        scale = np.maximum(1.4826 * np.median(off, axis=1), 0.02)
        keep = (off <= _OUTLIER * scale[:, None]).astype(np.float64)
    return level - slope * middle[:, 0], slope


def _corners(profiles: _Profiles, offsets: FloatArray) -> FloatArray:
    """Return the (k, 4, 2) corners, where neighbouring sides meet."""
    level, slope = _line(profiles, offsets)
    points = (profiles.start + level[:, None] * profiles.normal).reshape(-1, 4, 2)
    ways = (profiles.along + slope[:, None] * profiles.normal).reshape(-1, 4, 2)
    before, way_before = np.roll(points, 1, axis=1), np.roll(ways, 1, axis=1)
    gap = before - points
    cross = ways[..., 0] * way_before[..., 1] - ways[..., 1] * way_before[..., 0]
    step = (gap[..., 0] * way_before[..., 1] - gap[..., 1] * way_before[..., 0]) / cross
    meeting: FloatArray = points + step[..., None] * ways
    return meeting


def _straight(profiles: _Profiles, offsets: FloatArray) -> FloatArray:
    """Return the distance of every value from its side's own line, (n, s, m)."""
    level, slope = _line(profiles, offsets)
    edge = level[:, None] + slope[:, None] * profiles.position
    straight: FloatArray = profiles.distance[:, None, :] - edge[:, :, None]
    return straight


def _spread(profiles: _Profiles, distance: FloatArray) -> Spread:
    """Judge from the edges which mixture of light and stored values makes them symmetric.

    Before looking, any share from 0 to 1 is equally likely; what the edges say is weighed against
    that by inverse variance.
    """
    markers = [slice(first, first + 4) for first in range(0, len(distance), 4)]
    skews = np.array(
        [[_skew(distance[m], profiles.encoded[m]), _skew(distance[m], profiles.linear[m])] for m in markers]
    )
    encoded, linear = skews.mean(axis=0)
    between = max(encoded - linear, 1e-6)
    scatter = math.hypot(_SKEW_FLOOR, float(np.std(skews[:, 0])) / math.sqrt(max(1, len(markers) - 1)))
    share, unsure = weighed((0.5, UNKNOWN_SPREAD.u_linear_share), (encoded / between, scatter / between))
    mixture = share * profiles.linear + (1.0 - share) * profiles.encoded
    widths = [_width(distance[m], mixture[m]) for m in markers]
    return Spread(float(np.median(widths)), share, unsure, profiles.black, profiles.white)


def _skew(distance: FloatArray, dark: FloatArray) -> float:
    """Return by how much the outer part of an edge is wider than its inner part, in pixels."""
    inner, middle, outer = _crossings(distance, dark, (0.9, 0.5, 0.1))
    return (outer - middle) - (middle - inner)


def _width(distance: FloatArray, dark: FloatArray) -> float:
    """Return the standard deviation of the blur, from the 16 % and 84 % points of the edge."""
    inner, outer = _crossings(distance, dark, (0.8413, 0.1587))
    return max(0.0, 0.5 * (outer - inner))


def _crossings(distance: FloatArray, dark: FloatArray, levels: tuple[float, ...]) -> list[float]:
    """Return where the mean edge falls through levels, in pixels."""
    index = ((distance.ravel() - distance.min()) / _BIN).astype(np.intp)
    count, total, where = (np.bincount(index, values) for values in (None, dark.ravel(), distance.ravel()))
    full = count > 0
    mean = np.minimum.accumulate(total[full] / count[full])
    place = where[full] / count[full]
    return [float(np.interp(-level, -mean, place)) for level in levels]
