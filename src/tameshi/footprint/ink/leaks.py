"""Take shadowed paper out of the dark: where no edge of ink parts it from the paper outside.

Beside the edge of a hard shadow paper is darker than half way from lit paper to ink, and would join
patches or run to the picture's edge. But it goes over into the paper of the shadow without a step,
and ink does not.
"""

import cv2
import numpy as np

from tameshi.footprint.picture.arrays import FloatArray, Mask, Picture, Where

_LEAST_SLOPE, _OVER_USUAL = 0.04, 1.5  # of the logarithm of light within three pixels: an edge
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
    whole = _without_holes(dark)
    inside = cv2.erode(whole, window, borderType=cv2.BORDER_REPLICATE)
    border = (whole > 0) & (inside == 0)
    open_border = border & ~steps
    if np.count_nonzero(open_border) * scale < _SHORTEST:
        return dark
    ink = float(np.median(size[border & steps])) if np.any(border & steps) else 0.0
    slope = np.asarray(cv2.dilate(light, window) - cv2.erode(light, window), np.float32)
    steep = max(_LEAST_SLOPE, _OVER_USUAL * float(np.median(slope[::3, ::3])))
    flat = (whole > 0) & (slope < steep)
    _, labels = cv2.connectedComponents(flat.astype(np.uint8), connectivity=4)
    level = _levels(np.asarray(labels), light, open_border & flat, scale)
    own = level[labels]
    leak = flat & np.isfinite(own) & (light > own - _SAME * ink)
    return _with_surroundings(dark, light, np.where(leak, own, np.nan), ink, scale)


def _without_holes(dark: Mask) -> Mask:
    """Fill what is enclosed: a patch of ink that is merely thinner inside has no border there."""
    outlines, _ = cv2.findContours(dark, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    return np.asarray(cv2.drawContours(np.zeros_like(dark), outlines, -1, 1, thickness=-1), np.uint8)


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


def _with_surroundings(dark: Mask, light: Picture, paper: Picture, ink: float, scale: float) -> Mask:
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
    body = cv2.morphologyEx(_without_holes(dark), cv2.MORPH_OPEN, disc)
    thin = np.asarray(dark * (body == 0), np.uint8)
    reach = 2 * round(2.0 * _STRIP / scale) + 1
    beside = cv2.dilate(leak.astype(np.uint8), np.ones((reach, reach), np.uint8))
    count, labels, stats, _ = cv2.connectedComponentsWithStats(thin, connectivity=8)
    near = np.bincount(labels[beside > 0], minlength=count) > 0
    long = np.maximum(stats[:, cv2.CC_STAT_WIDTH], stats[:, cv2.CC_STAT_HEIGHT]) * scale > _LONG
    strips = near & long
    strips[0] = False
    return np.asarray(dark * ~strips[labels], np.uint8)
