"""Tell ink from paper in an overview of the sheet, whatever the light and the ink's colour.

The colours in which edges are strongest are weighed into one level; pieces of ink are found in it
by their sharp edges; paper around them gives the paper's level everywhere, under the ink too.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np

from tameshi.footprint.ink.shadows import ink_colour, without_colourless
from tameshi.footprint.ink.steps import bounds, find_pale, find_pieces, steps_of
from tameshi.footprint.ink.surface import averages_over, enlarged
from tameshi.footprint.picture.arrays import Mask, Picture, Pixels, Where
from tameshi.footprint.picture.light import DARKEST, LINEAR

_RIDGES_BLUR = 0.00035  # metres: enough for skin ridges to run together
_CLEAR_OF_INK = 0.0012  # metres
_PAPER_SMOOTHING = 0.003  # metres
_LEAST_PAPER = np.float32(1e-3)
_LARGEST_SPECK = 15e-6  # square metres
_FAR_LARGER = 2.0  # times the darker ink
_PALER = (0.4, 0.2)  # of the darker ink: so dark a pale piece must be, and a far larger one
_THIN_INK = 0.35  # of the usual ink: what outlines enclose is ink if so dark
_LARGEST_FILLED = 0.5  # of the picture: a larger outline is a dark surround
_WHITE = np.float32(255.0)
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
    pale : (h, w) array of uint8
        1 in pieces far paler than the ink beside them, or of another colour: hardly a part of the same print.
    paper_encoded, paper_linear : (h, w) arrays
        Weighted level of bare paper, as stored values and as light, under the ink too.
    cover : (h, w) array
        Weighted darkness as a share of paper, in light: 0 is paper, 1 would be perfect black.
    steps : (h, w) array
        By how much the logarithm of the weighted light changes within the reach of a step of ink.
    """

    scale: float
    weights: Picture
    pieces: Mask
    pale: Mask
    paper_encoded: Picture
    paper_linear: Picture
    cover: Picture
    steps: Picture


def find_ink(picture: Pixels, scale: float, *, framed: bool, hidden: Mask | None = None) -> Ink:
    """Find pieces of ink in a rectified picture.

    Parameters
    ----------
    picture : (h, w, 3) array
    scale : float
        Metres a pixel; a quarter of a millimetre is a good choice.
    framed : bool
        Whether the picture is the inside of the target sheet's frame.
    hidden : (h, w) array of uint8 or None
        1 where the paper is not in the picture, whose outermost pixels are repeated there.

    Returns
    -------
    Ink
        With no pieces where there is none.
    """
    smooth = np.asarray(cv2.GaussianBlur(cv2.LUT(picture, LINEAR), (0, 0), _RIDGES_BLUR / scale), np.float32)
    levels = np.log(smooth + np.float32(DARKEST))
    sizes = _step_sizes(levels, scale)
    weights = _weights(sizes)
    light = np.asarray(cv2.transform(levels, weights.reshape(1, 3)), np.float32)
    pieces = find_pieces(light, scale, framed=framed, hidden=hidden)
    level = [mixed(picture, weights, linear=linear) for linear in (False, True)]
    pale = find_pale(light, scale, pieces if hidden is None else np.maximum(pieces, hidden))
    like = _as_dark(pale, pieces, level[1], scale)
    pieces, pale = np.maximum(pieces, like), pale * (like == 0)
    filled = _without_holes(pieces)
    colour = ink_colour(sizes)
    if colour is not None and pieces.any():
        usual = float(sizes @ weights)
        before = pieces
        pieces = _coloured(pieces, filled, (levels, light), (colour, usual), scale)
        pale = np.maximum(pale, before * (pieces == 0))  # a shadow, or ink of another colour
        filled = _without_holes(pieces)
    clear = _clear(filled, scale)
    paper = _paper(level, clear, scale)
    cover = np.asarray(1.0 - level[1] / np.maximum(paper[1], _LEAST_PAPER), np.float32)
    if pieces.any():
        thin = (filled > 0) & (cover > _THIN_INK * float(np.median(cover[pieces > 0])))
        pieces = np.maximum(pieces, thin.astype(np.uint8))
    pale = np.asarray(pale * (pieces == 0), np.uint8)
    return Ink(scale, weights, pieces, pale, paper[0], paper[1], cover, steps_of(light, scale))


