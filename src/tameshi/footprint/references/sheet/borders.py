"""The four edges of a sheet, to a part of a pixel, all along their length.

Across each edge many profiles are taken. In each, going outwards from the paper, the first strong
step is the paper's edge: shadows and whatever lies on the table come after it. A curve that may bow
is fitted through them; profiles at a finger, a fold or a patch of ink lie off it and are left out.
"""

from dataclasses import dataclass

import cv2
import numpy as np

from tameshi.footprint.picture.arrays import FloatArray, Pixels, Where
from tameshi.footprint.picture.light import ENCODED, LINEAR

_PROFILES = 180  # along each side
_ENDS = 0.97  # of the half length: nearer the corners two edges blend
_WIDE, _NARROW = 0.02, 7.0  # reach of the first search, of a side; of the last, in pixels
_HALF_WINDOW = 3.5  # pixels to either side of the steepest place that are summed
_FINE = 0.5  # pixels from value to value
_STRONG = 0.4  # of the strongest step: so strong a step counts
_LEAST_STEP = 0.25  # of the usual contrast
_OUTLIER = 3.5
_ROUNDS = 8
_SMALLEST_SCATTER = 0.05  # pixels
_NEIGHBOURS_AGREE = 3.0  # neighbouring profiles err alike: they count for fewer
_SIDES = 4


@dataclass(frozen=True, slots=True)
class Edge:
    """One edge of the sheet.

    Parameters
    ----------
    points : (n, 2) array
        Places on it, in pixels, outliers left out.
    position : (n,) array
        Where along it these are, -1 at its start and 1 at its end.
    missing : (m, 2) array
        Places along it where it is not seen, about, in pixels.
    chord : (2, 2) array
        Its start and end, at the sheet's corners as they were known before.
    normal : (2,) array
        Outwards, in pixels.
    scatter : float
        Standard deviation of the points about a smooth curve, in pixels.
    seen : float
        Share of its length that is seen clearly.
    by_light : float
        How much farther outwards it would lie by light than by stored values, in pixels.
    """

    points: FloatArray
    position: FloatArray
    missing: FloatArray
    chord: FloatArray
    normal: FloatArray
    scatter: float
    seen: float
    by_light: float


@dataclass(frozen=True, slots=True)
class Bow:
    """A curve along one edge: offset a + b t + c (1 - t^2) from its chord, in pixels outwards.

    Parameters
    ----------
    terms : (3,) array
        a, b and c.
    covariance : (3, 3) array
    """

    terms: FloatArray
    covariance: FloatArray


def find_edges(pixels: Pixels, corners: FloatArray) -> tuple[Edge, ...]:
    """Return the sheet's edges, from the first corner to the second and on.

    Parameters
    ----------
    pixels : (h, w, 3) array
    corners : (4, 2) array
        Clockwise, to about a hundredth of a side.
    """
    sizes = np.linalg.norm(np.roll(corners, -1, axis=0) - corners, axis=1)
    bows = np.zeros(_SIDES)
    reaches = (max(8.0, _WIDE * float(sizes.max())), max(_NARROW, 0.006 * float(sizes.max())), _NARROW)
    edges: tuple[Edge, ...] = ()
    for reach in reaches:
        edges = tuple(
            _edge(pixels, (corners[n], corners[(n + 1) % _SIDES]), float(bows[n]), reach)
            for n in range(_SIDES)
        )
        curves = tuple(bow(edge) for edge in edges)
        corners, bows = meet(tuple(zip(edges, curves, strict=True))), np.array([c.terms[2] for c in curves])
    return edges


def bow(edge: Edge, *, points: FloatArray | None = None) -> Bow:
    """Fit the curve along an edge.

    Parameters
    ----------
    edge : Edge
    points : (n, 2) array or None
        Its points, moved; None takes them where they are.
    """
    moved = edge.points if points is None else points
    start, end = edge.chord
    half = 0.5 * (end - start)
    offset = (moved - start) @ edge.normal
    design = curve_terms((moved - 0.5 * (start + end)) @ half / float(half @ half))
    terms = np.linalg.lstsq(design, offset, rcond=None)[0]
    variance = _NEIGHBOURS_AGREE * edge.scatter**2
    return Bow(terms, np.asarray(variance * np.linalg.pinv(design.T @ design)))


def curve_terms(position: FloatArray) -> FloatArray:
    """Return the (n, 3) terms 1, t and 1 - t^2 of positions -1 to 1 along an edge."""
    return np.column_stack([np.ones_like(position), position, 1.0 - position**2])


def meet(bows: tuple[tuple[Edge, Bow], ...]) -> FloatArray:
    """Return the (4, 2) corners, where the ends of neighbouring edges meet."""
    found = np.empty((_SIDES, 2))
    for n, (edge, curve) in enumerate(bows):
        before, curve_before = bows[n - 1]
        # the ends of both curves, and the directions in which they go on
        end, way_before = _end(before, curve_before, 1.0)
        start, way = _end(edge, curve, -1.0)
        cross = way[0] * way_before[1] - way[1] * way_before[0]
        gap = end - start
        along = (gap[0] * way_before[1] - gap[1] * way_before[0]) / cross
        found[n] = start + along * way
    return found


