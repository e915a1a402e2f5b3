"""What lies over the edge of a plain sheet, and corners that are folded: dark, but no ink.

Ink ends where the paper ends: beside it there is table. Where the edge is hidden and what hides it goes
on outside the sheet, something lies over it. Where both edges are gone at a corner, it is folded.
"""

from dataclasses import replace

import cv2
import numpy as np

from tameshi.errors import Flag
from tameshi.footprint.arrays import FloatArray, Pixels
from tameshi.footprint.borders import Edge
from tameshi.footprint.pieces import Pieces
from tameshi.footprint.plane import Plane, to_metres
from tameshi.footprint.sheet import Box

_BESIDE = 0.008  # of the edge's length, to either side of it, where colours are compared
_LEAST_BESIDE = 5.0  # pixels
_UNLIKE_TABLE, _LIKE_ITSELF = 12.0, 40.0  # of 255
_NEIGHBOURS = 5  # places along the edge
_FEWEST = 5  # places of the edge that are gone, for a corner to be folded
_CORNER = 0.06  # of the edge's length
_NEAR = 0.012  # metres: a piece of the overview so near to such a place belongs to it
_COVERED = (
    "Something lies over the edge of the sheet, or a corner of it is folded: what is dark there was left out."
)
_EDGE = 1  # pixels of the overview that count as its edge


def covered_places(pixels: Pixels, edges: tuple[Edge, ...], plane: Plane) -> FloatArray:
    """Return places on the paper where its edge is covered or folded away, (n, 2), in metres."""
    found = [_covered(pixels, edge) for edge in edges]
    for n, edge in enumerate(edges):
        corner = edge.chord[0]
        if _gone(edge, corner) and _gone(edges[n - 1], corner):
            found.append(corner[None, :])
    seen = np.concatenate(found)
    straight = seen if plane.lens is None else plane.lens.straightened(seen)
    return to_metres(plane, straight)


def without_covered(
    pieces: Pieces, places: FloatArray, region: Box, scale: float
) -> tuple[Pieces, tuple[Flag, ...]]:
    """Return the pieces with those that lie over the sheet's edge set aside as border, and a flag if any do.

    Parameters
    ----------
    pieces : Pieces
    places : (n, 2) array
        As :func:`covered_places` returns them.
    region : Box
        What the overview shows, in metres.
    scale : float
        Metres a pixel.
    """
    if not len(places):
        return pieces, ()
    height, width = pieces.labels.shape
    pixels = np.rint((places - (region.left, region.top)) / scale).astype(int)
    reach = max(1, round(_NEAR / scale))
    near = np.zeros((height, width), np.uint8)
    for x, y in np.clip(pixels, 0, (width - 1, height - 1)):
        cv2.circle(near, (int(x), int(y)), reach, 1, -1)
    near[_EDGE + 1 : -_EDGE - 1, _EDGE + 1 : -_EDGE - 1] = 0
    touched = set(np.unique(pieces.labels[near > 0]).tolist())
    over = tuple(replace(piece, kind="border") for piece in pieces.patches if piece.label in touched)
    left = tuple(piece for piece in pieces.patches if piece.label not in touched)
    flags = (Flag("edge-covered", _COVERED),) if over else ()
    return Pieces(pieces.labels, left, (*over, *pieces.others)), flags


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
