"""Part strokes of a pen and rings of a cup from the print that they touch.

Skin leaves no patch as thin as a stroke. A piece that is mostly thin but has a body is cut into both; of a
patch, long thin tails are cut off. What is cut off stays in the list of pieces, as a line.
"""

import cv2
import numpy as np

from tameshi.footprint.picture.arrays import Labels, Mask, Where

_BODY = 0.004  # metres: wider is no stroke
_WIDER = 3.0  # times the strokes
_STROKE = 0.0019  # metres: skin leaves no thinner patch
_LONG, _LEAST = 0.005, 2e-6  # metres and square metres: smaller tails may be skin
_PORE = 1e-6  # square metres: smaller holes are of the skin, or a reflection's
_BESIDE = 1  # pixels: blur rounds the corner between a body and a stroke


def cut_bodies(
    labels: Labels, label: int, inked: Mask, about: tuple[float, float], *, stroke: float
) -> list[int]:
    """Give the wide bodies in a thin piece labels of their own, and return those.

    Parameters
    ----------
    labels : (h, w) array of int32
        Changed in place.
    label : int
        Of the piece.
    inked : (h, w) array of uint8
        1 where there is ink, gaps between strokes left open.
    about : (float, float)
        Metres a pixel; the least area of a body, in square metres.
    stroke : float
        Usual width of the piece, in metres: where strokes cross it is wider, but not so much as a body.
    """
    scale, least = about
    width = max(_BODY, _WIDER * stroke)
    window = _window(labels == label)
    own = np.asarray(labels[window] == label, np.uint8)
    solid = without_small_holes(own * inked[window], _PORE / scale**2)
    count, bodies, stats, _ = cv2.connectedComponentsWithStats(_opened(solid, width, scale), connectivity=8)
    return [
        _labelled(labels, window, _grown(bodies == n, own))
        for n in range(1, count)
        if stats[n, cv2.CC_STAT_AREA] * scale**2 >= least
    ]


def cut_tails(labels: Labels, label: int, scale: float) -> list[int]:
    """Give long thin tails of a patch labels of their own, and return those.

    Parameters
    ----------
    labels : (h, w) array of int32
        Changed in place.
    label : int
        Of the patch.
    scale : float
        Metres a pixel.
    """
    window = _window(labels == label)
    own = np.asarray(labels[window] == label, np.uint8)
    body = _opened(own, _STROKE, scale)
    if not body.any():
        return []
    rest = np.asarray(own * ~(_grown(body > 0, own)), np.uint8)
    count, tails, stats, _ = cv2.connectedComponentsWithStats(rest, connectivity=8)
    new = []
    for n in range(1, count):
        length = max(stats[n, cv2.CC_STAT_WIDTH], stats[n, cv2.CC_STAT_HEIGHT]) * scale
        if length >= _LONG and stats[n, cv2.CC_STAT_AREA] * scale**2 >= _LEAST:
            new.append(_labelled(labels, window, tails == n))
    return new


def without_small_holes(mask: Mask, most: float) -> Mask:
    """Return a mask with its holes of up to so many pixels filled.

    Parameters
    ----------
    mask : (h, w) array of uint8
    most : float
    """
    count, holes, stats, _ = cv2.connectedComponentsWithStats(1 - mask, connectivity=4)
    small = stats[:, cv2.CC_STAT_AREA] <= most
    small[0] = False
    return np.asarray(np.maximum(mask, small[:count].astype(np.uint8)[holes]), np.uint8)


def _window(own: Where) -> tuple[slice, slice]:
    rows, columns = np.flatnonzero(own.any(axis=1)), np.flatnonzero(own.any(axis=0))
    return slice(int(rows[0]), int(rows[-1]) + 1), slice(int(columns[0]), int(columns[-1]) + 1)


def _opened(own: Mask, width: float, scale: float) -> Mask:
    side = max(3, round(width / scale))
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (side, side))
    padded = cv2.copyMakeBorder(own, side, side, side, side, cv2.BORDER_CONSTANT, value=0)
    return np.asarray(cv2.morphologyEx(padded, cv2.MORPH_OPEN, disc)[side:-side, side:-side], np.uint8)


def _grown(body: Where, own: Mask) -> Where:
    """Return a body with what opening took off its rim."""
    side = 2 * _BESIDE + 1
    return np.asarray((cv2.dilate(body.astype(np.uint8), np.ones((side, side), np.uint8)) > 0) & (own > 0))


def _labelled(labels: Labels, window: tuple[slice, slice], where: Where) -> int:
    number = int(labels.max()) + 1
    labels[window][where] = number
    return number
