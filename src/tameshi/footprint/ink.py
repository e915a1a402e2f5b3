"""Tell ink from paper in an overview of the sheet, whatever the light and the ink's colour.

Light changes slowly from place to place, the edge of ink is sharp: so sharp steps are looked for
first, in the logarithm of light, where illumination only adds. Half way up each step is a good
threshold there; carried over the picture it makes a threshold surface that follows shadows. What
is darker than it and bounded by steps is ink. Paper around it gives the paper's level everywhere.
"""

from dataclasses import dataclass

import cv2
import numpy as np

from tameshi.footprint.arrays import Mask, Picture, Pixels, Where
from tameshi.footprint.light import DARKEST, ENCODED, LINEAR
from tameshi.footprint.surface import ratio, smoothed_over, spread_over

_RIDGES_BLUR = 0.00035  # metres: enough for skin ridges to run together
_STEP_WINDOW = 0.002  # metres: a step of ink is complete within this
_WEAKEST_STEP = 0.16  # of the logarithm of light: fainter steps are the paper's own
_OVER_NOISE = 3.0
_OF_STRONGEST = 0.08
_STRONGEST_AREA = 4e-6  # square metres of steps that are taken as the strongest
_SUPPORT = 0.5  # share of a piece's edge that must be a step
_CLEAR_OF_INK = 0.0012  # metres
_PAPER_SMOOTHING = 0.003  # metres
_THIN_INK = 0.35  # of the usual ink: what outlines enclose is ink if so dark
_LARGEST_FILLED = 0.5  # of the picture: a larger outline is a dark surround
_COARSER = 4  # the paper's level is worked out in a coarser picture


@dataclass(frozen=True, slots=True)
class Ink:
    """Ink and paper in the overview.

    Parameters
    ----------
    scale : float
        Metres a pixel.
    weights : (3,) array
        How much red, green and blue count in telling this ink from this paper; their sum is 1.
    pieces : (h, w) array of uint8
        1 where there is ink, 0 where there is paper.
    paper_encoded, paper_linear : (h, w) arrays
        Weighted level of bare paper, as stored values and as light, under the ink too.
    cover : (h, w) array
        Weighted darkness as a share of paper, in light: 0 is paper, 1 would be perfect black.
    """

    scale: float
    weights: Picture
    pieces: Mask
    paper_encoded: Picture
    paper_linear: Picture
    cover: Picture


def find_ink(picture: Pixels, scale: float) -> Ink:
    """Find pieces of ink in a rectified picture.

    Parameters
    ----------
    picture : (h, w, 3) array
    scale : float
        Metres a pixel; a quarter of a millimetre is a good choice.

    Returns
    -------
    Ink
        With no pieces where there is none.
    """
    smooth = np.asarray(cv2.GaussianBlur(cv2.LUT(picture, LINEAR), (0, 0), _RIDGES_BLUR / scale), np.float32)
    levels = np.log(smooth + np.float32(DARKEST))
    weights = _weights(levels, scale)
    light = np.asarray(cv2.transform(levels, weights.reshape(1, 3)), np.float32)
    low, high = _bounds(light, scale)
    steps = _steps(high - low, scale)
    pieces = np.zeros(light.shape, np.uint8)
    if steps.any():
        floor, ceiling = np.exp(low), np.exp(high)
        threshold = spread_over(
            np.log(0.5 * (floor + ceiling)).astype(np.float32),
            # a step down from bare paper says more than one from thin to thick ink
            np.where(steps, (ceiling - floor) ** 2, np.float32(0.0)),
        )
        pieces = _bounded_pieces(np.asarray(light < threshold, np.uint8), steps)
    filled = _without_holes(pieces)
    paper = [_paper(_mixed(picture, curve, weights), filled, scale) for curve in (ENCODED, LINEAR)]
    cover = (1.0 - _mixed(picture, LINEAR, weights) / np.maximum(paper[1], 1e-3)).astype(np.float32)
    if pieces.any():
        thin = (filled > 0) & (cover > _THIN_INK * float(np.median(cover[pieces > 0])))
        pieces = np.maximum(pieces, thin.astype(np.uint8))
    return Ink(scale, weights, pieces, paper[0], paper[1], cover)


