"""Is a sheet really plain? Our target sheet is none: its markers, unread, would pass for ink."""

import numpy as np

from tameshi.errors import UnmeasurableError
from tameshi.footprint.geometry.box import Box
from tameshi.footprint.geometry.plane import Plane, rectify
from tameshi.footprint.picture.arrays import Pixels
from tameshi.footprint.picture.view import View
from tameshi.footprint.references.layout import sheet_layout
from tameshi.footprint.references.sheet.paper import Laid

_SCALE = 0.001  # metres a pixel
_RIM = 0.004  # metres of white around a marker
_DARK = 0.78  # of the rim around it: so dark at most is a marker, however blurred


def require_plain(view: View, plane: Plane, laid: Laid) -> None:
    """Refuse a sheet with four dark squares where the target sheet has its markers.

    Raises
    ------
    UnmeasurableError
        ``no-reference``.
    """
    sheet = sheet_layout(laid.paper)
    flat = rectify(view, plane, laid.box, _SCALE)
    lying = laid.width > laid.height
    boxes = [_turned(box, sheet.width) if lying else box for box in sheet.markers]
    if all(_is_dark(flat, box) for box in boxes) or all(
        _is_dark(flat, _turned_over(box, laid)) for box in boxes
    ):
        raise UnmeasurableError(
            "no-reference",
            "The sheet has four dark squares near its corners, like the target sheet: it is no plain sheet.",
            hint="Name the target sheet (--reference target). Where its markers cannot be read, photograph "
            "it again, sharp, evenly lit and from nearer, all four squares in view.",
        )


def _turned(box: Box, width: float) -> Box:
    """Return a box on the sheet turned by a quarter."""
    return Box(box.top, width - box.right, box.bottom, width - box.left)


def _turned_over(box: Box, laid: Laid) -> Box:
    return Box(laid.width - box.right, laid.height - box.bottom, laid.width - box.left, laid.height - box.top)


def _is_dark(flat: Pixels, box: Box) -> bool:
    inner, outer = _part(flat, box.grown(-_RIM)), _part(flat, box.grown(_RIM))
    around = outer.astype(np.float64).sum() - _part(flat, box).astype(np.float64).sum()
    count = outer.size - _part(flat, box).size
    return bool(inner.size and count and inner.mean() < _DARK * around / count)


def _part(flat: Pixels, box: Box) -> Pixels:
    rows = slice(max(0, round(box.top / _SCALE)), max(0, round(box.bottom / _SCALE)))
    columns = slice(max(0, round(box.left / _SCALE)), max(0, round(box.right / _SCALE)))
    return flat[rows, columns]
