"""A plain sheet as the reference: found by its edges, told by its shape, refused where it cannot be."""

from functools import cache
from typing import Any

import cv2
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tameshi.demo.photo import Camera, Surface, camera_matrix
from tameshi.demo.plain import Lying
from tameshi.errors import UnmeasurableError, WrongUseError
from tameshi.footprint import Footprint, measure_footprint, sheet_layout
from tameshi.footprint.picture.arrays import FloatArray
from tameshi.footprint.references.sheet.paper import which_paper
from tests.footprint.scenes import (
    TABLE,
    Pixels,
    disc,
    drawn_sheet,
    plain_photo,
    scan_of,
    simple_photo,
    snapped,
)

DISC = np.pi * 0.02**2


@cache
def flat() -> Pixels:
    return plain_photo()


def codes(found: Footprint) -> list[str]:
    return [flag.code for flag in found.flags]


def holds(found: Footprint, truth: float = DISC) -> bool:
    return found.contact_area.low < truth < found.contact_area.high


def refusal(picture: Pixels, **asked: Any) -> UnmeasurableError:
    with pytest.raises(UnmeasurableError) as caught:
        measure_footprint(picture, **asked)
    assert caught.value.message.endswith(".")
    assert caught.value.hint.endswith(".")
    return caught.value


def test_auto_finds_a_plain_sheet_and_says_so():
    found = measure_footprint(flat())
    assert found.reference.kind == "sheet"
    assert found.reference.said == "Plain sheet (a4, by its proportions), upright, 15 degrees from square."
    assert found.reference.tilt_deg == pytest.approx(15.0, abs=1.5)
    assert found.contact_area.value == pytest.approx(DISC, rel=0.015)
    assert holds(found)
    assert found.contact_area.budget["paper size"] > found.contact_area.budget["reference points"]


@pytest.mark.parametrize("name", ["sheet", "sheet:a4", "page:a4"])
def test_a_sheet_by_name_is_the_same(name):
    found = measure_footprint(flat(), reference=name)
    assert found.reference.kind == "sheet"
    assert found.contact_area.value == measure_footprint(flat()).contact_area.value


def test_letter_is_told_by_its_shape():
    square_on = Camera(width=900, height=1200, tilt=4.0, fill=0.72)
    found = measure_footprint(plain_photo(lying=Lying(paper="letter", texture="wood"), camera=square_on))
    assert "(letter, by its proportions)" in found.reference.said
    assert holds(found)


def test_a_sheet_may_lie_either_way():
    camera = Camera(width=1200, height=900, tilt=10.0, roll=90.0, fill=0.75)
    found = measure_footprint(plain_photo(camera=camera))
    assert "lying" in found.reference.said
    assert holds(found)


def test_paper_and_argument_say_the_same_thing():
    stated = measure_footprint(flat(), paper="A4")
    assert "(a4, as stated)" in stated.reference.said
    with pytest.raises(WrongUseError, match="Name its paper once"):
        measure_footprint(flat(), reference="sheet:a4", paper="letter")
    with pytest.raises(WrongUseError, match="There are: a4, letter"):
        measure_footprint(flat(), reference="sheet:vellum")


def test_the_wrong_paper_is_noticed():
    error = refusal(flat(), reference="sheet", paper="letter")
    assert error.code == "wrong-paper"
    assert error.message == "The sheet was said to be letter, but it has the proportions of a4."


def test_the_target_sheet_is_a_sheet_too_but_its_markers_go_first():
    assert measure_footprint(simple_photo()).reference.kind == "target"


def test_a_target_sheet_with_a_covered_marker_is_refused_and_not_taken_for_a_plain_one():
    photo = simple_photo()
    photo[:250, :300] = TABLE
    error = refusal(photo)
    assert error.code == "no-reference"
    assert "3 of the target sheet's 4 markers" in error.message


