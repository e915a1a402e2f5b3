"""What was left out by hand before the close-up: its outlines, and a picture that shows it too.

A patch at the edge is left out in the overview already, so that it cannot cut off the print. The
close-up then need not reach it; who looks at the overlay still wants to see what was left out.
"""

import math

import cv2
import numpy as np

from tameshi.footprint.geometry.box import Box
from tameshi.footprint.geometry.plane import rectify
from tameshi.footprint.ink.by_hand import LEFT_OUT, Ground
from tameshi.footprint.ink.closeup import CloseUp
from tameshi.footprint.ink.pieces import Pieces
from tameshi.footprint.picture.arrays import FloatArray, Pixels
from tameshi.footprint.picture.view import View
from tameshi.footprint.references.reference import Reference

_MARGIN = 0.002  # metres around what was left out


def outlines_left_out(pieces: Pieces, ground: Ground) -> tuple[FloatArray, ...]:
    """Return the outer outlines of the pieces that were left out whole, (n, 2) each, in true metres.

    Parameters
    ----------
    pieces : Pieces
    ground : Ground
        Of the overview.
    """
    outlines = []
    for piece in pieces.others:
        if piece.kind == LEFT_OUT:
            own = np.asarray(pieces.labels == piece.label, np.uint8)
            found, _ = cv2.findContours(own, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
            outlines += [ground.curve(np.asarray(curve.reshape(-1, 2), np.float64)) for curve in found]
    return tuple(outlines)


def picture_showing(
    view: View, found: Reference, seen: CloseUp, outlines: tuple[FloatArray, ...], most_pixels: int
) -> tuple[Pixels, Box]:
    """Return the close-up's picture, or a wider one where outlines lie beyond it, and what it shows.

    Parameters
    ----------
    view : View
    found : Reference
    seen : CloseUp
    outlines : tuple of (n, 2) array
        In true metres.
    most_pixels : int
        Bound on the wider picture.

    Returns
    -------
    (Pixels, Box)
        The box is in metres as drawn.
    """
    if not outlines:
        return seen.picture, seen.box
    points = np.concatenate(outlines) / found.stretch
    (left, top), (right, bottom) = points.min(axis=0) - _MARGIN, points.max(axis=0) + _MARGIN
    whole, own = found.region, seen.box
    box = Box(
        min(own.left, max(whole.left, float(left))),
        min(own.top, max(whole.top, float(top))),
        max(own.right, min(whole.right, float(right))),
        max(own.bottom, min(whole.bottom, float(bottom))),
    )
    if box == own:
        return seen.picture, own
    scale = max(seen.scale, math.sqrt(box.width * box.height / most_pixels))
    return rectify(view, found.plane, box, scale), box
