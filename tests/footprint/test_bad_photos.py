"""Bad photos of the ordinary kind, each really made, each with its own code and sentence."""

from typing import Any

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from tameshi.demo.photo import Camera, Finish
from tameshi.demo.ruler import Ruler, RulerScene, render_with_ruler
from tameshi.errors import UnmeasurableError
from tameshi.footprint import measure_footprint
from tests.footprint.rulers import measured_with, struck
from tests.footprint.scenes import MIDDLE, disc, drawn_sheet, plain_photo, rendered, simple_photo, snapped
from tests.footprint.squares import squares

Picture = NDArray[np.uint8]


def refusal(picture: Picture, **asked: Any) -> UnmeasurableError:
    with pytest.raises(UnmeasurableError) as caught:
        measure_footprint(picture, **asked)
    assert caught.value.message.endswith(".")
    assert caught.value.hint.endswith(".")
    return caught.value


def shining(photo: Picture, at: tuple[float, float], size: float) -> Picture:
    """Return the photo with a lamp's reflection; ``at`` as shares of the picture, ``size`` of its width."""
    rows, columns = photo.shape[:2]
    y, x = np.mgrid[0:rows, 0:columns]
    away = np.hypot(x - at[0] * columns, y - at[1] * rows) / (size * columns)
    light = 400.0 * np.exp(-(away**4))
    return np.asarray(np.clip(0.8 * photo + light[..., None], 0, 255), np.uint8)


def middle_of_print() -> tuple[float, float]:
    """Return where the print is in a simple photo, as shares of the picture."""
    dark = np.abs(simple_photo().astype(int) - snapped(drawn_sheet())).max(axis=2) > 40
    y, x = np.nonzero(dark)
    return float(x.mean() / dark.shape[1]), float(y.mean() / dark.shape[0])


@pytest.mark.parametrize("off", [0.0, 0.03, -0.04])
def test_a_reflection_on_the_print_is_refused_and_sized(off):
    x, y = middle_of_print()
    error = refusal(shining(simple_photo(), (x + off, y), 0.02))
    assert error.code == "glare"
    assert "A reflection hides" in error.message
    assert "lamp" in error.hint


def test_a_reflection_beside_the_print_is_no_glare_on_it():
    found = measure_footprint(shining(simple_photo(), (0.5, 0.78), 0.02))
    assert "glare" not in [flag.code for flag in found.flags]
    assert found.contact_area.value == pytest.approx(np.pi * 0.02**2, rel=0.02)


def test_a_hollow_in_the_print_is_no_glare():
    ring = drawn_sheet((*MIDDLE, 0.02))
    blank = drawn_sheet()
    rows, columns = np.mgrid[0 : ring.shape[0], 0 : ring.shape[1]]
    texel = 0.0254 / 150.0
    inner = np.hypot((columns + 0.5) * texel - MIDDLE[0], (rows + 0.5) * texel - MIDDLE[1]) < 0.006
    ring[inner] = blank[inner]
    dimmed = np.asarray(0.8 * snapped(ring), np.uint8)
    assert "glare" not in [flag.code for flag in measure_footprint(dimmed).flags]


@pytest.mark.parametrize("turn", [0.0, 50.0, 90.0])
def test_a_photo_that_motion_blurred_beyond_use_says_so(turn):
    photo = rendered(disc(), camera=Camera(width=900, height=1200, fill=0.8))
    kernel = np.zeros((61, 61), np.float32)
    way = np.array([np.cos(np.radians(turn)), np.sin(np.radians(turn))]) * 28.0
    cv2.line(kernel, tuple(np.rint(30 - way).astype(int)), tuple(np.rint(30 + way).astype(int)), 1.0)
    error = refusal(np.asarray(cv2.filter2D(photo, -1, kernel / kernel.sum()), np.uint8))
    assert error.code == "too-blurred"
    assert "Nothing in the picture is sharp" in error.message


