"""Find pieces of ink by their sharp edges, whatever the light.

Light changes slowly from place to place, the edge of ink is sharp: so sharp steps are looked for, in
the logarithm of light, where illumination only adds. Half way up each step is a good threshold
there; carried over the picture it makes a threshold surface that follows shadows. What is darker
than it and bounded by steps is ink. A hard shadow has sharp edges too, but weaker ones than ink: in
large dark parts that cannot be ink the search is repeated for the strongest steps only.
"""

import cv2
import numpy as np

from tameshi.footprint.ink.leaks import without_holes, without_leaks
from tameshi.footprint.ink.surface import spread_over
from tameshi.footprint.picture.arrays import Labels, Mask, Picture, Where

_STEP_WINDOW = 0.002  # metres: a step of ink is complete within this
_WEAKEST_STEP = 0.16  # of the logarithm of light: fainter steps are the paper's own
_PALEST_STEP = 0.05  # of the logarithm of light: fainter ones no closed outline makes credible
_PALE_BLUR = 0.0005  # metres
_PALE_SUPPORT = 0.85  # share of a pale piece's edge that must be a step
_LEAST_PALE = 30e-6  # square metres
_OVER_NOISE = 3.0
_OF_STRONGEST, _IN_SHADOW = 0.08, 0.5  # how strong a step must be beside the strongest
_STRONGEST_AREA = 4e-6  # square metres of steps that are taken as the strongest
_SUPPORT = 0.5  # share of a piece's edge that must be a step
_LARGE = 0.03  # of the picture
_ALONG_EDGE = 0.4  # of a side of the picture