def _end(edge: Edge, curve: Bow, at: float) -> tuple[FloatArray, FloatArray]:
    start, end = edge.chord
    middle, half = 0.5 * (start + end), 0.5 * (end - start)
    a, b, c = curve.terms
    place = middle + at * half + (a + b * at) * edge.normal
    return place, half + (b - 2.0 * c * at) * edge.normal


def _edge(pixels: Pixels, ends: tuple[FloatArray, FloatArray], bulge: float, reach: float) -> Edge:
    """Look for an edge so many pixels to either side of a chord that bulges."""
    start, end = ends
    half = 0.5 * (end - start)
    along = half / np.linalg.norm(half)
    normal = np.array([along[1], -along[0]])
    position = np.linspace(-_ENDS, _ENDS, _PROFILES)
    window = _HALF_WINDOW if reach <= _NARROW else min(0.35 * reach, 3.0 * _HALF_WINDOW)
    distance = np.arange(-reach - window, reach + window + _FINE, _FINE)
    base = 0.5 * (start + end) + position[:, None] * half
    base = base + bulge * (1.0 - position[:, None] ** 2) * normal
    values = _values(pixels, base, distance[None, :, None] * normal)
    by_value, clear = _offsets(values, distance, ENCODED, window)
    by_light, _ = _offsets(values, distance, LINEAR, window)
    offset = 0.5 * (by_value + by_light)
    keep, scatter = _kept(position, offset, clear)
    missing = base[~keep]
    points = base + offset[:, None] * normal
    between = float(np.median((by_light - by_value)[keep])) if keep.any() else 0.0
    return Edge(
        points[keep],
        position[keep],
        missing,
        np.stack([start, end]),
        normal,
        scatter,
        float(np.mean(keep)),
        between,
    )


def _values(pixels: Pixels, base: FloatArray, steps: FloatArray) -> Pixels:
    """Return the stored values, (n, m, 3), of profiles; beyond the picture its rim is repeated."""
    points = (base[:, None, :] + steps).astype(np.float32)
    x, y = np.ascontiguousarray(points[..., 0]), np.ascontiguousarray(points[..., 1])
    return np.asarray(cv2.remap(pixels, x, y, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE), np.uint8)


def _offsets(
    values: Pixels, distance: FloatArray, curve: np.ndarray, window: float
) -> tuple[FloatArray, Where]:
    """Return where each profile leaves the paper, in pixels outwards, and whether it clearly does."""
    light = curve[values].astype(np.float64)
    third = max(2, len(distance) // 3)
    paper, table = (np.median(part, axis=(0, 1)) for part in (light[:, :third], light[:, -third:]))
    # the direction in colour that tells the table from paper; 1 is paper, 0 the usual table
    apart = paper - table
    level = (light - table) @ apart / max(float(apart @ apart), 1e-9)
    own = np.median(level[:, :third], axis=1, keepdims=True)
    smooth = np.asarray(cv2.blur(level.astype(np.float32), (3, 1)), np.float64)
    fall = np.zeros_like(smooth)
    fall[:, 1:-1] = smooth[:, :-2] - smooth[:, 2:]
    reach = round(window / _FINE)
    inner = fall[:, reach:-reach]
    strongest = inner.max(axis=1, keepdims=True)
    before, after = fall[:, reach - 1 : -reach - 1], fall[:, reach + 1 : len(distance) - reach + 1]
    peak = (inner >= _STRONG * strongest) & (inner >= before) & (inner >= after)
    place = np.argmax(peak, axis=1) + reach
    index = place[:, None] + np.arange(-reach, reach + 1)[None, :]
    part = np.take_along_axis(level, index, axis=1)
    quarter = max(1, reach // 3)
    inside, outside = part[:, :quarter].mean(axis=1), part[:, -quarter:].mean(axis=1)
    span = inside - outside
    clear = (span > _LEAST_STEP) & (np.abs(inside - own[:, 0]) < 0.25) & peak.any(axis=1)  # noqa: PLR2004
    share = (part - outside[:, None]) / np.where(clear, span, 1.0)[:, None]
    first = distance[place] - reach * _FINE
    return first + (share.sum(axis=1) - 0.5) * _FINE, clear


def _kept(position: FloatArray, offset: FloatArray, clear: Where) -> tuple[Where, float]:
    """Return which profiles lie on one smooth curve, and how they scatter about it."""
    design = curve_terms(position)
    keep = clear.copy()
    scatter = _SMALLEST_SCATTER
    if np.count_nonzero(keep) < 0.2 * len(position):
        return np.zeros_like(keep), scatter
    weight = keep.astype(np.float64)
    for _ in range(_ROUNDS):
        root = np.sqrt(weight)
        terms = np.linalg.lstsq(design * root[:, None], offset * root, rcond=None)[0]
        off = np.abs(offset - design @ terms)
        scatter = max(1.4826 * float(np.median(off[keep])), _SMALLEST_SCATTER)
        # at first every profile pulls with the same force, however far off it is
        weight = keep / np.maximum(off, scatter)
    keep = keep & (off < _OUTLIER * scatter)
    return keep, max(float(np.std((offset - design @ terms)[keep])), _SMALLEST_SCATTER)
