"""The print close up: how dark each small square of paper is, beside paper and beside ink.

Only the part of the picture that holds patches is rectified at the photo's own resolution. Levels
are divided by the paper's, so that light and shadow fall out, once as stored values and once as
light; which of the two an edge obeys is decided later.
"""

import math
from dataclasses import dataclass

import cv2
import numpy as np

from tameshi.footprint.geometry.box import Box
from tameshi.footprint.geometry.plane import Plane, is_scan, pixel_size, rectify
from tameshi.footprint.ink.find import Ink, mixed
from tameshi.footprint.ink.pieces import Pieces
from tameshi.footprint.ink.surface import smoothed_over
from tameshi.footprint.picture.arrays import Mask, Picture, Pixels
from tameshi.footprint.picture.view import View
from tameshi.footprint.results.corrections import HALF_WAY
from tameshi.footprint.results.settings import FootprintSettings

_MARGIN = 0.004  # metres around the patches
_NEAR = 2  # pixels of the overview: ink must lie so near to what the overview took for ink
_LEAST_CONTRAST = 0.02
_LEAST_PAPER = np.float32(1e-3)
_INK_SMOOTHING = 0.001  # metres


@dataclass(frozen=True, slots=True)
class CloseUp:
    """The part of the paper that holds the print.

    Parameters
    ----------
    box : Box
        What it shows, in metres as drawn.
    scale : float
        Metres a pixel, as drawn.
    picture : (h, w, 3) array
    encoded, linear : (h, w) arrays
        Level as a share of the paper's: as stored values and as light. 1 is paper.
    dark : (h, w) array of uint8
        1 where it is darker than ``at`` of the way to the ink the overview saw there.
    at : float
        Where outlines run, as a share of the way from paper to ink.
    """

    box: Box
    scale: float
    picture: Pixels
    encoded: Picture
    linear: Picture
    dark: Mask
    at: float = HALF_WAY


def close_up(
    view: View,
    plane: Plane,
    region: Box,
    found: tuple[Ink, Pieces],
    settings: FootprintSettings,
    *,
    at: float = HALF_WAY,
) -> CloseUp:
    """Rectify the patches at the picture's own resolution.

    Parameters
    ----------
    view : View
        The photo or scan.
    plane : Plane
    region : Box
        What the overview shows, in metres.
    found : (Ink, Pieces)
        What was found in the overview.
    settings : FootprintSettings
    at : float
        Where outlines run, as a share of the way from paper to ink.
    """
    ink, pieces = found
    rows, columns = _around(pieces, ink.scale)
    around = _box_of(rows, columns, region, ink.scale)
    finest, _ = pixel_size(plane, around)
    scale = max(settings.finest_scale, finest, math.sqrt(around.width * around.height / settings.most_pixels))
    box = _on_whole_pixels(around, scale) if is_scan(plane) and scale == finest else around
    picture = rectify(view, plane, box, scale)
    place = _Place(around, ink.scale, box, scale, (picture.shape[1], picture.shape[0]))
    ratios = []
    for paper, linear in ((ink.paper_encoded, False), (ink.paper_linear, True)):
        level = mixed(picture, ink.weights, linear=linear)
        level /= np.maximum(_carried(paper[rows, columns], place), _LEAST_PAPER)
        ratios.append(level)
    patch = np.isin(pieces.labels[rows, columns], [piece.label for piece in pieces.patches])
    dark = _dark(ratios[1], ink.cover[rows, columns], patch.astype(np.uint8), place, at)
    return CloseUp(box, scale, picture, ratios[0], ratios[1], dark, at)


@dataclass(frozen=True, slots=True)
class _Place:
    """Where the close-up lies in a part of the overview: both boxes and scales, the close-up's size."""

    part: Box
    overview_scale: float
    box: Box
    scale: float
    size: tuple[int, int]


def _carried(values: Picture | Mask, place: _Place, *, how: int = cv2.INTER_LINEAR) -> Picture:
    """Return values of the overview at the pixels of the close-up."""
    zoom = place.scale / place.overview_scale
    if place.box == place.part:  # as below, in a fraction of the time
        alike = cv2.INTER_NEAREST_EXACT if how == cv2.INTER_NEAREST else how
        enlarged = cv2.resize(values, None, fx=1.0 / zoom, fy=1.0 / zoom, interpolation=alike)
        if enlarged.shape[1::-1] == place.size:
            return np.asarray(enlarged)
    matrix = np.diag([zoom, zoom])
    corner = np.array([place.box.left - place.part.left, place.box.top - place.part.top])
    offset = corner / place.overview_scale + 0.5 * zoom - 0.5
    inverse = np.column_stack([matrix, offset])
    carried = cv2.warpAffine(
        values, inverse, place.size, flags=how | cv2.WARP_INVERSE_MAP, borderMode=cv2.BORDER_REPLICATE
    )
    return np.asarray(carried)


def _on_whole_pixels(box: Box, scale: float) -> Box:
    """Return the box moved to whole pixels of a scan, which then need not be interpolated."""
    left, top = (round(edge / scale) * scale for edge in (box.left, box.top))
    return Box(left, top, left + box.width, top + box.height)


def _around(pieces: Pieces, scale: float) -> tuple[slice, slice]:
    """Return rows and columns of the overview around all patches, with a margin."""
    margin = round(_MARGIN / scale)
    boxes = np.array([piece.box for piece in pieces.patches])
    left, top = np.maximum(boxes[:, :2].min(axis=0) - margin, 0)
    right, bottom = (boxes[:, :2] + boxes[:, 2:]).max(axis=0) + margin
    height, width = pieces.labels.shape
    return slice(int(top), min(int(bottom), height)), slice(int(left), min(int(right), width))


def _box_of(rows: slice, columns: slice, region: Box, scale: float) -> Box:
    return Box(
        region.left + columns.start * scale,
        region.top + rows.start * scale,
        region.left + columns.stop * scale,
        region.top + rows.stop * scale,
    )


def _dark(linear: Picture, cover: Picture, patch: Mask, place: _Place, at: float) -> Mask:
    """Return where it is darker than a share of the way from paper to the ink nearby, near known patches."""
    core = np.asarray(cv2.erode(patch, np.ones((3, 3), np.uint8)), np.uint8)
    core = core if core.any() else patch
    (ink,) = smoothed_over((cover,), core.astype(np.float32), _INK_SMOOTHING / place.overview_scale)
    least = _carried(np.maximum(np.float32(at) * ink, np.float32(_LEAST_CONTRAST)), place)
    reach = 2 * _NEAR + 1
    grown = np.asarray(cv2.dilate(patch, np.ones((reach, reach), np.uint8)), np.uint8)
    near = _carried(grown, place, how=cv2.INTER_NEAREST)
    return np.asarray((1.0 - linear > least) & (near > 0), np.uint8)
