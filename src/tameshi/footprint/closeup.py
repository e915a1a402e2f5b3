"""The print close up: how dark each small square of paper is, beside paper and beside ink.

Only the part of the picture that holds patches is rectified at the photo's own resolution. Levels
are divided by the paper's, so that light and shadow fall out, once as stored values and once as
light; which of the two an edge obeys is decided later.
"""

import math
from dataclasses import dataclass

import cv2
import numpy as np

from tameshi.footprint.arrays import Mask, Picture, Pixels
from tameshi.footprint.ink import Ink, mixed
from tameshi.footprint.pieces import Pieces
from tameshi.footprint.plane import Plane, pixel_size, rectify
from tameshi.footprint.settings import FootprintSettings
from tameshi.footprint.sheet import Box
from tameshi.footprint.surface import smoothed_over
from tameshi.footprint.view import View

_MARGIN = 0.004  # metres around the patches
_NEAR = 2  # pixels of the overview: ink must lie so near to what the overview took for ink
_LEAST_CONTRAST = 0.02


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
        1 where it is darker than half way to the ink the overview saw there.
    """

    box: Box
    scale: float
    picture: Pixels
    encoded: Picture
    linear: Picture
    dark: Mask


def close_up(
    view: View, plane: Plane, region: Box, found: tuple[Ink, Pieces], settings: FootprintSettings
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
    """
    ink, pieces = found
    box, columns, rows = _around(pieces, region, ink.scale)
    finest, _ = pixel_size(plane, box)
    scale = max(settings.finest_scale, finest, math.sqrt(box.width * box.height / settings.most_pixels))
    picture = rectify(view, plane, box, scale)
    size = (picture.shape[1], picture.shape[0])
    ratios = []
    for paper, linear in ((ink.paper_encoded, False), (ink.paper_linear, True)):
        level = mixed(picture, ink.weights, linear=linear)
        level /= np.maximum(cv2.resize(paper[rows, columns], size, interpolation=cv2.INTER_LINEAR), 1e-3)
        ratios.append(level)
    dark = _dark(ratios[1], ink, pieces, (rows, columns))
    return CloseUp(box, scale, picture, ratios[0], ratios[1], dark)


def _around(pieces: Pieces, region: Box, scale: float) -> tuple[Box, slice, slice]:
    """Return the box around all patches, on whole pixels of the overview, and its columns and rows."""
    margin = round(_MARGIN / scale)
    height, width = pieces.labels.shape
    left = max(0, min(piece.box[0] for piece in pieces.patches) - margin)
    top = max(0, min(piece.box[1] for piece in pieces.patches) - margin)
    right = min(width, max(piece.box[0] + piece.box[2] for piece in pieces.patches) + margin)
    bottom = min(height, max(piece.box[1] + piece.box[3] for piece in pieces.patches) + margin)
    box = Box(
        region.left + left * scale,
        region.top + top * scale,
        region.left + right * scale,
        region.top + bottom * scale,
    )
    return box, slice(left, right), slice(top, bottom)


def _dark(linear: Picture, ink: Ink, pieces: Pieces, part: tuple[slice, slice]) -> Mask:
    """Return where it is darker than half way from paper to the ink nearby, near known patches."""
    size = (linear.shape[1], linear.shape[0])
    labels = pieces.labels[part]
    patch = np.isin(labels, [piece.label for piece in pieces.patches]).astype(np.uint8)
    core = cv2.erode(patch, np.ones((3, 3), np.uint8))
    core = core if core.any() else patch
    cover = smoothed_over(ink.cover[part], core.astype(np.float32), 0.001 / ink.scale)
    half = cv2.resize(np.maximum(0.5 * cover, _LEAST_CONTRAST), size, interpolation=cv2.INTER_LINEAR)
    reach = 2 * _NEAR + 1
    near = cv2.resize(
        cv2.dilate(patch, np.ones((reach, reach), np.uint8)), size, interpolation=cv2.INTER_NEAREST
    )
    return np.asarray((1.0 - linear > half) & (near > 0), np.uint8)
