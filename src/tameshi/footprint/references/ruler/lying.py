"""Whether a ruler lies on paper where nothing but ink is looked for: it would pass for ink."""

import cv2
import numpy as np

from tameshi.errors import UnmeasurableError
from tameshi.footprint.geometry.box import Box
from tameshi.footprint.geometry.plane import Plane, rectify, to_metres
from tameshi.footprint.picture.view import View
from tameshi.footprint.references.ruler.ticks import find_rows

_SCALE = 0.001  # metres a pixel of the copy in which straight edges are looked for
_LONG, _GAP = 50.0, 4.0  # pixels of that copy: a straight edge, and what may be missing of it
_CROSSED = 25  # pixels of a line that are edges
_PALE, _SHARP = 15.0, 40.0  # stored values: differences that may, and that do, belong to an edge


def require_no_ruler(view: View, plane: Plane, region: Box) -> None:
    """Refuse paper on which a ruler lies.

    Parameters
    ----------
    view : View
    plane : Plane
        From metres on the paper to pixels.
    region : Box
        Where ink is looked for, in metres.

    Raises
    ------
    UnmeasurableError
        ``ruler-on-sheet``.
    """
    # rows of ticks take long to find: where nothing straight and long lies, no ruler does
    if not _has_long_edges(view, plane, region):
        return
    for row in view.once(find_rows):
        x, y = to_metres(plane, row.start[None])[0]
        inside = region.left < x < region.right and region.top < y < region.bottom
        if inside and (row.is_metric or row.is_inch):
            raise UnmeasurableError(
                "ruler-on-sheet",
                "A ruler lies on the sheet: by the sheet alone it would be taken for ink.",
                hint="Name the ruler (ruler:flat, ruler:bevelled), or lay it beside the sheet.",
            )


def _has_long_edges(view: View, plane: Plane, region: Box) -> bool:
    copy = rectify(view, plane, region, _SCALE, grey=True)
    edges = cv2.Canny(copy, _PALE, _SHARP)
    lines = cv2.HoughLinesP(edges, 1.0, np.pi / 180.0, _CROSSED, minLineLength=_LONG, maxLineGap=_GAP)
    return lines is not None and len(lines) > 0