def mixed(picture: Pixels, weights: Picture, *, linear: bool) -> Picture:
    """Return the weighted level of each pixel, (h, w), as light or as stored values, 0 to 1."""
    return _mixed(picture, LINEAR if linear else ENCODED, weights)


def _mixed(picture: Pixels, curve: Picture, weights: Picture) -> Picture:
    return np.asarray(cv2.transform(cv2.LUT(picture, curve), weights.reshape(1, 3)), np.float32)


def _bounds(levels: Picture, scale: float) -> tuple[Picture, Picture]:
    """Return the lowest and highest level around each pixel."""
    side = 2 * max(1, round(0.5 * _STEP_WINDOW / scale)) + 1
    window = np.ones((side, side), np.uint8)
    low, high = cv2.erode(levels, window), cv2.dilate(levels, window)
    return np.asarray(low, np.float32), np.asarray(high, np.float32)


def _weights(levels: Picture, scale: float) -> Picture:
    """Return how strongly the strongest steps show in red, green and blue."""
    small = levels[::2, ::2] if min(levels.shape[:2]) > 200 else levels  # noqa: PLR2004  quick, and enough
    low, high = _bounds(np.ascontiguousarray(small), scale * levels.shape[0] / small.shape[0])
    size = high - low
    total = size.sum(axis=2)
    strong = total >= 0.5 * float(total.max())
    mean = size[strong].mean(axis=0) ** 2  # squared: colours that hardly show add noise only
    whole = float(mean.sum())
    return (mean / whole if whole > 0.0 else np.full(3, 1.0 / 3.0)).astype(np.float32)


def _steps(size: Picture, scale: float) -> Where:
    """Return where the level changes as much as an edge of ink would."""
    usual = float(np.median(size[::3, ::3]))
    number = max(9, round(_STRONGEST_AREA / scale**2))
    strongest = float(np.partition(size.ravel(), -min(number, size.size))[-min(number, size.size)])
    needed = max(_WEAKEST_STEP, _OVER_NOISE * usual, _OF_STRONGEST * strongest)
    return np.asarray(size > needed)


def _bounded_pieces(dark: Mask, steps: Where) -> Mask:
    """Keep the dark pieces whose edge is mostly a step; shadows are not."""
    count, labels = cv2.connectedComponents(dark, connectivity=8)
    inside = cv2.erode(dark, np.ones((3, 3), np.uint8), borderValue=0)
    edge = (dark > 0) & (inside == 0)
    of_edge = np.bincount(labels[edge], minlength=count)
    of_steps = np.bincount(labels[edge & steps], minlength=count)
    kept = (of_steps >= _SUPPORT * of_edge) & (of_edge > 0)
    kept[0] = False
    return np.asarray(kept.astype(np.uint8)[labels])


def _without_holes(pieces: Mask) -> Mask:
    """Fill what pieces enclose: inside an outline nothing is taken for bare paper unseen."""
    outlines, _ = cv2.findContours(pieces, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    whole = float(pieces.size)
    filled = pieces.copy()
    closed = [outline for outline in outlines if cv2.contourArea(outline) < _LARGEST_FILLED * whole]
    cv2.drawContours(filled, closed, -1, 1, thickness=-1)
    return filled


def _paper(level: Picture, inked: Mask, scale: float) -> Picture:
    """Return the paper's level everywhere, from where it is clear of ink."""
    reach = 2 * max(1, round(_CLEAR_OF_INK / scale)) + 1
    near = cv2.dilate(inked, np.ones((reach, reach), np.uint8))
    clear = (near == 0).astype(np.float32)
    size = (max(4, level.shape[1] // _COARSER), max(4, level.shape[0] // _COARSER))
    share = np.asarray(cv2.resize(clear, size, interpolation=cv2.INTER_AREA), np.float32)
    sums = np.asarray(cv2.resize(level * clear, size, interpolation=cv2.INTER_AREA), np.float32)
    smooth = smoothed_over(ratio(sums, share), share, _PAPER_SMOOTHING / (scale * _COARSER))
    whole = (level.shape[1], level.shape[0])
    return np.asarray(cv2.resize(smooth, whole, interpolation=cv2.INTER_LINEAR), np.float32)