def test_a_folded_corner_and_a_finger_do_not_move_the_result():
    covered = plain_photo(lying=Lying(fold=0.02, finger=(0.3, 0.015), texture="checked", contrast=0.3))
    found = measure_footprint(covered)
    assert "edge-covered" in codes(found)
    assert len(found.patches) == 1
    assert found.contact_area.value == pytest.approx(measure_footprint(flat()).contact_area.value, rel=0.005)


def test_ink_over_the_edge_of_the_sheet_is_cut_off_and_no_finger():
    error = refusal(plain_photo(disc(x=0.005)))
    assert error.code == "print-cut-off"
    assert "the edge of the sheet at its left" in error.message


def test_a_lens_that_bends_lines_is_undone():
    straight = measure_footprint(flat()).contact_area.value
    found = measure_footprint(plain_photo(distortion=-0.04))
    assert "undone (-4" in found.reference.said
    assert "sheet-not-flat" not in codes(found)
    assert found.contact_area.value == pytest.approx(straight, rel=0.006)
    assert found.contact_area.budget["flatness and lens"] > 0.001 * DISC


def test_a_curled_sheet_is_said_and_widens_the_interval():
    found = measure_footprint(plain_photo(lying=Lying(curl=0.006)))
    assert "sheet-not-flat" in codes(found)
    assert holds(found)
    assert found.contact_area.u > 2.0 * measure_footprint(flat()).contact_area.u


def test_a_heavily_curled_sheet_is_refused():
    error = refusal(plain_photo(lying=Lying(curl=0.009)))
    assert error.code == "not-flat"
    assert "bow by up to" in error.message
    assert refusal(plain_photo(lying=Lying(curl=0.03)), reference="sheet").code == "not-flat"


def test_a_sheet_cut_off_by_the_picture_is_refused_with_the_side():
    cut = np.ascontiguousarray(flat()[:, 330:])
    error = refusal(cut)
    assert error.code == "no-reference"
    assert "cut off by the picture's edge at its left" in error.message


def test_white_paper_on_a_white_table_is_refused():
    white = plain_photo(surface=Surface(table=(0.95, 0.95, 0.93)), lying=Lying(edge_shadow=0.0))
    error = refusal(white, reference="sheet")
    assert error.code == "no-reference"
    assert "No plain sheet was found" in error.message
    assert "no plain sheet" in refusal(white).message


def test_two_sheets_are_ambiguous():
    one = cv2.resize(flat(), None, fx=0.6, fy=0.6, interpolation=cv2.INTER_AREA)
    error = refusal(np.asarray(np.hstack([one, one]), np.uint8))
    assert error.code == "reference-ambiguous"
    assert "2 sheets" in error.message


def test_a_square_card_is_neither_paper():
    card = np.full((600, 800, 3), (90, 70, 60), np.uint8)
    card[100:500, 200:600] = 230
    cv2.circle(card, (400, 300), 60, (30, 30, 40), -1)
    error = refusal(card)
    assert error.code == "no-reference"
    assert "neither the proportions of A4 nor of Letter" in error.message


def test_a_photo_that_claims_a_scanners_resolution_is_ambiguous():
    error = refusal(flat(), dpi=150.0)
    assert error.code == "reference-ambiguous"
    assert "a plain sheet" in error.message


def test_a_scan_of_a_whole_sheet_stays_a_scan():
    page = scan_of((0.1, 0.14, 0.02), dpi=100.0, size=(0.210, 0.297))
    lid = np.full((page.shape[0] + 80, page.shape[1] + 80, 3), 40, np.uint8)
    lid[40:-40, 40:-40] = page
    assert measure_footprint(lid, dpi=100.0).reference.kind == "scan"
    assert measure_footprint(lid, reference="sheet").contact_area.value == pytest.approx(DISC, rel=0.01)


