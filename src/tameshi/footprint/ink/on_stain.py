"""A print within something paler that has an edge of its own: a stain of coffee, a shadow cast on it."""

import cv2
import numpy as np

from tameshi.errors import UnmeasurableError
from tameshi.footprint.geometry.box import Box
from tameshi.footprint.ink.find import Ink
from tameshi.footprint.ink.pieces import Piece, Pieces, middle_of

_RIM = 4  # pixels of the overview: so deep inside its edge a piece is as dark as it is
_DARKER = 1.6  # times as dark as along the rim
_BODY = 0.004  # metres: strokes across a print are thinner
_SMALLEST = 15e-6  # square metres
_CLEAR_OF_EDGE = 0.003  # metres: there the piece's own edge is left behind
_AS_STRONG, _OF_EDGE = 1.2, 0.5  # times the piece's own step; of the length of the darker part's edge


def require_no_stain(ink: Ink, pieces: Pieces, region: Box) -> None:
    """Refuse a print within a stain: the stain would be measured.

    Parameters
    ----------
    ink : Ink
    pieces : Pieces
    region : Box
        What the overview shows, in metres.

    Raises
    ------
    UnmeasurableError
        ``print-on-stain``.
    """
    for piece in pieces.patches:
        if piece.area < _SMALLEST:
            continue
        darker = _darker_inside(ink, pieces, piece)
        if darker > 0.0:
            x, y = (1000.0 * way for way in middle_of(piece, region, ink.scale))
            raise UnmeasurableError(
                "print-on-stain",
                f"The patch around x = {x:.0f} mm, y = {y:.0f} mm holds {darker * 1e6:.0f} mm² of far "
                "darker ink with an edge of its own: a print within a stain or a shadow, which would be "
                "measured instead.",
                hint="Strike on clean paper, and keep the edges of shadows off the print.",
            )


def _darker_inside(ink: Ink, pieces: Pieces, piece: Piece) -> float:
    """Return the area of far darker ink with sharp edges inside a piece, in square metres."""
    left, top, columns, rows = piece.box
    window = (slice(top, top + rows), slice(left, left + columns))
    own = np.asarray(pieces.labels[window] == piece.label, np.uint8)
    depth = np.asarray(cv2.distanceTransform(np.pad(own, 1), cv2.DIST_L2, 3), np.float32)[1:-1, 1:-1]
    rim = (depth > 0) & (depth <= _RIM)
    cover, steps = ink.cover[window], ink.steps[window]
    usual, step = float(np.median(cover[rim])), float(np.median(steps[(depth > 0) & (depth < 2.0)]))  # noqa: PLR2004
    dark = np.asarray((cover > _DARKER * usual) & (own > 0), np.uint8)
    side = max(3, round(_BODY / ink.scale))
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (side, side))
    body = cv2.morphologyEx(dark, cv2.MORPH_OPEN, disc)
    count, labels, stats, _ = cv2.connectedComponentsWithStats(body, connectivity=8)
    edge = (body > 0) & (cv2.erode(body, np.ones((3, 3), np.uint8), borderValue=0) == 0)
    edge &= depth > _CLEAR_OF_EDGE / ink.scale
    sharp = edge & (steps >= _AS_STRONG * step)
    found = 0.0
    for n in range(1, count):
        area = float(stats[n, cv2.CC_STAT_AREA]) * ink.scale**2
        around = np.count_nonzero(edge & (labels == n))
        if area >= _SMALLEST and around and np.count_nonzero(sharp & (labels == n)) >= _OF_EDGE * around:
            found += area
    return found
