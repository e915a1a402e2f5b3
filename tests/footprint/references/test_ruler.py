"""A ruler beside the print gives the scale, and says what it cannot tell."""

from typing import Any

import numpy as np
import pytest

from tameshi.demo.photo import Camera, Finish
from tameshi.demo.ruler import SIXTEENTHS
from tameshi.errors import UnmeasurableError, WrongUseError
from tameshi.footprint import measure_footprint
from tameshi.reference import table
from tests.footprint.rulers import measured_with, struck
from tests.footprint.scenes import scan_of, simple_photo
from tests.footprint.squares import squares

DISC = np.pi * 0.012**2
FOCAL = 0.75 / np.hypot(1.0, 1000.0 / 1200.0)  # what the camera would write into the file
INCH_TICKS: dict[str, Any] = {"pitch": 0.0254 / 16, "longer": SIXTEENTHS}


def refusal(picture, reference="ruler", focal=None):
    with pytest.raises(UnmeasurableError) as caught:
        measure_footprint(picture, reference=reference, focal=focal)
    return caught.value


def slanted(along, across):
    """Return a camera that leans along and across a ruler that lies level in the picture."""
    tilt, azimuth = float(np.hypot(along, across)), float(np.degrees(np.arctan2(along, across)))
    return Camera(width=1000, height=1200, fill=0.9, tilt=tilt, azimuth=azimuth)


def test_the_area_is_right_seen_from_above():
    found = measure_footprint(measured_with(), reference="ruler")
    assert found.reference.kind == "ruler"
    assert "millimetre ticks" in found.reference.said
    assert found.contact_area.value == pytest.approx(DISC, rel=0.02)
    assert found.contact_area.low < DISC < found.contact_area.high
    assert not {"tilt-unknown", "tilt-by-ticks"} & {flag.code for flag in found.flags}
    assert {"ruler's scale", "ruler's thickness", "lean across the ruler"} <= set(found.contact_area.budget)


def test_a_lean_along_the_ruler_is_corrected():
    found = measure_footprint(measured_with(camera=slanted(12.0, 0.0), turn=0.0), reference="ruler")
    assert found.contact_area.value == pytest.approx(DISC, rel=0.02)
    assert found.reference.tilt_deg == pytest.approx(12.0, abs=2.5)


@pytest.mark.parametrize(("bevel", "across"), [(8.0, -4.0), (8.0, 4.0), (16.0, -4.0), (16.0, 4.0)])
def test_a_small_lean_across_a_bevelled_ruler_is_within_the_interval_and_said(bevel, across):
    photo = measured_with(camera=slanted(0.0, across), turn=0.0, bevel=bevel, thickness=0.0007)
    found = measure_footprint(photo, reference="ruler:bevelled")
    assert found.contact_area.low < DISC < found.contact_area.high
    assert found.contact_area.u < 0.035 * DISC
    assert "tilt-unknown" in [flag.code for flag in found.flags]


def test_ticks_at_the_end_of_what_bevels_allow_tell_the_lean():
    said = {}
    for bevel, across in ((6.0, 5.0), (12.0, 0.0), (18.0, -5.0), (6.0, -5.0), (18.0, 5.0)):
        photo = measured_with(camera=slanted(0.0, across), turn=0.0, bevel=bevel)
        said[bevel, across] = measure_footprint(photo, reference="ruler:bevelled", focal=FOCAL).contact_area
    usual = said[12.0, 0.0].budget["lean across the ruler"]
    # at 6 - 5 and at 18 + 5 degrees only one lean explains the ticks; the others look alike
    for extreme in ((6.0, -5.0), (18.0, 5.0)):
        assert said[extreme].budget["lean across the ruler"] < 0.7 * usual
        assert said[extreme].value == pytest.approx(DISC, rel=0.025)
    assert said[6.0, 5.0].budget["lean across the ruler"] == pytest.approx(usual, rel=0.1)


@pytest.mark.parametrize("bevel", [8.0, 13.0, 18.0])
@pytest.mark.parametrize("across", [-4.0, 4.0])
def test_the_interval_holds_where_nobody_said_that_the_ruler_is_bevelled(bevel, across):
    photo = measured_with(camera=slanted(5.0, across), turn=0.0, bevel=bevel)
    found = measure_footprint(photo, reference="ruler", focal=FOCAL)
    assert found.contact_area.low < DISC < found.contact_area.high
    assert "tilt-by-ticks" in [flag.code for flag in found.flags]
    assert found.contact_area.budget["ruler's edge"] > 0.01 * DISC