def on_glass(width: float, height: float, dpi: float = 100.0) -> Pixels:
    """Return a scan of a sheet that lies askew before a dark lid, a print of 2 cm on it."""
    page = scan_of((0.5 * width, 0.5 * height, 0.02), dpi=dpi, size=(width, height))
    turned = cv2.getRotationMatrix2D((0.0, 0.0), 2.0, 1.0)
    turned[:, 2] = (40.0, 60.0)
    glass = (page.shape[1] + 120, page.shape[0] + 120)
    return np.asarray(cv2.warpAffine(page, turned, glass, borderValue=(40, 40, 40)), np.uint8)


@pytest.mark.parametrize("size", [(0.148, 0.210), (0.110, 0.190)], ids=["A5", "a strip of no standard size"])
def test_a_sheet_of_another_size_on_the_glass_leaves_the_scanner_its_word(size):
    found = measure_footprint(on_glass(*size), dpi=100.0)
    assert found.reference.kind == "scan"
    assert found.contact_area.value == pytest.approx(DISC, rel=0.01)


def test_a_sheet_of_a4s_shape_and_not_its_size_could_be_a_photo_from_above():
    error = refusal(on_glass(0.190, 0.2687), dpi=100.0)
    assert error.code == "reference-ambiguous"


def test_prints_on_sheets_of_one_paper_share_its_cut():
    one, other = (measure_footprint(flat(), key=key).contact_area for key in ("one", "other"))
    assert "paper size" in one.budget
    assert (one / other).budget.get("paper size", 0.0) < 1e-9


def seen_corners(paper: str, camera: Camera) -> FloatArray:
    sheet = sheet_layout(paper)
    box = np.array([(0, 0, 1), (sheet.width, 0, 1), (sheet.width, sheet.height, 1), (0, sheet.height, 1)])
    lifted = box @ camera_matrix(paper, camera).T
    return np.asarray(lifted[:, :2] / lifted[:, 2:])


@settings(max_examples=40)
@given(st.floats(0.0, 35.0), st.floats(0.0, 360.0), st.floats(-20.0, 20.0), st.sampled_from(["a4", "letter"]))
def test_with_the_cameras_focal_length_the_paper_is_told_from_any_side(tilt, azimuth, roll, paper):
    camera = Camera(width=1500, height=2000, tilt=tilt, azimuth=azimuth, roll=roll, fill=0.6)
    focal = camera.focal * 2000.0 / np.hypot(1500.0, 2000.0)
    laid, _ = which_paper(seen_corners(paper, camera), 0.05 * np.eye(8), None, (1500, 2000), focal)
    assert (laid.paper, laid.height > laid.width) == (paper, True)


@settings(max_examples=40)
@given(st.floats(0.0, 35.0), st.floats(0.0, 360.0), st.floats(0.65, 1.1), st.sampled_from(["a4", "letter"]))
def test_without_it_the_wrong_paper_is_never_named(tilt, azimuth, focal, paper):
    camera = Camera(width=1500, height=2000, tilt=tilt, azimuth=azimuth, fill=0.6, focal=focal)
    named = {paper, "ambiguous"}
    try:
        found = which_paper(seen_corners(paper, camera), 0.05 * np.eye(8), None, (1500, 2000))[0].paper
    except UnmeasurableError as error:
        found = error.code.removeprefix("reference-")
    assert found in named


def test_a_slanted_view_may_leave_the_paper_open():
    camera = Camera(width=1500, height=2000, tilt=15.0, fill=0.6)
    with pytest.raises(UnmeasurableError, match="whether it is A4 or Letter"):
        which_paper(seen_corners("letter", camera), 0.05 * np.eye(8), None, (1500, 2000))
    laid, _ = which_paper(seen_corners("letter", camera), 0.05 * np.eye(8), "letter", (1500, 2000))
    assert laid.paper == "letter"


def test_plain_tables_hold_no_sheet():
    assert refusal(snapped(drawn_sheet())[:200]).code == "no-reference"
