"""Find pieces of ink by their sharp edges, whatever the light.

Light changes slowly from place to place, the edge of ink is sharp: so sharp steps are looked for, in
the logarithm of light, where illumination only adds. Half way up each step is a good threshold
there; carried over the picture it makes a threshold surface that follows shadows. What is darker
than it and bounded by steps is ink. A hard shadow has sharp edges too, but weaker ones than ink: in
large dark parts that cannot be ink the search is repeated for the strongest steps only.
"""

import cv2
import numpy as np

from tameshi.footprint.ink.surface import spread_over
from tameshi.footprint.picture.arrays import Labels, Mask, Picture, Where

_STEP_WINDOW = 0.002  # metres: a step of ink is complete within this
_WEAKEST_STEP = 0.16  # of the logarithm of light: fainter steps are the paper's own
_OVER_NOISE = 3.0
_OF_STRONGEST, _IN_SHADOW = 0.08, 0.5  # how strong a step must be beside the strongest
_STRONGEST_AREA = 4e-6  # square metres of steps that are taken as the strongest
_SUPPORT = 0.5  # share of a piece's edge that must be a step
_LARGE = 0.03  # of the picture
_ALONG_EDGE = 0.4  # of a side of the picture


def find_pieces(light: Picture, scale: float, *, framed: bool) -> Mask:
    """Return where there is ink.

    Parameters
    ----------
    light : (h, w) array
        Logarithm of light.
    scale : float
        Metres a pixel.
    framed : bool
        Whether the picture is the inside of a frame, where nothing dark but a shadow runs along
        the edge.

    Returns
    -------
    (h, w) array of uint8
        1 where there is ink.
    """
    low, high = bounds(light, scale)
    pieces, doubtful = _search(light, low, high, (scale, _OF_STRONGEST), framed=framed)
    if doubtful.any():
        within, _ = _search(light, low, high, (scale, _IN_SHADOW), framed=False)
        pieces = np.maximum(pieces, within & doubtful)
    return pieces


def bounds(levels: Picture, scale: float) -> tuple[Picture, Picture]:
    """Return the lowest and highest level near each pixel, as far as a step of ink reaches."""
    side = 2 * max(1, round(0.5 * _STEP_WINDOW / scale)) + 1
    window = np.ones((side, side), np.uint8)
    low, high = cv2.erode(levels, window), cv2.dilate(levels, window)
    return np.asarray(low, np.float32), np.asarray(high, np.float32)


def _search(
    light: Picture, low: Picture, high: Picture, at: tuple[float, float], *, framed: bool
) -> tuple[Mask, Mask]:
    """Return ink and doubtful dark parts; ``at`` is metres a pixel and the share of the strongest step."""
    steps = _steps(high - low, *at)
    if not steps.any():
        nothing = np.zeros(light.shape, np.uint8)
        return nothing, nothing
    floor, ceiling = np.exp(low[steps]), np.exp(high[steps])
    middle, weight = np.zeros_like(light), np.zeros_like(light)
    middle[steps] = np.log(0.5 * (floor + ceiling))
    weight[steps] = (ceiling - floor) ** 2  # from bare paper down says more than from thin to thick ink
    threshold = spread_over(middle, weight)
    return _bounded(np.asarray(light < threshold, np.uint8), steps, framed=framed)


def _steps(size: Picture, scale: float, share: float) -> Where:
    """Return where the level changes as much as an edge of ink would."""
    usual = float(np.median(size[::3, ::3]))
    some = np.ascontiguousarray(size[::2, ::2]).ravel()
    number = min(max(3, round(0.25 * _STRONGEST_AREA / scale**2)), some.size)
    strongest = float(np.partition(some, -number)[-number])
    needed = max(_WEAKEST_STEP, _OVER_NOISE * usual, share * strongest)
    return np.asarray(size > needed)


def _bounded(dark: Mask, steps: Where, *, framed: bool) -> tuple[Mask, Mask]:
    """Keep the dark pieces whose edge is mostly a step; return large ones that are not beside them."""
    count, labels, stats, _ = cv2.connectedComponentsWithStats(dark, connectivity=8)
    inside = cv2.erode(dark, np.ones((3, 3), np.uint8), borderValue=0)
    edge = (dark > 0) & (inside == 0)
    of_edge = np.bincount(labels[edge], minlength=count)
    of_steps = np.bincount(labels[edge & steps], minlength=count)
    kept = (of_steps >= _SUPPORT * of_edge) & (of_edge > 0)
    kept[0] = False
    doubtful = ~kept & (stats[:, cv2.CC_STAT_AREA] > _LARGE * dark.size)
    if framed:
        along = along_edge(np.asarray(labels, np.int32), count)
        doubtful |= kept & along
        kept &= ~along
    doubtful[0] = False
    return np.asarray(kept.astype(np.uint8)[labels]), np.asarray(doubtful.astype(np.uint8)[labels])


def along_edge(labels: Labels, count: int) -> Where:
    """Return which pieces lie along a good part of one side of the picture.

    Parameters
    ----------
    labels : (h, w) array of int32
    count : int
        Number of labels, the paper's zero included.

    Returns
    -------
    (count,) array of bool
    """
    sides = (labels[0], labels[-1], labels[:, 0], labels[:, -1])
    shares = [np.bincount(side, minlength=count) / len(side) for side in sides]
    return np.asarray(np.max(shares, axis=0) >= _ALONG_EDGE)
