"""A print cut off by whatever edge there is: refused with every kind of reference, and the side is named."""

from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from tameshi.demo.photo import Camera, camera_matrix
from tameshi.demo.prints import Blob, ContactPrint
from tameshi.errors import UnmeasurableError
from tameshi.footprint import Picked, PickedPoint, measure_footprint, sheet_layout
from tests.footprint.rulers import measured_with
from tests.footprint.scenes import disc, plain_photo, rendered, scan_of, simple_photo
from tests.footprint.squares import squares, struck

Picture = NDArray[np.uint8]
SIDES = ("left", "top", "right", "bottom")
A4 = (0.210, 0.297)


def refused(picture: Picture, **asked: Any) -> str:
    with pytest.raises(UnmeasurableError) as caught:
        measure_footprint(picture, **asked)
    assert caught.value.code == "print-cut-off"
    return caught.value.message


def at_side(side: str, box: tuple[float, float, float, float], inside: float) -> tuple[float, float]:
    """Return a place so far inside the middle of one side of a box (left, top, right, bottom)."""
    left, top, right, bottom = box
    middle = ((left + right) / 2.0, (top + bottom) / 2.0)
    return {
        "left": (left + inside, middle[1]),
        "top": (middle[0], top + inside),
        "right": (right - inside, middle[1]),
        "bottom": (middle[0], bottom - inside),
    }[side]


@pytest.mark.parametrize("side", SIDES)
def test_by_the_frame_of_the_target_sheets_zone(side):
    zone = sheet_layout("a4").zone
    x, y = at_side(side, (zone.left, zone.top, zone.right, zone.bottom), 0.008)
    assert f"the frame of the zone at its {side}" in refused(simple_photo((x, y, 0.015)))


@pytest.mark.parametrize("side", SIDES)
def test_by_the_edge_of_a_plain_sheet(side):
    x, y = at_side(side, (0.0, 0.0, *A4), 0.010)
    assert f"at its {side}" in refused(plain_photo(disc(0.016, x, y)), reference="sheet:a4")


@pytest.mark.parametrize("side", SIDES)
def test_by_the_edge_of_a_scan(side):
    x, y = at_side(side, (0.0, 0.0, 0.12, 0.12), 0.008)
    assert f"the edge of the picture at its {side}" in refused(scan_of((x, y, 0.015)), reference="scan:200")


@pytest.mark.parametrize("side", ["left", "right", "top", "bottom"])
def test_by_the_edge_of_squared_paper(side):
    x, y = at_side(side, (0.0, 0.0, 0.12, 0.15), 0.008)
    assert f"at its {side}" in refused(squares(struck(0.012, x, y)), reference="grid:5 mm")


def test_by_the_edge_of_a_photo_of_squared_paper():
    photo = squares(struck(y=0.105))
    assert "at its bottom" in refused(photo[: round(0.69 * photo.shape[0])].copy(), reference="grid:5 mm")


def test_by_the_edge_of_a_photo_with_a_ruler():
    photo = measured_with(ContactPrint("disc", (Blob(0.07, 0.095, 0.016),)))
    assert "at its bottom" in refused(photo[: round(0.66 * photo.shape[0])].copy(), reference="ruler")


@pytest.mark.parametrize("side", SIDES)
def test_by_the_lines_between_picked_points(side):
    camera = Camera(width=1500, height=2000, fill=0.85)
    box = (0.05, 0.08, 0.13, 0.2)
    corners = [(box[0], box[1]), (box[2], box[1]), (box[2], box[3]), (box[0], box[3])]
    matrix = camera_matrix("a4", camera)
    points = []
    for x, y in corners:
        u, v, w = matrix @ (x, y, 1.0)
        points.append(PickedPoint((float(u / w), float(v / w)), (x, y)))
    x, y = at_side(side, box, 0.008)
    message = refused(rendered(disc(0.014, x, y), camera=camera), reference=Picked(points=tuple(points)))
    assert "at its" in message


def test_one_of_two_prints_cut_off_is_refused_as_well():
    assert "x = 9 mm" in refused(scan_of((0.005, 0.06, 0.012), (0.09, 0.06, 0.012)), reference="scan:200")
