"""A reflection over the print: as white as the picture can show, where paper is not."""

import cv2
import numpy as np

from tameshi.errors import Flag, UnmeasurableError
from tameshi.footprint.ink.closeup import CloseUp
from tameshi.footprint.ink.outline import Outline
from tameshi.footprint.picture.arrays import Mask
from tameshi.footprint.picture.channels import lowest

_WHITE = 250  # stored value
_MOST_PAPER = 0.8  # of the paper around: where more of it is white, that is light and no reflection
_PAPER_TELLS = 225  # stored value: brighter paper cannot be told from a reflection
_RING = (0.0008, 0.004)  # metres outside the edge: paper
_NEAR = 0.002  # metres: a reflection so near to the print lies over its edge
_SMALLEST = 0.0006  # metres: smaller white spots are noise
_TOO_MUCH, _WORTH_SAYING = 0.01, 0.001  # of the contact area


def glare_flags(seen: CloseUp, outline: Outline) -> tuple[Flag, ...]:
    """Return a flag where a small reflection lies over the print.

    Raises
    ------
    UnmeasurableError
        ``glare`` where it hides more.
    """
    darkest = lowest(seen.picture)
    if int(darkest.max()) < _WHITE:
        return ()
    depth = outline.depth * seen.scale
    ring = (depth < -_RING[0]) & (depth > -_RING[1])
    if not ring.any() or float(np.quantile(darkest[ring], _MOST_PAPER)) > _PAPER_TELLS:
        return ()
    side = 2 * max(1, round(0.5 * _SMALLEST / seen.scale)) + 1
    white = np.asarray(darkest >= _WHITE, np.uint8)
    white = np.asarray(cv2.morphologyEx(white, cv2.MORPH_OPEN, np.ones((side, side), np.uint8)), np.uint8)
    if not white.any():
        return ()
    over = float(np.count_nonzero(white & _hulls(outline.contact, _NEAR / seen.scale)))
    share = over / max(1.0, float(np.count_nonzero(outline.contact)))
    if share <= _WORTH_SAYING:
        return ()
    message = (
        f"A reflection hides {over * (seen.scale * 1000.0) ** 2:.0f} mm² of the print "
        f"({100.0 * share:.1f} % of its area): it is as white as the picture can show, and the paper is not."
    )
    if share > _TOO_MUCH:
        raise UnmeasurableError(
            "glare",
            message,
            hint="Move the lamp or the camera, switch the flash off, let wet ink dry; then photograph again.",
        )
    return (Flag("glare", message),)


def _hulls(contact: Mask, near: float) -> Mask:
    """Return the convex outlines of the patches, grown by so many pixels."""
    outlines, _ = cv2.findContours(contact, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_SIMPLE)
    filled = np.zeros_like(contact)
    for outline in outlines:
        cv2.fillConvexPoly(filled, cv2.convexHull(outline), 1)
    side = 2 * max(1, round(near)) + 1
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (side, side))
    return np.asarray(cv2.dilate(filled, disc), np.uint8)
