"""What limits a print is said, and only then."""

from dataclasses import replace
from typing import Any

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from tameshi.demo.photo import Camera, Finish, Surface
from tameshi.errors import UnmeasurableError
from tameshi.footprint import measure_footprint
from tameshi.quantity import Missing
from tameshi.reference import table
from tests.footprint.scenes import MIDDLE, disc, drawn_sheet, rendered, scan_of, simple_photo, snapped


def codes(picture: NDArray[np.generic], **asked: Any) -> list[str]:
    return [flag.code for flag in measure_footprint(picture, **asked).flags]


def test_a_good_photo_with_a_measured_bar_has_no_flag_but_ridges():
    photo = rendered(disc(), camera=Camera(width=1800, height=2400, fill=0.9), finish=Finish(blur=0.5))
    assert codes(photo, bar=0.1) == []


def test_an_unmeasured_bar_is_said():
    assert "print-scale-unchecked" in codes(simple_photo())


def test_a_dark_rim_is_said_and_the_area_stays_whole():
    rimmed = measure_footprint(rendered(replace(disc(), rim=0.4)))
    assert "dark-rim" in [flag.code for flag in rimmed.flags]
    assert rimmed.contact_area.value == pytest.approx(np.pi * 0.02**2, rel=0.01)


def test_even_ink_has_no_dark_rim_however_blurred():
    for blur in (0.5, 2.0):
        assert "dark-rim" not in codes(rendered(disc(), finish=Finish(blur=blur)))


def test_a_print_with_much_thin_ink_is_said():
    sheet = drawn_sheet()
    cv2.circle(sheet, (560, 830), 150, (170, 170, 185), -1)
    cv2.ellipse(sheet, (560, 830), (150, 150), 0, 90, 270, (25, 25, 60), -1)
    assert "thin-ink" in codes(snapped(sheet))


def test_a_print_on_a_stain_is_refused():
    sheet = drawn_sheet()
    cv2.ellipse(sheet, (560, 830), (280, 190), 20, 0, 360, (196, 180, 150), -1)
    cv2.circle(sheet, (560, 830), 110, (25, 25, 60), -1)
    with pytest.raises(UnmeasurableError) as caught:
        measure_footprint(snapped(sheet))
    assert caught.value.code == "print-on-stain"


def test_a_picture_with_few_pixels_on_the_print_is_said():
    small = cv2.resize(
        scan_of((0.06, 0.06, 0.0025), dpi=600.0), None, fx=1 / 10, fy=1 / 10, interpolation=cv2.INTER_AREA
    )
    assert "coarse" in codes(np.asarray(small, np.uint8), reference="scan:60")


def test_motion_blur_is_said_and_widens_the_interval():
    still = measure_footprint(rendered(disc(0.008)))
    moved = measure_footprint(rendered(disc(0.008), finish=Finish(motion=11.0)))
    assert "blurred" in [flag.code for flag in moved.flags]
    assert moved.contact_area.budget["resolution"] > 3.0 * still.contact_area.budget["resolution"]


def test_a_lens_that_bends_lines_is_said():
    photo = simple_photo()
    rows, columns = photo.shape[:2]
    camera = np.array([[1200.0, 0.0, columns / 2.0], [0.0, 1200.0, rows / 2.0], [0.0, 0.0, 1.0]])
    bent = cv2.undistort(photo, camera, np.array([-0.04, 0.0, 0.0, 0.0]))
    found = measure_footprint(np.asarray(bent, np.uint8))
    assert "a lens that bends lines undone" in found.reference.said
    assert "sheet-not-flat" not in [flag.code for flag in found.flags]
    assert found.contact_area.low < np.pi * 0.02**2 < found.contact_area.high


def test_a_slanted_view_is_said():
    photo = rendered(disc(), camera=Camera(width=1500, height=2000, tilt=48.0, fill=0.6))
    assert "tilted" in codes(photo)


def test_paper_a_little_too_bright_is_said():
    assert "bright" in codes(cv2.convertScaleAbs(simple_photo(), alpha=1.3))


def test_nothing_but_specks_is_said():
    assert "specks-only" in codes(simple_photo((*MIDDLE, 0.0015)))
    assert "specks-only" not in codes(simple_photo((*MIDDLE, 0.004)))


def test_faint_ink_is_said():
    faint = rendered(disc(), surface=Surface(ink=(0.75, 0.76, 0.78)))
    assert "faint-ink" in codes(faint)


def test_a_coarse_picture_says_that_ridges_cannot_be_seen():
    found = measure_footprint(simple_photo((*MIDDLE, 0.02)))
    flagged = "ridges-unresolved" in [flag.code for flag in found.flags]
    assert flagged
    assert isinstance(found.inked_area, Missing)
    assert "too coarse to show skin ridges" in found.inked_area.why
    assert isinstance(found.patches[0].inked_area, Missing)


def test_every_flag_of_prints_has_its_words():
    words = table("flags").rows
    for code in (
        "print-scale-unchecked",
        "tilted",
        "sheet-not-flat",
        "bright",
        "hollow",
        "thin-ink",
        "dark-rim",
        "blurred",
        "coarse",
        "ridges-unresolved",
        "faint-ink",
        "set-aside",
        "glare",
        "specks-only",
    ):
        assert words[code]["title"]
        assert words[code]["advice"].endswith(".")