@pytest.mark.parametrize("blur", [7.0, 10.0, 13.0])
def test_a_blurred_target_sheet_is_never_taken_for_a_plain_one(blur):
    photo = np.asarray(cv2.GaussianBlur(simple_photo(), (0, 0), blur), np.uint8)
    assert refusal(photo).code in {"too-blurred", "no-reference"}
    assert refusal(photo, reference="sheet:a4").code in {"too-blurred", "no-reference"}


def test_a_photo_out_of_focus_says_so_by_name_too():
    photo = np.asarray(cv2.GaussianBlur(simple_photo(), (0, 0), 16.0), np.uint8)
    assert refusal(photo, reference="target").code == "too-blurred"


def test_a_print_blurred_on_a_sheet_that_is_still_found_says_so():
    photo = plain_photo(disc(0.005), finish=Finish(blur=11.0))
    assert refusal(photo, reference="sheet").code == "too-blurred"


def test_a_target_sheet_that_curls_is_refused_with_what_to_do():
    flat = drawn_sheet((*MIDDLE, 0.02))
    photo = snapped(flat, width=1500, height=2000)
    rows, columns = photo.shape[:2]
    y, x = np.mgrid[0:rows, 0:columns].astype(np.float32)
    away = (x - 0.5 * columns) / (0.44 * columns)
    raised = 0.5 * rows + (y - 0.5 * rows) / (1.0 + 0.12 * (1.0 - away**2))
    photo = np.asarray(cv2.remap(photo, x, raised.astype(np.float32), cv2.INTER_LINEAR), np.uint8)
    error = refusal(photo)
    assert error.code in {"not-flat", "no-reference"}
    assert "flat" in error.message + error.hint


def test_a_ruler_of_half_millimetres_is_not_read_as_millimetres():
    halves = measured_with(
        pitch=0.0005,
        longer=((1, 0.003), (2, 0.004), (10, 0.006)),
        tick=0.00012,
        camera=Camera(width=2000, height=2400, fill=0.9),
    )
    error = refusal(halves, reference="ruler")
    assert error.code == "inch-ruler"
    assert "Every second tick" in error.message


def test_tenths_of_an_inch_are_doubted():
    tenths = measured_with(pitch=0.00254, longer=((1, 0.004), (5, 0.006), (10, 0.008)))
    found = measure_footprint(tenths, reference="ruler")
    assert "tick-pitch-doubtful" in [flag.code for flag in found.flags]


def test_a_print_cut_off_by_the_photo_is_refused_on_squares_and_beside_a_ruler():
    photo = squares(struck(y=0.105))
    cut = np.ascontiguousarray(photo[: round(0.69 * photo.shape[0])])
    assert refusal(cut, reference="grid:5 mm").code == "print-cut-off"
    beside = measured_with()
    cut = np.ascontiguousarray(beside[: round(0.52 * beside.shape[0])])
    assert refusal(cut, reference="ruler").code in {"print-cut-off", "no-print"}


def on_a_whole_sheet(scale: float = 1.0) -> Picture:
    """Return a photo of a sheet of A4, all in view, with a ruler and a print on it."""
    scene = RulerScene(
        ruler=Ruler(length=0.13, scale=scale),
        at=(0.02, 0.08),
        size=(0.210, 0.297),
        camera=Camera(width=1500, height=2000, fill=0.82, roll=2.0),
    )
    return render_with_ruler(disc(0.015, 0.1, 0.12), scene, np.random.default_rng(3))


def test_two_references_in_view_must_agree():
    agreed = measure_footprint(on_a_whole_sheet())
    assert agreed.reference.kind == "ruler"
    assert agreed.reference.said.endswith("It agrees with: sheet.")
    assert agreed.contact_area.value == pytest.approx(np.pi * 0.015**2, rel=0.03)
    error = refusal(on_a_whole_sheet(scale=1.25))
    assert error.code == "reference-ambiguous"
    assert "do not agree" in error.message


@pytest.mark.parametrize("reference", ["sheet", "sheet:a4", "page:a4"])
def test_a_ruler_on_a_sheet_is_not_taken_for_ink(reference):
    error = refusal(on_a_whole_sheet(), reference=reference)
    assert error.code == "ruler-on-sheet"
    assert "ruler:flat" in str(error.hint)
