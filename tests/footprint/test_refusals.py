"""Bad pictures, each really made, each refused with its own code and a sentence that says where."""

from typing import Any

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from tameshi.demo.photo import Camera, camera_matrix
from tameshi.errors import UnmeasurableError, WrongUseError
from tameshi.footprint import measure_footprint, sheet_layout
from tests.footprint.scenes import MIDDLE, TABLE, TEXEL, drawn_sheet, scan_of, simple_photo, snapped


def refusal(picture: NDArray[Any], **asked: Any) -> UnmeasurableError:
    with pytest.raises(UnmeasurableError) as caught:
        measure_footprint(picture, **asked)
    error = caught.value
    assert error.exit_status == 3
    assert error.message.endswith(".")
    assert error.hint.endswith(".")
    return error


def test_a_picture_without_markers_or_resolution_has_no_reference():
    error = refusal(np.full((600, 800, 3), 128, np.uint8))
    assert error.code == "no-reference"
    assert "no marker of the target sheet" in error.message


def test_three_of_four_markers_are_named_as_such():
    photo = simple_photo()
    photo[:250, :300] = TABLE
    error = refusal(photo)
    assert error.code == "no-reference"
    assert "3 of the target sheet's 4 markers were found; missing: 0 (top left)" in error.message


def test_a_marker_half_hidden_is_missing():
    photo = simple_photo()
    photo[1250:1500, 900:990] = (180, 140, 120)
    error = refusal(photo)
    assert error.code == "no-reference"
    assert "missing: 2 (bottom right)" in error.message


def test_a_blank_sheet_has_no_print():
    error = refusal(snapped(drawn_sheet()))
    assert error.code == "no-print"


def test_a_blank_sheet_with_noise_and_a_shadow_has_no_print():
    photo = snapped(drawn_sheet()).astype(float)
    photo *= (1.0 - 0.3 / (1.0 + np.exp(-(np.arange(photo.shape[1]) - 500.0) / 15.0)))[None, :, None]
    photo += np.random.default_rng(1).normal(0.0, 4.0, photo.shape)
    assert refusal(np.clip(photo, 0, 255).astype(np.uint8)).code == "no-print"


def test_a_speck_is_no_print_and_the_message_says_how_large_it_is():
    error = refusal(simple_photo((*MIDDLE, 0.0004)))
    assert error.code == "no-print"
    assert "specks of up to 0." in error.message


@pytest.mark.parametrize(("gain", "lift"), [(3.0, 0.0), (1.0, 150.0), (1.0, 220.0)])
def test_an_overexposed_photo_is_refused(gain, lift):
    photo = cv2.convertScaleAbs(simple_photo(), alpha=gain, beta=lift)
    assert refusal(photo).code == "overexposed"


def test_a_picture_of_pure_white_is_overexposed():
    assert refusal(np.full((600, 800, 3), 255, np.uint8)).code == "overexposed"


def test_a_print_over_the_frame_is_cut_off_and_the_message_says_where():
    error = refusal(simple_photo((0.02, 0.14, 0.02)))
    assert error.code == "print-cut-off"
    assert "the frame of the zone at its left" in error.message
    assert "y = 140 mm" in error.message


def test_a_long_print_along_the_frame_is_cut_off_too():
    zone = sheet_layout("a4").zone
    discs = [(zone.left + 0.005, zone.top + 0.02 + 0.01 * n, 0.014) for n in range(12)]
    assert refusal(simple_photo(*discs)).code == "print-cut-off"


def test_a_print_at_the_edge_of_a_scan_is_cut_off():
    error = refusal(scan_of((0.005, 0.06, 0.02)), reference="scan:200")
    assert error.code == "print-cut-off"
    assert "the edge of the picture at its left" in error.message


def test_the_wrong_paper_is_noticed():
    error = refusal(simple_photo(), paper="letter")
    assert error.code == "wrong-paper"
    assert "said to be letter, but its markers are spaced as on a4" in error.message


def test_two_sheets_in_one_picture_are_ambiguous():
    one = snapped(drawn_sheet((*MIDDLE, 0.02)), width=750, height=1000)
    assert refusal(np.hstack([one, one])).code == "reference-ambiguous"


def test_some_markers_and_a_scanner_resolution_are_ambiguous():
    photo = simple_photo()
    photo[:250, :300] = TABLE
    error = refusal(photo, dpi=300.0)
    assert error.code == "reference-ambiguous"
    assert "3 of the target sheet's 4 markers and a resolution of 300 pixels an inch" in error.message


def test_a_sheet_seen_edge_on_is_too_tilted():
    camera = Camera(width=2400, height=1600, tilt=68.0, fill=1.0, focal=1.5)
    to_pixels = camera_matrix("a4", camera) @ np.diag([TEXEL, TEXEL, 1.0])
    photo = cv2.warpPerspective(drawn_sheet((*MIDDLE, 0.02)), to_pixels, (2400, 1600), borderValue=TABLE)
    error = refusal(photo)
    assert error.code == "too-tilted"
    assert "degrees from square" in error.message


def test_a_print_of_a_few_pixels_is_too_small():
    small = cv2.resize(
        scan_of((0.06, 0.06, 0.002), dpi=600.0), None, fx=1 / 12, fy=1 / 12, interpolation=cv2.INTER_AREA
    )
    error = refusal(np.asarray(small, np.uint8), reference="scan:50")
    assert error.code == "too-small"
    assert "scan it at a higher resolution" in error.hint


def test_a_scan_of_blank_paper_has_no_print():
    assert refusal(scan_of(), reference="scan:200").code == "no-print"


def test_a_washed_out_scan_is_overexposed():
    pale = cv2.convertScaleAbs(scan_of((0.06, 0.06, 0.02)), alpha=1.0, beta=215.0)
    assert refusal(pale, reference="scan:200").code == "overexposed"


def test_scan_without_any_resolution_has_no_reference():
    error = refusal(scan_of((0.06, 0.06, 0.02)), reference="scan")
    assert error.code == "no-reference"
    assert error.hint == "Say it: scan:600."


@pytest.mark.parametrize("name", ["rulers", "points:4", "target:x", "", "scans"])
def test_an_unknown_reference_is_wrong_use_with_the_list(name):
    with pytest.raises(WrongUseError, match="There are: auto, target, scan, scan:600") as caught:
        measure_footprint(scan_of(), reference=name)
    assert caught.value.exit_status == 2


@pytest.mark.parametrize("name", ["scan:x", "scan:0", "scan:nan", "scan:99999", "scan:-300"])
def test_an_impossible_resolution_is_wrong_use(name):
    with pytest.raises(WrongUseError, match="is no scanner resolution"):
        measure_footprint(scan_of(), reference=name)


@pytest.mark.parametrize("bar", [0.0254, 0.0, -0.1, float("nan"), 1.0])
def test_a_bar_that_cannot_be_the_bar_is_wrong_use(bar):
    with pytest.raises(WrongUseError, match="Measure between the ticks"):
        measure_footprint(simple_photo(), bar=bar)


@pytest.mark.parametrize(
    "picture", [np.zeros((4, 4)), np.zeros((4, 4, 2), np.uint8), np.zeros((0, 4, 3), np.uint8)]
)
def test_an_array_that_is_no_picture_is_wrong_use(picture):
    with pytest.raises(WrongUseError, match="is no picture"):
        measure_footprint(picture)
