"""Ink where something lies over the edge of the paper: dark, but no ink."""

from dataclasses import replace

import cv2
import numpy as np

from tameshi.errors import Flag
from tameshi.footprint.geometry.box import Box
from tameshi.footprint.ink.pieces import Pieces
from tameshi.footprint.picture.arrays import FloatArray

_NEAR = 0.012  # metres: a piece of the overview so near to such a place belongs to it
_COVERED = (
    "Something lies over the edge of the sheet, or a corner of it is folded: what is dark there was left out."
)
_EDGE = 1  # pixels of the overview that count as its edge


def without_covered(
    pieces: Pieces, places: FloatArray, region: Box, scale: float
) -> tuple[Pieces, tuple[Flag, ...]]:
    """Return the pieces with those that lie over the sheet's edge set aside as border, and a flag if any do.

    Parameters
    ----------
    pieces : Pieces
    places : (n, 2) array
        On the paper, where its edge is covered, in metres.
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
