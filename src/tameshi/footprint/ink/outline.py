"""From dark pixels to the outline of contact: gaps closed, hollows told from thin ink.

Gaps between skin ridges, up to a set width, count as contact. What stays open inside a patch after
that is a hollow if paper shows in it, and thin ink if it is merely paler. Distances from the outline
come with it, since areas are counted more finely near it.
"""

from dataclasses import dataclass

import cv2
import numpy as np

from tameshi.footprint.ink.closeup import CloseUp
from tameshi.footprint.ink.surface import averages_over, enlarged
from tameshi.footprint.picture.arrays import Mask, Picture, Where
from tameshi.footprint.picture.channels import median_where
from tameshi.footprint.picture.connected import connected

INK_SMOOTHING = 0.0007  # metres over which the ink's level is averaged
_COARSE_SCALE = 0.00028  # metres a pixel of the coarser picture in which the ink's level is worked out
_THIN_INK = 0.35  # a hole at least so dark beside the ink around it is thin ink
_SPOT = 15e-6  # square metres: light is thrown back in smaller spots
_SHINING, _BRIGHTER = 0.2, -0.12  # quantile of a hole; its darkness, where light is thrown back


@dataclass(frozen=True, slots=True)
class Outline:
    """Where contact was.

    Parameters
    ----------
    contact : (h, w) array of uint8
        1 in contact: filled outlines, hollows left out.
    depth : (h, w) array
        Distance inside the nearest edge of contact, in pixels; negative outside.
    hollows : (h, w) array of uint8
        1 in hollows.
    thin : (h, w) array of uint8
        1 where thin ink was taken as contact.
    """

    contact: Mask
    depth: Picture
    hollows: Mask
    thin: Mask


def draw_outline(seen: CloseUp, gap: float) -> Outline:
    """Return the outline of contact.

    Parameters
    ----------
    seen : CloseUp
    gap : float
        Gaps up to this wide are contact, in metres.
    """
    radius = 0.5 * gap / seen.scale
    closed = closing(seen.dark, radius)
    closed, hollows, thin = _holes(closed, seen.linear, gap / seen.scale, _SPOT / seen.scale**2)
    return Outline(closed, depth_inside(closed), hollows, thin)


def closing(mask: Mask, radius: float) -> Mask:
    """Return the mask with every place filled that a disc of so many pixels cannot reach from outside."""
    side = 2 * max(1, round(radius)) + 1
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (side, side))
    padded = cv2.copyMakeBorder(mask, side, side, side, side, cv2.BORDER_CONSTANT, value=0)
    closed = cv2.morphologyEx(padded, cv2.MORPH_CLOSE, disc)
    return np.asarray(closed[side:-side, side:-side], np.uint8)


def depth_inside(mask: Mask) -> Picture:
    """Return the distance inside the edge of a mask, in pixels; negative outside."""
    depth = np.asarray(cv2.distanceTransform(mask, cv2.DIST_L2, 5), np.float32)
    depth -= np.asarray(cv2.distanceTransform(1 - mask, cv2.DIST_L2, 5), np.float32)
    depth += np.float32(0.5) - mask
    return depth


def ink_levels(pictures: tuple[Picture, ...], where: Where, scale: float) -> tuple[Picture, ...]:
    """Return the level of ink everywhere, averaged over where it is surely ink.

    Parameters
    ----------
    pictures : tuple of (h, w) arrays
    where : (h, w) array of bool
        Pixels that are surely ink.
    scale : float
        Metres a pixel.
    """
    coarser = max(1, round(_COARSE_SCALE / scale))
    averages = averages_over(pictures, where, coarser, INK_SMOOTHING / scale)
    return tuple(enlarged(level, coarser, like) for level, like in zip(averages, pictures, strict=True))


def _holes(closed: Mask, linear: Picture, gap: float, spot: float) -> tuple[Mask, Mask, Mask]:
    """Return contact with small and thinly inked holes filled, the hollows, and the thin ink."""
    hollows, thin = np.zeros_like(closed), np.zeros_like(closed)
    outlines, _ = cv2.findContours(closed, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    within = cv2.drawContours(np.zeros_like(closed), outlines, -1, 1, thickness=-1)
    enclosed = np.asarray(within, np.uint8) - closed
    if not enclosed.any():
        return closed, hollows, thin
    holes = connected(enclosed, connectivity=4)
    filled = closed.copy()
    ink = 1.0 - median_where(linear, closed > 0)
    for n in range(1, holes.count):
        left, top, columns, rows = (int(value) for value in holes.boxes[n])
        window = (slice(top, top + rows), slice(left, left + columns))
        own = holes.labels[window] == n
        shade = 1.0 - linear[window][own]
        pixels = int(holes.areas[n])
        if pixels < gap * gap or (pixels < spot and float(np.quantile(shade, _SHINING)) < _BRIGHTER):
            filled[window][own] = (
                1  # nothing, or light thrown back by wet ink: paper is no brighter than paper
            )
        elif float(np.median(shade)) >= _THIN_INK * ink:
            filled[window][own] = 1
            thin[window][own] = 1
        else:
            hollows[window][own] = 1
    return filled, hollows, thin
