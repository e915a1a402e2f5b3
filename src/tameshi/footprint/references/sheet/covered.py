"""What lies over the edge of a plain sheet, and corners that are folded: dark, but no ink.

Ink ends where the paper ends: beside it there is table. Where the edge is hidden and what hides it goes
on outside the sheet, something lies over it. Where both edges are gone at a corner, it is folded.
"""

import cv2
import numpy as np

from tameshi.footprint.geometry.plane import Plane, to_metres
from tameshi.footprint.picture.arrays import FloatArray, Pixels
from tameshi.footprint.references.sheet.borders import Edge

_BESIDE = 0.008  # of the edge's length, to either side of it, where colours are compared
_LEAST_BESIDE = 5.0  # pixels
_UNLIKE_TABLE, _LIKE_ITSELF = 12.0, 40.0  # of 255
_NEIGHBOURS = 5  # places along the edge
_FEWEST = 5  # places of the edge that are gone, for a corner to be folded
_CORNER = 0.06  # of the edge's length


def covered_places(pixels: Pixels, edges: tuple[Edge, ...], plane: Plane) -> FloatArray:
    """Return places on the paper where its edge is covered or folded away, (n, 2), in metres."""
    found = [_covered(pixels, edge) for edge in edges]
    for n, edge in enumerate(edges):
        corner = edge.chord[0]
        if _gone(edge, corner) and _gone(edges[n - 1], corner):
            found.append(corner[None, :])
    seen = np.concatenate(found)
    return to_metres(plane, seen)


def _covered(pixels: Pixels, edge: Edge) -> FloatArray:
    """Return the hidden places of an edge beside which the table, too, is hidden."""
    if not len(edge.missing) or not len(edge.points):
        return np.zeros((0, 2))
    length = float(np.linalg.norm(edge.chord[1] - edge.chord[0]))
    beside = max(_LEAST_BESIDE, _BESIDE * length) * edge.normal
    usual = _evened(_colours(pixels, edge.points + beside))
    outside = _evened(_colours(pixels, edge.missing + beside))
    inside = _evened(_colours(pixels, edge.missing - beside))
    # unlike anything that is usual beside this edge, whatever pattern the table has
    unlike = np.abs(outside[:, None, :] - usual[None, :, :]).max(axis=2).min(axis=1) > _UNLIKE_TABLE
    itself = np.abs(outside - inside).max(axis=1) < _LIKE_ITSELF
    return np.asarray(edge.missing[unlike & itself])


def _gone(edge: Edge, corner: FloatArray) -> bool:
    length = float(np.linalg.norm(edge.chord[1] - edge.chord[0]))
    return bool(np.count_nonzero(np.linalg.norm(edge.missing - corner, axis=1) < _CORNER * length) >= _FEWEST)


def _evened(colours: FloatArray) -> FloatArray:
    """Return colours averaged over neighbours along the edge: grain of the table falls out."""
    evened = cv2.blur(colours, (1, _NEIGHBOURS), borderType=cv2.BORDER_REPLICATE)
    return np.asarray(evened, np.float64).reshape(-1, 3)


def _colours(pixels: Pixels, points: FloatArray) -> FloatArray:
    flat = points.astype(np.float32).reshape(1, -1, 2)
    x, y = np.ascontiguousarray(flat[..., 0]), np.ascontiguousarray(flat[..., 1])
    found = cv2.remap(pixels, x, y, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    colours: FloatArray = np.asarray(found, np.float64).reshape(-1, 3)
    return colours
