"""The colours of inks: whether patches of one print were left by the same."""

import cv2
import numpy as np

from tameshi.errors import Flag
from tameshi.footprint.geometry.box import Box
from tameshi.footprint.ink.pieces import Piece, Pieces, middle_of
from tameshi.footprint.picture.arrays import FloatArray, Pixels
from tameshi.footprint.picture.light import DARKEST, LINEAR

_RING = 8  # pixels of the overview around a piece: paper
SAME_COLOUR = 0.966
"""Cosine of 15 degrees: thin and thick layers of one ink differ less."""

_FAINT = 0.3  # of the logarithm of light: paler ink has no colour to speak of


def other_inks(picture: Pixels, pieces: Pieces, region: Box, scale: float) -> tuple[Flag, ...]:
    """Return a flag where patches have another colour than the largest one.

    Parameters
    ----------
    picture : (h, w, 3) array
        The overview.
    pieces : Pieces
    region : Box
        What it shows, in metres.
    scale : float
        Metres a pixel.
    """
    if len(pieces.patches) < 2:  # noqa: PLR2004  nothing to compare
        return ()
    first, *rest = pieces.patches
    own = colour_of(picture, pieces, first)
    others = [piece for piece in rest if differ(own, colour_of(picture, pieces, piece))]
    if not others:
        return ()
    middles = (middle_of(piece, region, scale) for piece in others)
    places = "; ".join(f"x = {1000.0 * x:.0f} mm, y = {1000.0 * y:.0f} mm" for x, y in middles)
    message = (
        f"Patches of {1e6 * sum(piece.area for piece in others):.0f} mm² in all have another colour than the "
        f"largest ({places}): if they were drawn or spilt and not struck, leave them out by hand."
    )
    return (Flag("other-ink", message),)


def colour_of(picture: Pixels, pieces: Pieces, piece: Piece) -> FloatArray:
    """Return by how much the logarithm of light falls from the paper beside a piece to it, in each colour.

    Parameters
    ----------
    picture : (h, w, 3) array
        The overview.
    pieces : Pieces
    piece : Piece

    Returns
    -------
    (3,) array
        Noughts where it cannot be told.
    """
    left, top, columns, rows = piece.box
    window = (
        slice(max(0, top - _RING), top + rows + _RING),
        slice(max(0, left - _RING), left + columns + _RING),
    )
    labels, light = pieces.labels[window], np.log(LINEAR[picture[window]] + DARKEST)
    own = np.asarray(labels == piece.label, np.uint8)
    core = cv2.erode(own, np.ones((3, 3), np.uint8)) > 0
    near = cv2.dilate(own, np.ones((2 * _RING + 1, 2 * _RING + 1), np.uint8)) > 0
    paper = near & (cv2.dilate((labels > 0).astype(np.uint8), np.ones((5, 5), np.uint8)) == 0)
    if not core.any() or not paper.any():
        return np.zeros(3)
    return np.asarray(np.median(light[paper], axis=0) - np.median(light[core], axis=0), np.float64)


def differ(one: FloatArray, other: FloatArray) -> bool:
    """Return whether the colours of two inks are surely not the same.

    Parameters
    ----------
    one, other : (3,) array
        As :func:`colour_of` returns them.
    """
    sizes = float(np.linalg.norm(one)), float(np.linalg.norm(other))
    if min(sizes) < _FAINT:
        return False
    return float(one @ other) < SAME_COLOUR * sizes[0] * sizes[1]
