"""Marks of fingers at the rim of a sheet: paler than the print, far from it, no larger than a fingertip.

Whoever carries a sheet with inked hands leaves them. They are set aside and told, as the print is measured
by what struck the paper.
"""

from dataclasses import replace

import cv2
import numpy as np

from tameshi.errors import Flag
from tameshi.footprint.geometry.box import Box
from tameshi.footprint.ink.pieces import FINGER_MARK, Piece, Pieces, middle_of
from tameshi.footprint.picture.arrays import Picture

_RIM = 0.020  # metres from the paper's edge: as far as the pad of a finger that holds it reaches
_APART = 0.015  # metres from the print: nearer, it may be a part of it
_PALER = 0.6  # of the print's darkness: patches of one print are more alike
_FINGERTIP = 500e-6  # square metres: the pad of a thumb, pressed flat
_SMALLER = 0.5  # of the print's area


def without_finger_marks(
    pieces: Pieces, region: Box, scale: float, stretch: float
) -> tuple[Pieces, tuple[Flag, ...]]:
    """Return the pieces with finger marks at the rim set aside, and a flag that says where they are.

    Parameters
    ----------
    pieces : Pieces
    region : Box
        What the overview shows, in metres: a sheet, or a scan of one.
    scale : float
        Metres a pixel of the overview.
    stretch : float
        True metres for each metre as drawn.
    """
    if not pieces.patches:
        return pieces, ()
    main = max(pieces.patches, key=lambda piece: piece.area * piece.darkness)
    pale = [piece for piece in pieces.patches if piece.darkness < _PALER * main.darkness]
    printed = [piece for piece in pieces.patches if piece.darkness >= _PALER * main.darkness]
    whole = sum(piece.area for piece in printed)
    small = [piece for piece in pale if piece.area < min(_FINGERTIP, _SMALLER * whole)]
    if not small:
        return pieces, ()
    from_print = _distance(pieces, {piece.label for piece in printed}) * scale
    from_edge = (
        _distance(pieces, {piece.label for piece in pieces.others if piece.kind == "border"}, edges=True)
        * scale
    )
    marks = [
        replace(piece, kind=FINGER_MARK)
        for piece in small
        if _nearest(from_print, pieces, piece) > _APART and _nearest(from_edge, pieces, piece) < _RIM
    ]
    if not marks:
        return pieces, ()
    gone = {piece.label for piece in marks}
    left = tuple(piece for piece in pieces.patches if piece.label not in gone)
    found = replace(pieces, patches=left, others=(*marks, *pieces.others))
    return found, (_flag(marks, main, region, (scale, stretch)),)


def _distance(pieces: Pieces, labels: set[int], *, edges: bool = False) -> Picture:
    """Return how far each pixel is from some pieces, and from the edges if asked, in pixels."""
    far = np.asarray(~np.isin(pieces.labels, list(labels)), np.uint8)
    if pieces.hidden is not None and edges:
        far[pieces.hidden > 0] = 0
    padded = np.pad(far, 1, constant_values=0 if edges else 1)
    return np.asarray(cv2.distanceTransform(padded, cv2.DIST_L2, 3), np.float32)[1:-1, 1:-1]


def _nearest(distance: Picture, pieces: Pieces, piece: Piece) -> float:
    left, top, columns, rows = piece.box
    window = (slice(top, top + rows), slice(left, left + columns))
    return float(distance[window][pieces.labels[window] == piece.label].min())


def _flag(marks: list[Piece], main: Piece, region: Box, about: tuple[float, float]) -> Flag:
    scale, stretch = about
    said = []
    for mark in marks:
        x, y = (1000.0 * stretch * way for way in middle_of(mark, region, scale))
        said.append(
            f"x = {x:.0f} mm, y = {y:.0f} mm ({mark.area * stretch**2 * 1e6:.0f} mm², "
            f"{100.0 * mark.darkness / main.darkness:.0f} % as dark as the print; "
            f'if it is contact: --take-in "{x:.0f},{y:.0f}")'
        )
    return Flag(
        "finger-mark",
        "Near the paper's edge, far from the print and paler, was set aside as a finger's mark: "
        f"{'; '.join(said)}.",
    )
