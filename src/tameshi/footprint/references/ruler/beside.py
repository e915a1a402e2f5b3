"""The paper beside a ruler: what is one with it, without a sharp edge between."""

from dataclasses import dataclass

import cv2
import numpy as np

from tameshi.footprint.geometry.box import Box
from tameshi.footprint.geometry.inscribed import largest_board
from tameshi.footprint.geometry.plane import Plane, rectify, to_metres
from tameshi.footprint.picture.arrays import Mask, Pixels
from tameshi.footprint.picture.view import View

_SCALE = 0.001  # metres a pixel of the copy in which paper is looked for
_FARTHEST = 0.45  # metres from the ruler
_STRIP = 0.012  # metres off the ruler: there paper is
_EDGE, _OVER_USUAL = 9.0, 4.0  # stored values within three pixels, and times the usual: a sharp edge
_TRIM = 2  # pixels of the copy left out along the paper's edge
_LEAST = 200  # pixels of the copy


@dataclass(frozen=True, slots=True)
class Beside:
    """Paper beside a ruler.

    Parameters
    ----------
    box : Box
        Its largest upright part, in the plane's metres.
    held : float
        Area on it that sharp edges part from the paper, in square metres: of a print, for instance.
    """

    box: Box
    held: float


def paper_beside(view: View, plane: Plane, edge: float, ticks: tuple[float, float]) -> Beside | None:
    """Return the largest upright part of the paper off a ruler, None where there is hardly any.

    Parameters
    ----------
    view : View
    plane : Plane
        From metres, along the ruler and off it, to pixels.
    edge : float
        Where to begin, in metres off the ruler's ticks.
    ticks : (float, float)
        From where to where along the ruler they are, in metres: the paper lies beside them.

    Returns
    -------
    Beside or None
    """
    around = _in_view(view, plane, edge)
    if around is None:
        return None
    copy = rectify(view, plane, around, _SCALE)
    rows, columns = copy.shape[:2]
    inside = _seen(view, plane, around, (rows, columns))
    free = ((_sharpness(copy) == 0) & (inside > 0)).astype(np.uint8)
    _, labels = cv2.connectedComponents(free, connectivity=4)
    left, right = (round(float(np.clip((at - around.left) / _SCALE, 0, columns))) for at in ticks)
    along = np.bincount(labels[: max(2, round(_STRIP / _SCALE)), left:right].ravel(), minlength=1)
    along[0] = 0
    if not along.any():
        return None
    paper = (labels == int(np.argmax(along))).astype(np.uint8)
    paper = np.asarray(cv2.morphologyEx(paper, cv2.MORPH_OPEN, np.ones((5, 5), np.uint8)), np.uint8)
    return _largest(paper, around)


def _sharpness(copy: Pixels) -> Mask:
    """Return 1 at sharp edges in any colour: light and soft shadows change more slowly."""
    window = np.ones((3, 3), np.uint8)
    size = cv2.dilate(copy, window) - cv2.erode(copy, window)
    most = size.max(axis=2)
    return np.asarray(most > max(_EDGE, _OVER_USUAL * float(np.median(most))), np.uint8)


def _largest(paper: Mask, around: Box) -> Beside | None:
    outlines, _ = cv2.findContours(paper, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    if not outlines:
        return None
    outline = max(outlines, key=cv2.contourArea)
    # a sheet has no inward corner: where one seems to be, a print lies at the edge of what is seen
    whole = cv2.fillConvexPoly(np.zeros_like(paper), cv2.convexHull(outline), 1)
    left, top, right, bottom = largest_board(np.asarray(whole, np.uint8))
    columns, rows = right - left + 1 - 2 * _TRIM, bottom - top + 1 - _TRIM
    if columns < 1 or rows < 1 or columns * rows < _LEAST:
        return None
    x, y = around.left + (left + _TRIM) * _SCALE, around.top + top * _SCALE
    held = np.count_nonzero(paper[top : top + rows, left + _TRIM : left + _TRIM + columns] == 0)
    return Beside(Box(x, y, x + columns * _SCALE, y + rows * _SCALE), held * _SCALE**2)


def _in_view(view: View, plane: Plane, edge: float) -> Box | None:
    """Return the part of the plane off the ruler that the picture shows, in metres."""
    height, width = view.pixels.shape[:2]
    corners = np.array([(0.0, 0.0), (width - 1.0, 0.0), (width - 1.0, height - 1.0), (0.0, height - 1.0)])
    places = np.clip(to_metres(plane, corners), -_FARTHEST, _FARTHEST)
    (left, _), (right, bottom) = places.min(axis=0), places.max(axis=0)
    if bottom - edge < _STRIP or right - left < _STRIP:
        return None
    return Box(float(left), edge, float(right), float(bottom))


def _seen(view: View, plane: Plane, around: Box, size: tuple[int, int]) -> Mask:
    """Return 1 where the copy shows something of the picture."""
    height, width = view.pixels.shape[:2]
    offset = np.array([[_SCALE, 0.0, around.left], [0.0, _SCALE, around.top], [0.0, 0.0, 1.0]])
    white = np.full((height // 4, width // 4), 1, np.uint8)
    matrix = np.diag([0.25, 0.25, 1.0]) @ plane.matrix @ offset
    seen = cv2.warpPerspective(white, matrix, size[::-1], flags=cv2.INTER_NEAREST | cv2.WARP_INVERSE_MAP)
    return np.asarray(seen, np.uint8)