def test_where_no_bevel_explains_the_ticks_none_is_allowed_for():
    for across in (0.0, -14.0, 30.0):
        photo = measured_with(camera=slanted(0.0, across), turn=0.0)
        found = measure_footprint(photo, reference="ruler", focal=FOCAL)
        assert found.contact_area.value == pytest.approx(DISC, rel=0.04)
        assert found.contact_area.budget.get("ruler's edge", 0.0) < 0.005 * DISC


MAKES: dict[str, dict[str, Any]] = {
    "ticks on both edges": {"both": True, "width": 0.02},
    "grain of wood": {"body": (0.6, 0.45, 0.28), "ink": (0.25, 0.19, 0.12), "grain": 0.11},
    "thin ticks on paper": {
        "tick": 0.0001,
        "thickness": 0.0001,
        "longer": ((1, 0.0022), (5, 0.0035), (10, 0.005)),
    },
    "scratched steel": {"body": (0.45, 0.45, 0.46), "ink": (0.2, 0.2, 0.2), "tick": 0.0001, "grain": 0.06},
}


@pytest.mark.parametrize("make", MAKES)
def test_rulers_of_all_makes_are_found_at_any_angle(make):
    camera = Camera(width=1000, height=1200, fill=0.6, roll=60.0)
    found = measure_footprint(
        measured_with(camera=camera, **MAKES[make]), reference="ruler:flat", focal=FOCAL
    )
    assert found.contact_area.value == pytest.approx(DISC, rel=0.02)
    assert " over 105 mm" in found.reference.said


def test_short_ticks_show_a_large_lean_to_a_degree():
    short = ((1, 0.0022), (5, 0.0035), (10, 0.005))
    photo = measured_with(camera=slanted(8.0, 26.0), turn=0.0, longer=short)
    found = measure_footprint(photo, reference="ruler:flat", focal=FOCAL)
    assert found.reference.tilt_deg == pytest.approx(np.hypot(8.0, 26.0), abs=1.0)


def test_an_area_that_may_be_off_by_a_twentieth_says_so_and_what_limits_it():
    photo = measured_with(camera=slanted(22.0, 10.0), turn=0.0)
    known, unknown = (
        measure_footprint(photo, reference="ruler:flat", focal=focal) for focal in (FOCAL, None)
    )
    assert "wide-interval" not in [flag.code for flag in known.flags]
    (flag,) = [flag for flag in unknown.flags if flag.code == "wide-interval"]
    assert "focal length" in flag.message


@pytest.mark.parametrize(("along", "across"), [(3.0, 14.0), (-15.0, 25.0), (0.0, -33.0)])
def test_ticks_show_the_lean_across_too(along, across):
    photo = measured_with(camera=slanted(along, across), turn=0.0)
    found = measure_footprint(photo, reference="ruler:flat", focal=FOCAL)
    assert found.contact_area.value == pytest.approx(DISC, rel=0.03)
    assert found.contact_area.low < DISC < found.contact_area.high
    assert not {"tilt-unknown", "tilt-by-ticks"} & {flag.code for flag in found.flags}


def test_that_the_lean_rests_on_level_ticks_is_said_unless_somebody_has():
    photo = measured_with(camera=slanted(3.0, 14.0), turn=0.0)
    told, stated = (measure_footprint(photo, reference=name) for name in ("ruler", "ruler:flat"))
    assert told.contact_area.u > 1.5 * stated.contact_area.u
    assert "tilt-by-ticks" in [flag.code for flag in told.flags]
    assert "tilt-by-ticks" not in [flag.code for flag in stated.flags]
    assert told.contact_area.value == stated.contact_area.value


@pytest.mark.parametrize(("bevel", "across"), [(0.0, 33.0), (0.0, -12.0), (12.0, 25.0)])
def test_a_lean_that_no_bevel_explains_is_refused(bevel, across):
    photo = measured_with(camera=slanted(0.0, across), turn=0.0, bevel=bevel)
    error = refusal(photo, "ruler:bevelled", FOCAL)
    assert error.code == "too-tilted"
    assert "ruler:flat" in str(error.hint)


