"""Take shadowed paper out of the dark: where no edge of ink parts it from the paper outside.

Beside the edge of a hard shadow paper is darker than half way from lit paper to ink, and would join
patches or run to the picture's edge. But it goes over into the paper of the shadow without a step,
and ink does not.
"""

import cv2
import numpy as np

from tameshi.footprint.picture.arrays import FloatArray, Mask, Picture, Where

_OPEN = 0.25  # of the step of ink: where light changes less, there is no edge of ink, faint or noisy
_TOGETHER = 0.001  # metres
_LARGER = 0.75  # quantile: a shadow's edge is a part of the border too
_FAINT = 0.5  # of the logarithm of light: fainter ink fades into paper of itself
_STEEP, _STEEP_OF_INK = 0.04, 0.15  # within three pixels an edge: of the logarithm of light, of ink's step
_OVER_USUAL = 1.5
_SAME = 0.35  # of the step of ink: within that of where it goes over, it is the same paper
_HALF = 0.5  # of the step of ink: beside such paper what is not darker is paper as well
_BESIDE = 0.0012  # metres
_STRIP, _LONG = 0.0024, 0.004  # metres: a strip is narrower than the one and longer than the other
_SMALLEST = 6e-6  # square metres
_SHORTEST = 0.0024  # metres of border without a step


def without_leaks(dark: Mask, light: Picture, size: Picture, steps: Where, scale: float) -> Mask:
    """Return the dark without those parts that go over into lighter paper without a step.

    Parameters
    ----------
    dark : (h, w) array of uint8
    light : (h, w) array
        Logarithm of light.
    size : (h, w) array
        How much that changes within the reach of a step of ink.
    steps : (h, w) array of bool
        Where it changes as much as at an edge of ink.
    scale : float
        Metres a pixel.
    """
    window = np.ones((3, 3), np.uint8)
    whole = without_holes(dark)
    inside = cv2.erode(whole, window, borderType=cv2.BORDER_REPLICATE)
    border = (whole > 0) & (inside == 0)
    ink = _own_ink(whole, size, (border & steps, border & ~steps), scale)
    open_border = border & (size < _OPEN * ink)
    if not open_border.any():
        return dark
    slope = np.asarray(cv2.dilate(light, window) - cv2.erode(light, window), np.float32)
    usual = _OVER_USUAL * float(np.median(slope[::3, ::3]))
    steep = np.maximum(np.minimum(_STEEP, _STEEP_OF_INK * ink), usual)
    flat = (whole > 0) & (slope < steep)
    _, labels = cv2.connectedComponents(flat.astype(np.uint8), connectivity=4)
    level = _levels(np.asarray(labels), light, open_border & flat, scale)
    own = level[labels]
    leak = flat & np.isfinite(own) & (light > own - _SAME * ink)
    return _with_surroundings(dark, light, np.where(leak, own, np.nan), ink, scale)


def without_holes(dark: Mask) -> Mask:
    """Fill what is enclosed: a patch of ink that is merely thinner inside has no border there.

    Parameters
    ----------
    dark : (h, w) array of uint8
    """
    outlines, _ = cv2.findContours(dark, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    return np.asarray(cv2.drawContours(np.zeros_like(dark), outlines, -1, 1, thickness=-1), np.uint8)


def _own_ink(whole: Mask, size: Picture, border: tuple[Where, Where], scale: float) -> Picture:
    """Return the step of each dark piece's own ink; nought where hardly any of its border lacks a step.

    Pieces differ: a faint print may lie beside dark writing.
    """
    reach = 2 * round(_TOGETHER / scale) + 1
    around = cv2.dilate(whole, np.ones((reach, reach), np.uint8))  # shadow and ink nearly touch
    _, found = cv2.connectedComponents(around, connectivity=8)
    labels = np.asarray(found, np.int32)
    stepped, without = border
    lacking = np.bincount(labels[without], minlength=int(labels.max()) + 1) * scale >= _SHORTEST
    step = np.zeros(len(lacking), np.float32)
    at, sizes = labels[stepped], size[stepped]
    for n in np.flatnonzero(lacking):
        own = sizes[at == n]
        step[n] = float(np.quantile(own, _LARGER)) if len(own) * scale >= _SHORTEST else 0.0
    step[step < _FAINT] = 0.0
    step[0] = 0.0
    return np.asarray(step[labels])


def _levels(labels: FloatArray, light: Picture, open_border: Where, scale: float) -> Picture:
    """Return for each flat part the level at which it goes over into paper, not a number elsewhere."""
    count = int(labels.max()) + 1
    at = labels[open_border]
    length = np.bincount(at, minlength=count)
    sums = np.bincount(at, light[open_border], minlength=count)
    whole = np.bincount(labels.ravel(), minlength=count)
    leaking = (length * scale >= _SHORTEST) & (whole * scale**2 >= _SMALLEST)
    leaking[0] = False
    return np.where(leaking, sums / np.maximum(length, 1), np.nan).astype(np.float32)


def _with_surroundings(dark: Mask, light: Picture, paper: Picture, ink: Picture, scale: float) -> Mask:
    """Take the leaks away, and beside them what is not half as dark as ink on their paper would be."""
    leak = np.isfinite(paper)
    if not leak.any():
        return dark
    reach = 2 * max(1, round(_BESIDE / scale)) + 1
    known = np.where(leak, paper, np.float32(-100.0)).astype(np.float32)
    near = np.asarray(cv2.dilate(known, np.ones((reach, reach), np.uint8)), np.float32)
    pale = light > near - _HALF * ink
    left = np.asarray(dark * ~(leak | ((near > -99.0) & pale)), np.uint8)  # noqa: PLR2004  no leak near
    return _without_strips(left, leak, scale)


def _without_strips(dark: Mask, leak: Where, scale: float) -> Mask:
    """Take away long thin strips beside leaks: the darker half of a shadow's edge."""
    side = 2 * round(0.5 * _STRIP / scale) + 1
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (side, side))
    body = cv2.morphologyEx(without_holes(dark), cv2.MORPH_OPEN, disc)
    thin = np.asarray(dark * (body == 0), np.uint8)
    reach = 2 * round(2.0 * _STRIP / scale) + 1
    beside = cv2.dilate(leak.astype(np.uint8), np.ones((reach, reach), np.uint8))
    count, labels, stats, _ = cv2.connectedComponentsWithStats(thin, connectivity=8)
    near = np.bincount(labels[beside > 0], minlength=count) > 0
    long = np.maximum(stats[:, cv2.CC_STAT_WIDTH], stats[:, cv2.CC_STAT_HEIGHT]) * scale > _LONG
    strips = near & long
    strips[0] = False
    return np.asarray(dark * ~strips[labels], np.uint8)
