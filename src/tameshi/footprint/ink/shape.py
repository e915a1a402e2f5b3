"""What the shape of an outline gives away: ink that crept along fibres, a finger that wiped."""

import cv2
import numpy as np

from tameshi.errors import Flag
from tameshi.footprint.ink.closeup import CloseUp
from tameshi.footprint.ink.cover import Counted
from tameshi.footprint.ink.outline import Outline
from tameshi.footprint.picture.arrays import Mask, Picture, Where

_SMALL = 0.0002  # metres a pixel of the copy in which outlines are looked over
_SMOOTH = 0.0008  # metres: fibres are shorter, skin bends less sharply
_RAGGED = 0.00006  # metres off the smoothed outline, on average
_CREPT = 2.0  # ink crept at least as far as the outline is ragged, one way
_NARROW = 0.5  # of half a patch's width: what is narrower sticks out
_FEWEST = 2  # pixels
_TAIL, _PALER = 0.02, 0.85  # of a patch's area; of its darkness


def shape_remarks(seen: CloseUp, outline: Outline, counted: Counted) -> tuple[Flag, ...]:
    """Return the flags that the outline's shape calls for.

    Parameters
    ----------
    seen : CloseUp
    outline : Outline
    counted : Counted
        Contact, in pixels.
    """
    coarser = max(1, round(_SMALL / seen.scale))
    size = (max(1, outline.contact.shape[1] // coarser), max(1, outline.contact.shape[0] // coarser))
    contact, light = (
        np.asarray(cv2.resize(values, size, interpolation=cv2.INTER_AREA), np.float32)
        for values in (outline.contact.astype(np.float32), seen.linear)
    )
    found = (
        _ragged(contact, seen.scale * coarser, counted, seen.scale),
        _smeared(contact > 0.5, 1.0 - light),  # noqa: PLR2004  mostly contact
    )
    return tuple(flag for flag in found if flag is not None)


def _ragged(contact: Picture, side: float, counted: Counted, scale: float) -> Flag | None:
    """Compare the outline with itself smoothed: ink creeps along fibres, skin does not."""
    smooth = np.asarray(cv2.GaussianBlur(contact, (0, 0), _SMOOTH / side))
    inside, smoothed = contact > 0.5, smooth > 0.5  # noqa: PLR2004
    # where an edge is merely bent, smoothing moves it to one side only
    moved = 2.0 * min(np.count_nonzero(inside & ~smoothed), np.count_nonzero(smoothed & ~inside)) * side**2
    length = float(counted.length.sum()) * scale
    if moved <= _RAGGED * length:
        return None
    most = _CREPT * moved / (float(counted.linear.sum()) * scale**2)
    message = (
        f"The outline is ragged by {1e3 * moved / length:.2f} mm on average, as where ink crept into the "
        f"paper: if it did, the area is too large by {100.0 * most:.0f} % or more."
    )
    return Flag("ragged-edge", message)


def _smeared(contact: Where, dark: Picture) -> Flag | None:
    """Look for narrow, paler parts that stick out of a patch, as a finger leaves them that wipes."""
    count, labels, stats, _ = cv2.connectedComponentsWithStats(contact.astype(np.uint8), connectivity=8)
    found = 0
    for n in range(1, count):
        left, top, columns, rows = (int(value) for value in stats[n, :4])
        window = (slice(top, top + rows), slice(left, left + columns))
        own = np.asarray(labels[window] == n, np.uint8)
        found += _sticking_out(np.pad(own, 1), np.pad(dark[window], 1))
    if not found:
        return None
    message = (
        f"Parts that stick out of the print, paler than the rest, make up "
        f"{100.0 * found / np.count_nonzero(contact):.0f} % of its area: if a finger wiped there, that is no "
        "contact. A lasso leaves them out."
    )
    return Flag("smeared", message)


def _sticking_out(own: Mask, dark: Picture) -> int:
    """Return how many pixels of a patch lie in narrow, paler parts."""
    depth = np.asarray(cv2.distanceTransform(own, cv2.DIST_L2, 5))
    radius = _NARROW * float(depth.max())
    core = np.asarray(depth > radius, np.uint8)
    if radius < _FEWEST or not core.any():
        return 0
    body = np.asarray(cv2.distanceTransform(1 - core, cv2.DIST_L2, 5)) <= radius
    usual = float(np.median(dark[core > 0]))
    parts, names, stats, _ = cv2.connectedComponentsWithStats(
        np.asarray(own * ~body, np.uint8), connectivity=8
    )
    found = 0
    for m in range(1, parts):
        size = int(stats[m, cv2.CC_STAT_AREA])
        inner = dark[(names == m) & (depth > 1.0)]
        large = size >= _TAIL * np.count_nonzero(own) and inner.size > 0
        if large and float(np.median(inner)) < _PALER * usual:
            found += size
    return found