@pytest.mark.parametrize("roll", [90.0, 181.0])
def test_the_picture_may_be_turned(roll):
    photo = measured_with(camera=Camera(width=1200, height=1200, fill=0.85, roll=roll))
    found = measure_footprint(photo, reference="ruler")
    assert found.contact_area.value == pytest.approx(DISC, rel=0.03)


def test_the_farther_the_print_the_less_is_known():
    photos = (measured_with(struck(0.009, 0.07, y), bevel=12.0) for y in (0.065, 0.115))
    near, far = (measure_footprint(photo, reference="ruler:bevelled").contact_area for photo in photos)
    assert far.budget["lean across the ruler"] > 1.5 * near.budget["lean across the ruler"]


def test_photos_with_one_ruler_share_its_error():
    one = measure_footprint(measured_with(), reference="ruler", key="one").contact_area
    other = measure_footprint(
        measured_with(struck(0.01), seed=2), reference="ruler", key="other"
    ).contact_area
    assert (one / other).budget.get("ruler's scale", 0.0) < 1e-6


def test_auto_takes_the_ruler():
    assert measure_footprint(measured_with()).reference.kind == "ruler"


def test_an_inch_ruler_is_refused_unless_asked_for():
    photo = measured_with(**INCH_TICKS)
    for reference in ("auto", "ruler"):
        error = refusal(photo, reference)
        assert error.code == "inch-ruler"
        assert "ruler:1/16 in" in str(error.hint)
    found = measure_footprint(photo, reference="ruler:1/16 in")
    assert found.contact_area.value == pytest.approx(DISC, rel=0.03)


def test_a_millimetre_ruler_is_not_read_as_inches():
    assert refusal(measured_with(), "ruler:1/16 in").code == "no-reference"


def test_ticks_all_of_one_length_are_refused():
    assert refusal(measured_with(longer=((1, 0.004),), digits=False)).code == "no-reference"


@pytest.mark.parametrize("typed", ["2 mm", "x", "1/8 in", "flat 3 mm", "1 kN", "flat bevelled"])
def test_what_is_no_tick_pitch_is_wrong_use(typed):
    with pytest.raises(WrongUseError, match="is no pitch of ticks"):
        measure_footprint(scan_of(), reference=f"ruler:{typed}")


def test_no_ruler_is_refused():
    assert refusal(scan_of((0.06, 0.06, 0.01))).code == "no-reference"


def test_a_ruler_of_which_too_little_shows_is_refused():
    assert refusal(measured_with(at=(0.125, 0.045), turn=0.0)).code == "no-reference"


def test_ticks_lost_in_blur_are_refused():
    assert refusal(measured_with(finish=Finish(blur=6.0))).code == "no-reference"


def test_a_ruler_without_a_print_is_refused():
    assert refusal(measured_with(struck(0.0))).code == "no-print"


def test_a_print_on_the_far_side_of_the_ruler_is_refused():
    error = refusal(measured_with(struck(0.01, 0.07, 0.02), at=(0.012, 0.09)))
    assert error.code == "no-print"


def test_a_print_that_runs_off_the_paper_is_refused():
    error = refusal(measured_with(struck(0.02, 0.07, 0.142)))
    assert error.code in {"print-cut-off", "no-print"}


def test_neither_squares_nor_the_target_sheet_are_a_ruler():
    assert refusal(squares()).code == "no-reference"
    assert refusal(simple_photo()).code == "no-reference"


def test_the_flag_of_an_unknown_lean_has_its_words():
    for code in ("tilt-unknown", "tilt-by-ticks"):
        assert table("flags").rows[code]["advice"].endswith(".")


@pytest.mark.parametrize(("bevel", "across"), [(7.0, 0.0), (15.0, 0.0), (12.0, 10.0), (12.0, -20.0)])
def test_ticks_on_a_bevel_are_seen_to_lean_by_it(bevel, across):
    photo = measured_with(camera=slanted(0.0, across), turn=0.0, bevel=bevel)
    found = measure_footprint(photo, reference="ruler:flat", focal=FOCAL)
    assert found.reference.tilt_deg == pytest.approx(abs(bevel + across), abs=2.0)
