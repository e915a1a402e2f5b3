"""Is the sheet flat and the lens straight? The printed frame around the zone tells.

Four corner markers fix the plane but cannot show a sheet that curls or a lens that bends: the frame
between them can. Its four lines are found in rectified strips of the picture; if their middles bulge, lengths
in the middle of the zone are off by an amount that a radial distortion of the same bulge would cause.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from tameshi.footprint.geometry.box import Box
from tameshi.footprint.picture.arrays import FloatArray, Pixels

_STRIPS = 24  # samples along each side
_SEARCH = 0.0025  # metres to either side of the line
_FEWEST = 8  # samples of a side below which it tells nothing
_FAINTEST = 0.08  # of full scale: a line must be so much darker than paper
_WIDEST = 4  # rows of a line at half its depth
_SIDES = ("left", "right", "top", "bottom")


@dataclass(frozen=True, slots=True)
class Bulge:
    """What the frame says.

    Parameters
    ----------
    area : float or None
        Relative excess of an area in the middle of the zone; None where the frame was not seen.
    scatter : float
        Root mean square distance of the frame from where it should be, in metres.
    spread : float
        How far the four sides disagree about ``area``: their standard deviation.
    """

    area: float | None
    scatter: float
    spread: float = 0.0


def frame_bulge(look: Callable[[Box], Pixels], around: Box, zone: Box, scale: float) -> Bulge:
    """Measure how the frame's sides bulge outwards.

    Parameters
    ----------
    look : callable
        Gives the rectified paper inside a box, (h, w), in grey.
    around : Box
        What may be looked at, in metres; larger than the zone.
    zone : Box
        Where the frame should be, in metres.
    scale : float
        Metres a pixel of what ``look`` gives.

    Notes
    -----
    A radial distortion r' = r (1 + k r^2) that leaves the corners (a, b) in place moves the middle of
    the side x = a by -k a b^2 and changes areas at the centre by -2 k (a^2 + b^2). Derived.
    """
    half = {"x": 0.5 * zone.width, "y": 0.5 * zone.height}
    reach = half["x"] ** 2 + half["y"] ** 2
    excess, off = [], []
    for side in _SIDES:
        position, outwards = _side(look, (around, zone), side, scale)
        if len(position) < _FEWEST:
            continue
        curve = 1.0 - position**2
        bulge, offset = _line(curve, outwards)
        keep = np.abs(outwards - bulge * curve - offset) < 3.0 * max(float(np.std(outwards)), scale)
        bulge, _ = _line(curve[keep], outwards[keep])
        near, far = (half["x"], half["y"]) if side in ("left", "right") else (half["y"], half["x"])
        excess.append(2.0 * reach * bulge / (near * far**2))
        off.append(np.sqrt(np.mean(outwards[keep] ** 2)))
    if not excess:
        return Bulge(None, 0.0)
    return Bulge(float(np.mean(excess)), float(np.max(off)), float(np.std(excess)))


def _side(
    look: Callable[[Box], Pixels], boxes: tuple[Box, Box], side: str, scale: float
) -> tuple[FloatArray, FloatArray]:
    """Return positions along a side, -1 to 1, and how far outwards the line is there, in metres."""
    around, zone = boxes
    upright = side in ("left", "right")
    along = (around.left, zone.left, zone.right) if not upright else (around.top, zone.top, zone.bottom)
    start = around.top if not upright else around.left
    middle, reach = (getattr(zone, side) - start) / scale - 0.5, round(_SEARCH / scale)
    low = round(middle) - reach
    end = start + (low + 2 * reach + 1) * scale
    if low < 0 or end > (around.bottom if not upright else around.right):
        return np.zeros(0), np.zeros(0)
    start += low * scale
    if upright:
        strip = np.ascontiguousarray(look(replace(around, left=start, right=end)).T)
    else:
        strip = look(replace(around, top=start, bottom=end))
    first, last = ((edge - along[0]) / scale for edge in along[1:])
    edges = np.linspace(first + 0.03 * (last - first), last - 0.03 * (last - first), _STRIPS + 1)
    sign = -1.0 if side in ("left", "top") else 1.0
    rows = _line_rows(strip, edges)
    seen = np.isfinite(rows)
    centres = 0.5 * (edges[:-1] + edges[1:])
    position = (2.0 * (centres - first) / (last - first) - 1.0)[seen]
    return position, sign * (rows[seen] + low - middle) * scale


def _line_rows(strip: Pixels, edges: FloatArray) -> FloatArray:
    """Return the row of a dark line in each part of a strip, (parts,), NaN where there is none.

    ``edges`` are the columns at which parts begin and end, (parts + 1,).
    """
    columns = np.clip(edges.astype(int), 0, strip.shape[1])
    wide = np.diff(columns)
    sums = np.zeros((len(strip), strip.shape[1] + 1))
    np.cumsum(strip, axis=1, out=sums[:, 1:])
    profiles = np.diff(sums[:, columns], axis=1) / np.maximum(wide, 1) / 255.0
    dark = np.median(profiles, axis=0) - profiles
    peaks = np.argmax(dark, axis=0)
    deepest = dark[peaks, np.arange(len(wide))]
    # wider than that it is a print or a hand, not a line
    is_line = (wide > 0) & (deepest >= _FAINTEST) & (np.sum(dark > 0.5 * deepest, axis=0) <= _WIDEST)
    near = peaks + np.arange(-2, 3)[:, None]
    inside = (near >= 0) & (near < len(strip))
    depth = dark[np.clip(near, 0, len(strip) - 1), np.arange(len(wide))] - 0.2 * deepest
    weight = np.where(inside, np.maximum(depth, 0.0), 0.0)
    rows = (weight * near).sum(axis=0) / np.where(is_line, weight.sum(axis=0), 1.0)
    return np.where(is_line, rows, np.nan)


def _line(along: FloatArray, values: FloatArray) -> tuple[float, float]:
    """Return slope and level of the straight line through values."""
    apart = along - along.mean()
    slope = float(apart @ values / (apart @ apart))
    return slope, float(values.mean()) - slope * float(along.mean())
