"""Squared paper gives the scale, and its lines are no ink."""

import cv2
import numpy as np
import pytest

from tameshi.demo.photo import Camera, Finish, Surface
from tameshi.demo.prints import Blob, ContactPrint
from tameshi.errors import UnmeasurableError, WrongUseError
from tameshi.footprint import measure_footprint
from tameshi.reference import table
from tests.footprint.scenes import scan_of, simple_photo
from tests.footprint.squares import MIDDLE, squares, struck

DISC = np.pi * 0.012**2


def refusal(picture, reference):
    with pytest.raises(UnmeasurableError) as caught:
        measure_footprint(picture, reference=reference)
    return caught.value


@pytest.mark.parametrize(
    ("named", "sheet"),
    [
        ("5 mm", {}),
        ("1/4 in", {"pitch": 0.00635, "colour": (0.6, 0.6, 0.6)}),
        ("2 mm", {"pitch": 0.002, "every": (5,), "colour": (0.9, 0.6, 0.35)}),
    ],
)
def test_the_area_is_right_whatever_the_pitch_and_colour(named, sheet):
    found = measure_footprint(squares(**sheet), reference=f"grid:{named}")
    assert found.reference.kind == "grid"
    assert found.contact_area.value == pytest.approx(DISC, rel=0.02)
    assert found.contact_area.low < DISC < found.contact_area.high
    assert found.reference.tilt_deg == pytest.approx(12.0, abs=2.0)
    assert found.reference.residual_px < 0.3


def test_millimetre_paper_is_measured_by_its_finest_lines():
    camera = Camera(width=1050, height=1400, fill=0.9, tilt=8.0)
    photo = squares(camera=camera, pitch=0.001, every=(5, 10), line=0.00015, colour=(0.85, 0.5, 0.35))
    found = measure_footprint(photo, reference="grid:1mm")
    assert found.contact_area.value == pytest.approx(DISC, rel=0.02)
    assert refusal(photo, "grid:5 mm").code == "pitch-contradicted"


def test_printed_lines_are_neither_ink_nor_debris():
    found = measure_footprint(squares(colour=(0.3, 0.3, 0.3)), reference="grid:5 mm")
    assert len(found.patches) == 1
    assert found.set_aside == ()
    assert found.contact_area.value == pytest.approx(DISC, rel=0.02)


def test_patches_crossed_by_a_line_stay_apart_and_whole():
    two = ContactPrint("two", (Blob(0.05, 0.075, 0.008), Blob(0.072, 0.075, 0.008)))
    found = measure_footprint(squares(two), reference="grid:5 mm")
    assert len(found.patches) == 2
    assert found.contact_area.value == pytest.approx(2 * np.pi * 0.008**2, rel=0.02)


def test_the_papers_tolerance_is_shared_by_prints_on_it():
    one = measure_footprint(squares(), reference="grid:5 mm", key="one").contact_area
    other = measure_footprint(squares(struck(0.015), seed=2), reference="grid:5 mm", key="other").contact_area
    assert one.budget["paper's pitch"] > 0.0
    assert (one / other).budget.get("paper's pitch", 0.0) < 1e-9


def test_a_lens_that_bends_lines_is_allowed_for():
    found = measure_footprint(squares(distortion=-0.03), reference="grid:5 mm")
    assert found.contact_area.value == pytest.approx(DISC, rel=0.02)
    assert "sheet-not-flat" not in [flag.code for flag in found.flags]


def test_a_sheet_that_is_not_flat_is_said():
    photo = squares(camera=Camera(width=900, height=1200, fill=0.85))
    x, y = np.meshgrid(np.arange(900, dtype=np.float32), np.arange(1200, dtype=np.float32))
    waved = cv2.remap(photo, x, y + 6.0 * np.sin(x / 900.0 * 2.0 * np.pi + y / 200.0), cv2.INTER_LINEAR)
    found = measure_footprint(np.asarray(waved, np.uint8), reference="grid:5 mm")
    assert "sheet-not-flat" in [flag.code for flag in found.flags]


def test_without_a_pitch_it_is_asked_for():
    for reference in ("auto", "grid"):
        error = refusal(squares(), reference)
        assert error.code == "pitch-missing"
        assert "grid:5 mm" in str(error.hint)


@pytest.mark.parametrize("typed", ["3 kN", "x", "5", "1/x in", "1/0 in", "90 mm", "0.1 mm", "-5 mm"])
def test_what_is_no_pitch_is_wrong_use(typed):
    with pytest.raises(WrongUseError, match="is no pitch of squared paper"):
        measure_footprint(scan_of(), reference=f"grid:{typed}")


def test_a_pitch_that_the_sheet_contradicts_is_refused():
    assert refusal(squares(width=0.12, pitch=0.001, line=0.0002), "grid:10 mm").code == "pitch-contradicted"


def test_a_sheet_far_too_small_is_doubted():
    found = measure_footprint(squares(), reference="grid:1 mm")
    assert "pitch-doubtful" in [flag.code for flag in found.flags]


def test_paper_without_lines_is_refused():
    assert refusal(scan_of((0.06, 0.06, 0.01)), "grid:5 mm").code == "no-reference"


def test_lines_lost_in_blur_are_refused():
    photo = squares(pitch=0.001, line=0.0001, finish=Finish(blur=6.0))
    assert refusal(photo, "grid:1 mm").code == "no-reference"


def test_oblongs_are_not_taken_for_squares():
    assert refusal(squares(scale=(1.0, 1.5)), "grid:5 mm").code == "no-reference"


def test_squares_without_a_print_are_refused():
    assert refusal(squares(struck(0.0)), "grid:5 mm").code == "no-print"


def test_a_print_across_the_edge_of_the_sheet_is_refused():
    assert refusal(squares(struck(0.012, 0.004, 0.07)), "grid:5 mm").code in {"print-cut-off", "no-print"}


def test_the_target_sheet_is_not_taken_for_squares():
    assert refusal(simple_photo(), "grid:5 mm").code == "no-reference"
    assert measure_footprint(simple_photo()).reference.kind == "target"


def test_a_scanned_sheet_of_squares_is_ambiguous():
    with pytest.raises(UnmeasurableError) as caught:
        measure_footprint(squares(), dpi=200.0)
    assert caught.value.code == "reference-ambiguous"


def test_pale_ink_over_strong_lines_is_measured():
    photo = squares(colour=(0.35, 0.5, 0.8), surface=Surface(ink=(0.45, 0.05, 0.06)))
    found = measure_footprint(photo, reference="grid:5 mm")
    assert found.contact_area.value == pytest.approx(DISC, rel=0.025)


def test_places_are_counted_from_the_first_crossing():
    found = measure_footprint(squares(camera=Camera(width=900, height=1200, fill=0.9)), reference="grid:5 mm")
    x, y = found.patches[0].centroid
    assert x == pytest.approx(MIDDLE[0], abs=0.012)
    assert y == pytest.approx(MIDDLE[1], abs=0.012)


def test_the_flag_of_a_doubtful_pitch_has_its_words():
    words = table("flags").rows["pitch-doubtful"]
    assert words["advice"].endswith(".")