def find_pieces(light: Picture, scale: float, *, framed: bool, hidden: Mask | None = None) -> Mask:
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
    hidden : (h, w) array of uint8 or None
        1 where the paper is not in the picture.

    Returns
    -------
    (h, w) array of uint8
        1 where there is ink.
    """
    low, high = bounds(light, scale)
    dark = _dark(light, (low, high), (scale, _OF_STRONGEST), hidden)
    pieces, doubtful = _bounded(*dark, hidden, framed=framed)
    if doubtful.any():
        dark = _dark(light, (low, high), (scale, _IN_SHADOW), hidden)
        within, _ = _bounded(*dark, hidden, framed=False)
        pieces = np.maximum(pieces, within & doubtful)
    return pieces


def find_pale(light: Picture, scale: float, pieces: Mask) -> Mask:
    """Return where there may be ink too pale for :func:`find_pieces`, away from what that found.

    Paler steps are believed only where they surround a large piece nearly whole.

    Parameters
    ----------
    light : (h, w) array
        Logarithm of light.
    scale : float
        Metres a pixel.
    pieces : (h, w) array of uint8
        1 where there is ink already.
    """
    light = np.asarray(cv2.GaussianBlur(light, (0, 0), _PALE_BLUR / scale), np.float32)
    low, high = bounds(light, scale)
    size = high - low
    reach = 2 * round(2.0 * _STEP_WINDOW / scale) + 1
    far = np.asarray(cv2.dilate(pieces, np.ones((reach, reach), np.uint8)) == 0)
    steps = np.asarray(far & (size > max(_PALEST_STEP, _OVER_NOISE * float(np.median(size[::3, ::3])))))
    nothing = np.zeros(light.shape, np.uint8)
    if not steps.any():
        return nothing
    dark = _darker_than_half_way(light, low, high, steps) * far.astype(np.uint8)
    dark = np.asarray(cv2.morphologyEx(dark, cv2.MORPH_CLOSE, np.ones((3, 3), np.uint8)), np.uint8)
    outlines, _ = cv2.findContours(dark, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    rows, columns = light.shape
    for outline in outlines:
        x, y = outline[:, 0, 0], outline[:, 0, 1]
        at_edge = x.min() <= 1 or y.min() <= 1 or x.max() >= columns - 2 or y.max() >= rows - 2
        large = cv2.contourArea(outline) * scale**2 >= _LEAST_PALE
        if large and not at_edge and float(steps[y, x].mean()) >= _PALE_SUPPORT:
            cv2.drawContours(nothing, [outline], 0, 1, thickness=-1)
    return nothing


def bounds(levels: Picture, scale: float) -> tuple[Picture, Picture]:
    """Return the lowest and highest level near each pixel, as far as a step of ink reaches."""
    side = 2 * max(1, round(0.5 * _STEP_WINDOW / scale)) + 1
    window = np.ones((side, side), np.uint8)
    low, high = cv2.erode(levels, window), cv2.dilate(levels, window)
    return np.asarray(low, np.float32), np.asarray(high, np.float32)


def steps_of(light: Picture, scale: float) -> Picture:
    """Return by how much the level changes within the reach of a step of ink, noise smoothed away.

    Parameters
    ----------
    light : (h, w) array
        Logarithm of light.
    scale : float
        Metres a pixel.
    """
    low, high = bounds(np.asarray(cv2.GaussianBlur(light, (0, 0), _PALE_BLUR / scale), np.float32), scale)
    return high - low


def _dark(
    light: Picture, within: tuple[Picture, Picture], at: tuple[float, float], hidden: Mask | None
) -> tuple[Mask, Where]:
    """Return what may be ink, and where there are steps of ink.

    ``within`` is the lowest and highest level nearby; ``at`` is metres a pixel and the share of
    the strongest step.
    """
    low, high = within
    steps = _steps(high - low, *at)
    if not steps.any():
        return np.zeros(light.shape, np.uint8), steps
    dark = _darker_than_half_way(light, low, high, steps)
    dark = without_leaks(dark, light, high - low, steps, at[0])
    return (dark if hidden is None else np.asarray(dark * (hidden == 0), np.uint8)), steps


def _darker_than_half_way(light: Picture, low: Picture, high: Picture, steps: Where) -> Mask:
    """Return 1 where it is darker than half way up the steps nearby."""
    at = np.flatnonzero(steps)
    floor, ceiling = np.exp(low.take(at)), np.exp(high.take(at))
    middle, weight = np.zeros_like(light), np.zeros_like(light)
    middle.put(at, np.log(0.5 * (floor + ceiling)))
    weight.put(at, (ceiling - floor) ** 2)  # from bare paper down says more than from thin to thick ink
    return np.asarray(light < spread_over((middle,), weight)[0], np.uint8)


def _steps(size: Picture, scale: float, share: float) -> Where:
    """Return where the level changes as much as an edge of ink would."""
    usual = float(np.median(size[::3, ::3]))
    some = np.ascontiguousarray(size[::2, ::2]).ravel()
    number = min(max(3, round(0.25 * _STRONGEST_AREA / scale**2)), some.size)
    strongest = float(np.partition(some, -number)[-number])
    needed = max(_WEAKEST_STEP, _OVER_NOISE * usual, share * strongest)
    return np.asarray(size > needed)


def _bounded(dark: Mask, steps: Where, hidden: Mask | None, *, framed: bool) -> tuple[Mask, Mask]:
    """Keep the dark pieces whose edge is mostly a step; return large ones that are not beside them.

    Where the picture ends there is no edge that could be a step.
    """
    count, labels, stats, _ = cv2.connectedComponentsWithStats(dark, connectivity=8)
    kept = np.zeros(count, bool)
    # ink that is thin in places has edges of its own inside: then its outer edge tells
    for whole in (dark, without_holes(dark)):
        inside = cv2.erode(whole, np.ones((3, 3), np.uint8), borderValue=0)
        edge = (whole > 0) & (inside == 0)
        if hidden is not None:
            edge &= cv2.dilate(hidden, np.ones((3, 3), np.uint8)) == 0
        of_edge = np.bincount(labels[edge], minlength=count)
        of_steps = np.bincount(labels[edge & steps], minlength=count)
        kept |= (of_steps >= _SUPPORT * of_edge) & (of_edge > 0)
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
