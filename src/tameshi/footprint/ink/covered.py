"""Ink where something lies over the edge of the paper: dark, but no ink."""

from dataclasses import replace

import cv2
import numpy as np

from tameshi.errors import Flag
from tameshi.footprint.geometry.box import Box
from tameshi.footprint.ink.inks import colour_of, differ
from tameshi.footprint.ink.pieces import Piece, Pieces, middle_of, sides_reached
from tameshi.footprint.picture.arrays import FloatArray, Pixels
from tameshi.footprint.references.reference import Reference

_NEAR = 0.012  # metres: a piece of the overview so near to such a place belongs to it
_COVERED = (
    "Something lies over the edge of the sheet, or a corner of it is folded: what is dark there was left out."
)
_STRANGE = "Beside the squares lies something dark that has not the colour of the print; it was left out"
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
    return replace(pieces, patches=left, others=(*over, *pieces.others)), flags


def without_strange(
    picture: Pixels, pieces: Pieces, reference: Reference, scale: float
) -> tuple[Pieces, tuple[Flag, ...]]:
    """Return the pieces with what lies beside the paper that was followed, and has another colour, as border.

    A hand or a pen in the corner of a sheet is no print; ink like the print's may well be a part of it.

    Parameters
    ----------
    picture : (h, w, 3) array
        The overview.
    pieces : Pieces
    reference : Reference
    scale : float
        Metres a pixel of the overview.
    """
    if reference.followed is None:
        return pieces, ()
    inside = [_within(piece, reference, scale) for piece in pieces.patches]
    cut = [bool(sides_reached(piece, pieces)[0]) for piece in pieces.patches]
    whole = [piece for piece, is_cut in zip(pieces.patches, cut, strict=True) if not is_cut]
    beside = [
        piece
        for piece, is_cut, is_in in zip(pieces.patches, cut, inside, strict=True)
        if is_cut and not is_in
    ]
    if not beside or not whole:
        return pieces, ()
    own = colour_of(picture, pieces, whole[0])
    strange = {piece.label for piece in beside if differ(own, colour_of(picture, pieces, piece))}
    if not strange:
        return pieces, ()
    over = tuple(replace(piece, kind="border") for piece in pieces.patches if piece.label in strange)
    left = tuple(piece for piece in pieces.patches if piece.label not in strange)
    where = ", ".join(f"{_at(piece, reference, scale)}" for piece in over)
    flag = Flag("edge-covered", f"{_STRANGE} ({where}).")
    return replace(pieces, patches=left, others=(*over, *pieces.others)), (flag,)


def _within(piece: Piece, reference: Reference, scale: float) -> bool:
    """Return whether a piece reaches into the paper that was followed."""
    left, top, columns, rows = (scale * side for side in piece.box)
    x, y = reference.region.left + left, reference.region.top + top
    inner = reference.followed
    return inner is not None and (
        x < inner.right and y < inner.bottom and x + columns > inner.left and y + rows > inner.top
    )


def _at(piece: Piece, reference: Reference, scale: float) -> str:
    x, y = middle_of(piece, reference.region, scale)
    return f"x = {1000.0 * x:.0f} mm, y = {1000.0 * y:.0f} mm"
