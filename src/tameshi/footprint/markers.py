"""Find the sheet's four markers in a picture, and their corners to a small part of a pixel.

They are looked for in a reduced copy first, since that is quick, and in finer copies where some are
missing. Each side of a marker is then found again at full resolution as a straight edge between
black and white, and corners are where two sides meet. The same edges show what the lens did to a
sharp edge: how wide it is and whether light or stored values were mixed in it.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from tameshi.footprint.light import ENCODED, LINEAR, Pixels, reduced
from tameshi.footprint.sheet import DICTIONARY, MARKER_CELLS, MARKER_PLACES

FloatArray = NDArray[np.float64]

_LONG_SIDES = (1200, 2400, 4800)  # of the copies that are searched, in pixels
_SAMPLES = 28  # across each side
_INSET = 0.14  # of a side left out at either corner, where two edges blend
_STEP = 0.25  # pixels between samples of a profile
_REACH = 0.42  # of a cell: how far a profile goes to either side of the edge
_LONGEST_REACH = 9.0  # pixels
_ROUNDS = 3
_OUTLIER = 3.0
_SKEW_FLOOR = 0.03  # pixels: sampling and compression skew an edge by that much


@dataclass(frozen=True, slots=True)
class Marker:
    """One marker as seen.

    Parameters
    ----------
    identity : int
        0 to 3, clockwise from the sheet's top left.
    corners : (4, 2) array
        In pixels, clockwise from the marker's own top left.
    """

    identity: int
    corners: FloatArray


@dataclass(frozen=True, slots=True)
class Spread:
    """What a sharp edge looks like in the picture.

    Parameters
    ----------
    blur : float
        Standard deviation of the blur, in pixels.
    linear_share : float
        1 where light was mixed in the edge, 0 where stored values were, between where neither fits.
    u_linear_share : float
        Its standard uncertainty.
    black, white : float
        Stored values of black and white, 0 to 1.
    """

    blur: float
    linear_share: float
    u_linear_share: float
    black: float
    white: float


UNKNOWN_SPREAD = Spread(
    blur=0.7, linear_share=0.5, u_linear_share=1.0 / math.sqrt(12.0), black=0.0, white=1.0
)
"""Nothing known of the edges: light or stored values, equally likely."""


def find_markers(grey: NDArray[np.uint8]) -> tuple[Marker, ...]:
    """Return the sheet's markers, roughly; the same identity may be seen twice.

    Parameters
    ----------
    grey : (h, w) array

    Returns
    -------
    tuple of Marker
        In the order of their identities.
    """
    found: tuple[Marker, ...] = ()
    done = 0
    for long_side in _LONG_SIDES:
        factor = max(1, math.ceil(max(grey.shape) / long_side))
        if factor == done:
            continue
        done = factor
        seen = tuple(_detected(reduced(grey, factor), factor))
        found = seen if len(seen) > len(found) else found
        if {marker.identity for marker in found} == set(range(len(MARKER_PLACES))):
            break
    return tuple(sorted(found, key=lambda marker: marker.identity))


def refine_markers(grey: NDArray[np.uint8], markers: Iterable[Marker]) -> tuple[tuple[Marker, ...], Spread]:
    """Return the markers with exact corners, and what their edges look like.

    Parameters
    ----------
    grey : (h, w) array
        At full resolution.
    markers : iterable of Marker
        As :func:`find_markers` returns them.
    """
    rough = tuple(markers)
    for _ in range(_ROUNDS - 1):
        rough = tuple(_refined(grey, marker, 0.5)[0] for marker in rough)
    spread = _spread([_refined(grey, marker, 0.5)[1] for marker in rough])
    exact = tuple(_refined(grey, marker, spread.linear_share)[0] for marker in rough)
    return exact, spread


@dataclass(frozen=True, slots=True)
class _Profiles:
    """Values across the sides of one marker: (n, m) arrays over the distance from the edge."""

    distance: FloatArray
    encoded: FloatArray
    linear: FloatArray
    black: float
    white: float


def _detected(grey: NDArray[np.uint8], factor: int) -> Iterable[Marker]:
    parameters = cv2.aruco.DetectorParameters()
    parameters.minMarkerPerimeterRate = 0.02
    parameters.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    detector = cv2.aruco.ArucoDetector(cv2.aruco.getPredefinedDictionary(DICTIONARY), parameters)
    corners, identities, _ = detector.detectMarkers(grey)
    if identities is None:
        return
    for corner, identity in zip(corners, np.ravel(identities), strict=True):
        if identity < len(MARKER_PLACES):
            full = (corner.reshape(4, 2).astype(np.float64) + 0.5) * factor - 0.5
            yield Marker(int(identity), full)


def _refined(grey: NDArray[np.uint8], marker: Marker, linear_share: float) -> tuple[Marker, _Profiles]:
    """Find each side as an edge; corners are where neighbouring sides meet."""
    lines, profiles = [], []
    centre = marker.corners.mean(axis=0)
    for side in range(4):
        start, end = marker.corners[side], marker.corners[(side + 1) % 4]
        line, profile = _edge(grey, start, end, centre, linear_share)
        lines.append(line)
        profiles.append(profile)
    corners = np.array([_meeting(lines[side - 1], lines[side]) for side in range(4)])
    width = min(profile.distance.shape[1] for profile in profiles)
    cut = [(profile.distance.shape[1] - width) // 2 for profile in profiles]
    joined = _Profiles(
        *(
            np.concatenate([getattr(p, name)[:, c : c + width] for p, c in zip(profiles, cut, strict=True)])
            for name in ("distance", "encoded", "linear")
        ),
        black=float(np.mean([p.black for p in profiles])),
        white=float(np.mean([p.white for p in profiles])),
    )
    return Marker(marker.identity, corners), joined


def _edge(
    grey: NDArray[np.uint8], start: FloatArray, end: FloatArray, centre: FloatArray, linear_share: float
) -> tuple[tuple[FloatArray, FloatArray], _Profiles]:
    """Return the line through a black-white edge near start-end, and the profiles across it."""
    length = float(np.linalg.norm(end - start))
    along = (end - start) / length
    normal = np.array([-along[1], along[0]])
    normal = normal if normal @ (start - centre) > 0.0 else -normal
    reach = float(np.clip(_REACH * length / MARKER_CELLS, 1.5, _LONGEST_REACH))
    distance = np.arange(-reach, reach + 0.5 * _STEP, _STEP)
    position = np.linspace(_INSET, 1.0 - _INSET, _SAMPLES) * length
    points = start + position[:, None, None] * along + distance[None, :, None] * normal
    stored = cv2.remap(
        grey,
        points.astype(np.float32),
        None,
        cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_REPLICATE,
    ).astype(np.float64)
    encoded, linear = (np.interp(stored, np.arange(256), curve) for curve in (ENCODED, LINEAR))
    black, white = _levels(encoded)
    dark = [_darkness(values) for values in (encoded, linear)]
    mixed = linear_share * dark[1] + (1.0 - linear_share) * dark[0]
    offset = -reach + mixed.sum(axis=1) * _STEP - 0.5 * _STEP
    middle, slope = _robust_line(position, offset)
    line = (start + middle * normal, along + slope * normal)
    straight = middle + slope * position
    return line, _Profiles(distance[None, :] - straight[:, None], dark[0], dark[1], black, white)


def _levels(values: FloatArray) -> tuple[float, float]:
    """Return the levels well inside and well outside the edge."""
    quarter = max(1, values.shape[1] // 5)
    return float(np.median(values[:, :quarter])), float(np.median(values[:, -quarter:]))


def _darkness(values: FloatArray) -> FloatArray:
    """Return 1 inside, 0 outside and shares between."""
    black, white = _levels(values)
    span = white - black
    return (white - values) / span if abs(span) > 1e-6 else np.full(values.shape, 0.5)


def _robust_line(position: FloatArray, offset: FloatArray) -> tuple[float, float]:
    """Return intercept and slope of offset over position; what lies far off is left out."""
    keep = np.ones(len(position), dtype=bool)
    slope, middle = 0.0, 0.0
    for _ in range(3):
        slope, middle = np.polyfit(position[keep], offset[keep], 1)
        off = np.abs(offset - middle - slope * position)
        scale = max(1.4826 * float(np.median(off)), 0.02)
        keep = off <= _OUTLIER * scale
    return float(middle), float(slope)


def _meeting(one: tuple[FloatArray, FloatArray], other: tuple[FloatArray, FloatArray]) -> FloatArray:
    """Return the point where two lines (point, direction) meet."""
    (p, d), (q, e) = one, other
    step = np.linalg.lstsq(np.column_stack([d, -e]), q - p, rcond=None)[0]
    meeting: FloatArray = p + step[0] * d
    return meeting


def _spread(markers: list[_Profiles]) -> Spread:
    """Judge from the edges which mixture of light and stored values makes them symmetric.

    Before looking, any share from 0 to 1 is equally likely; what the edges say is weighed against
    that by inverse variance.
    """
    skews = np.array([[_skew(m.distance, m.encoded), _skew(m.distance, m.linear)] for m in markers])
    encoded, linear = skews.mean(axis=0)
    between = max(encoded - linear, 1e-6)
    scatter = math.hypot(_SKEW_FLOOR, float(np.std(skews[:, 0])) / math.sqrt(max(1, len(markers) - 1)))
    seen, prior = encoded / between, UNKNOWN_SPREAD.u_linear_share
    weight = prior**2 / (prior**2 + (scatter / between) ** 2)
    share = float(np.clip(0.5 + weight * (seen - 0.5), 0.0, 1.0))
    unsure = prior * math.sqrt(1.0 - weight)
    widths = [_width(m.distance, share * m.linear + (1.0 - share) * m.encoded) for m in markers]
    black, white = (float(np.mean([getattr(m, name) for m in markers])) for name in ("black", "white"))
    return Spread(float(np.median(widths)), share, unsure, black, white)


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
    bins = np.arange(distance.min(), distance.max() + _STEP, _STEP)
    index = np.digitize(distance.ravel(), bins)
    count = np.bincount(index, minlength=len(bins) + 1)
    total = np.bincount(index, dark.ravel(), minlength=len(bins) + 1)
    where = np.bincount(index, distance.ravel(), minlength=len(bins) + 1)
    full = count > 0
    mean = np.minimum.accumulate(total[full] / count[full])
    place = where[full] / count[full]
    return [float(np.interp(-level, -mean, place)) for level in levels]