def mixed(picture: Pixels, weights: Picture, *, linear: bool) -> Picture:
    """Return the weighted level of each pixel, (h, w), as light or as stored values, 0 to 1."""
    if not linear:
        return np.asarray(
            cv2.transform(picture.astype(np.float32), weights.reshape(1, 3) / _WHITE), np.float32
        )
    # a table for each colour, weighed already, costs less than weighing every pixel
    tables = np.ascontiguousarray((LINEAR[:, None] * weights[None, :]).reshape(1, 256, 3))
    return np.asarray(cv2.transform(cv2.LUT(picture, tables), np.ones((1, 3), np.float32)), np.float32)


def _coloured(
    pieces: Mask, filled: Mask, seen: tuple[Picture, Picture], ink: tuple[Picture, float], scale: float
) -> Mask:
    """Return the pieces without shadowed paper; ``ink`` is its colour and how dark it usually is."""
    (levels, light), (colour, usual) = seen, ink
    clear = _clear(filled, scale)
    hue = np.asarray(cv2.transform(levels, colour.reshape(1, 3)), np.float32)
    bare_hue, bare_light = _paper((hue, light), clear, scale)
    return without_colourless(pieces, bare_hue - hue, (bare_light - light) / np.float32(usual), scale)


def _step_sizes(levels: Picture, scale: float) -> Picture:
    """Return how large the strongest steps are in red, green and blue, as logarithms of light."""
    small = levels
    if min(levels.shape[:2]) > 200:  # noqa: PLR2004  quick, and enough
        small = np.asarray(cv2.resize(levels, None, fx=0.5, fy=0.5, interpolation=cv2.INTER_NEAREST))
    low, high = bounds(small, scale * levels.shape[0] / small.shape[0])
    size = high - low
    total = np.asarray(cv2.transform(size, np.ones((1, 3), np.float32)))
    strong = total >= 0.5 * float(total.max())
    return np.asarray(size[strong].mean(axis=0), np.float32)


def _weights(sizes: Picture) -> Picture:
    """Return how strongly the strongest steps show in red, green and blue; their sum is 1."""
    mean = sizes**2  # squared: colours that hardly show add noise only
    whole = float(mean.sum())
    return (mean / whole if whole > 0.0 else np.full(3, 1.0 / 3.0)).astype(np.float32)


def _as_dark(pale: Mask, pieces: Mask, light: Picture, scale: float) -> Mask:
    """Return the pale pieces that are not much paler than the largest of the darker ones.

    Beside mere specks they may be as pale as they like.
    """
    if not pale.any():
        return pale
    count, labels, stats, _ = cv2.connectedComponentsWithStats(pieces, connectivity=8)
    sides = (labels[0], labels[-1], labels[:, 0], labels[:, -1])
    at_edge = np.isin(np.arange(count), np.concatenate(sides))
    at_edge[0] = True
    sizes = np.where(at_edge, 0, stats[:, cv2.CC_STAT_AREA])
    main = int(np.argmax(sizes))
    if sizes[main] * scale**2 < _LARGEST_SPECK:
        return pale
    clear = _clear(_without_holes(np.maximum(pieces, pale)), scale)
    dark = 1.0 - light / np.maximum(_paper((light,), clear, scale)[0], _LEAST_PAPER)
    darker = float(np.median(dark[labels == main]))
    number, own, found, _ = cv2.connectedComponentsWithStats(pale, connectivity=8)
    larger = found[:, cv2.CC_STAT_AREA] >= _FAR_LARGER * sizes[main]
    kept = [
        n for n in range(1, number) if float(np.median(dark[own == n])) >= _PALER[int(larger[n])] * darker
    ]
    return np.asarray(np.isin(own, kept), np.uint8)


def _without_holes(pieces: Mask) -> Mask:
    """Fill what pieces enclose: inside an outline nothing is taken for bare paper unseen."""
    outlines, _ = cv2.findContours(pieces, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    whole = float(pieces.size)
    filled = pieces.copy()
    closed = [outline for outline in outlines if cv2.contourArea(outline) < _LARGEST_FILLED * whole]
    cv2.drawContours(filled, closed, -1, 1, thickness=-1)
    return filled


def _clear(inked: Mask, scale: float) -> Where:
    """Return where it is clear of ink."""
    reach = 2 * max(1, round(_CLEAR_OF_INK / scale)) + 1
    near = cv2.dilate(inked, np.ones((reach, reach), np.uint8))
    return np.asarray(near == 0)


def _paper(levels: Sequence[Picture], clear: Where, scale: float) -> list[Picture]:
    """Return the paper's levels everywhere, from where it is clear of ink."""
    averages = averages_over(levels, clear, _COARSER, _PAPER_SMOOTHING / scale)
    return [enlarged(paper, _COARSER, like) for paper, like in zip(averages, levels, strict=True)]
