"""What may pass for ink or hide it: shadows, stains, pens, cups, fingers, wet ink, ink that crept."""

import math

import cv2
import numpy as np
import pytest

from tameshi.errors import UnmeasurableError
from tameshi.footprint import Footprint
from tameshi.footprint.ink.steps import find_pieces
from tests.footprint.inked import (
    BLACK,
    BLUE,
    DISC,
    MIDDLE,
    SCALE,
    Light,
    disc,
    grid,
    measured,
    scanned,
    through,
)

COFFEE, GREEN = (0.35, 0.7, 1.2), (1.1, 0.45, 0.9)
TWO = 2.0 * math.pi * 0.009**2


def codes(found: Footprint) -> list[str]:
    return [flag.code for flag in found.flags]


def said(found: Footprint, code: str) -> str:
    return next(flag.message for flag in found.flags if flag.code == code)


def pair() -> Light:
    """Return two discs side by side, of 9 mm radius."""
    return np.maximum(disc(0.009, 0.037), disc(0.009, 0.063))


def bar(left: float, top: float, right: float, bottom: float) -> Light:
    """Return a rectangle, its sides in metres."""
    x, y = grid()
    sharp = ((x > left) & (x < right) & (y > top) & (y < bottom)).astype(np.float64)
    return np.asarray(cv2.GaussianBlur(sharp, (0, 0), 0.8), np.float64)


def ring(radius: float, wide: float, x: float, y: float) -> Light:
    return np.asarray(disc(radius, x, y) - disc(radius - wide, x, y), np.float64)


def shadow(depth: float, *, at: float, soft: float = 0.0006) -> Light:
    """Return the light under a shadow to the right of a line, ``soft`` metres wide."""
    x, y = grid()
    along = (x - at + 0.1 * (y - MIDDLE)) / (0.25 * soft)
    return np.asarray(1.0 - depth / (1.0 + np.exp(-np.clip(along, -50.0, 50.0))), np.float64)


@pytest.mark.parametrize("ink", [BLUE, BLACK])
def test_a_faint_print_under_a_hard_shadow_is_refused(ink):
    with pytest.raises(UnmeasurableError) as caught:
        measured(scanned(0.5 * pair(), ink, lit=shadow(0.45, at=0.04)))
    assert caught.value.code == "shadow-edge"
    assert "hard shadow" in caught.value.message


def test_patches_lost_beside_a_shadow_stronger_than_their_ink_are_no_print_of_one_patch():
    with pytest.raises(UnmeasurableError) as caught:
        measured(scanned(0.12 * pair(), lit=shadow(0.5, at=0.05)))
    assert caught.value.code in ("shadow-edge", "no-print")


def test_a_shadow_beside_a_dark_print_is_told_and_the_print_measured():
    found = measured(scanned(2.0 * disc(), lit=shadow(0.4, at=0.085)))
    assert found.contact_area.low < DISC < found.contact_area.high
    assert "none of the ink that was found" in said(found, "loose-edge")


def test_a_pale_print_beside_a_darker_block_of_pen_is_listed_and_told():
    pen = through(1.5 * bar(0.04, 0.01, 0.06, 0.018), GREEN)
    found = measured(scanned(0.1 * disc(0.02, y=0.06), lit=pen))
    stains = [one for one in found.set_aside if one.kind == "stain"]
    assert sum(one.area for one in stains) == pytest.approx(math.pi * 0.02**2, rel=0.05)
    assert "stain" in said(found, "set-aside")


def test_a_print_of_another_ink_than_the_pen_across_it_is_listed_and_told():
    lines = [bar(0.01, y, 0.09, y + 0.0013) for y in (0.012, 0.018, 0.088)]
    pen = np.max([*lines, bar(0.055, 0.05, 0.098, 0.0513)], axis=0)
    found = measured(scanned(0.8 * pair(), lit=through(2.5 * pen, GREEN)))
    told = found.contact_area.value + sum(one.area for one in found.set_aside if one.kind == "stain")
    assert told == pytest.approx(TWO, rel=0.08)


def test_a_print_that_the_ring_of_a_cup_touches_is_measured():
    cup = through(0.5 * ring(0.034, 0.0011, 0.0785, 0.04), COFFEE)
    dots = np.maximum(disc(0.006, 0.025, 0.08), disc(0.006, 0.045, 0.04))
    found = measured(scanned(0.8 * dots, lit=cup))
    assert len(found.patches) == 2
    assert found.contact_area.value == pytest.approx(2.0 * math.pi * 0.006**2, rel=0.05)
    assert any(one.kind == "line" for one in found.set_aside)


def test_an_arrow_drawn_up_to_the_print_is_no_contact():
    arrow = bar(MIDDLE + 0.0145, MIDDLE, 0.092, MIDDLE + 0.0014)
    found = measured(scanned(1.5 * np.maximum(disc(), arrow)))
    assert found.contact_area.value == pytest.approx(DISC, rel=0.015)
    assert sum(one.area for one in found.set_aside) == pytest.approx(0.027 * 0.0014, rel=0.2)


def test_streaks_that_a_finger_wiped_out_of_the_print_are_no_contact():
    streaks = np.max([bar(0.062, y, 0.085, y + 0.001) for y in np.arange(0.042, 0.058, 0.0025)], axis=0)
    found = measured(scanned(1.5 * np.maximum(disc(), 0.5 * streaks)))
    assert found.contact_area.value == pytest.approx(DISC, rel=0.03)


def test_a_broad_smear_out_of_the_print_is_told():
    found = measured(scanned(1.5 * np.maximum(disc(), 0.4 * bar(0.06, 0.045, 0.085, 0.054))))
    assert found.contact_area.value > 1.1 * DISC
    assert "finger wiped" in said(found, "smeared")


def test_a_felt_pens_stroke_counted_with_the_print_is_told():
    found = measured(scanned(0.8 * pair(), lit=through(1.5 * bar(0.02, 0.015, 0.05, 0.0185), GREEN)))
    assert "x = 35 mm, y = 17 mm" in said(found, "other-ink")


def test_a_print_within_a_stain_is_refused():
    stain = through(0.3 * disc(0.035), COFFEE)
    with pytest.raises(UnmeasurableError) as caught:
        measured(scanned(0.8 * pair(), lit=stain))
    assert caught.value.code == "print-on-stain"


def test_light_thrown_back_by_wet_ink_is_no_hollow():
    spots = np.max([disc(0.0012, x, y) for x, y in ((0.045, 0.045), (0.052, 0.056), (0.058, 0.047))], axis=0)
    light = scanned(1.0 * disc(), gain=0.6).astype(float) / 255.0
    wet = np.rint(255.0 * np.clip(light + 0.38 * spots[..., None], 0.0, 1.0)).astype(np.uint8)
    found = measured(wet)
    assert found.contact_area.value == pytest.approx(DISC, rel=0.015)
    assert "hollow" not in codes(found)


@pytest.mark.parametrize("reach", [0.0008, 0.0012])
def test_ink_that_crept_and_fades_into_the_paper_is_told(reach):
    hard = (disc(blur=1e-6) > 0.5).astype(np.uint8)
    away = np.asarray(cv2.distanceTransform(1 - hard, cv2.DIST_L2, 5)) * SCALE
    found = measured(scanned(1.5 * np.clip(1.0 - away / reach, 0.0, 1.0)))
    off = 100.0 * (found.contact_area.value / DISC - 1.0)
    message = said(found, "blurred")
    assert "crept into the paper" in message
    assert float(message.rsplit("up to ", 1)[1].split(" %")[0]) > 0.7 * off > 2.0


def test_an_outline_frayed_along_fibres_is_told():
    hard = (disc(blur=1e-6) > 0.5).astype(np.uint8)
    away = np.asarray(cv2.distanceTransform(1 - hard, cv2.DIST_L2, 5)) * SCALE
    knots = np.random.default_rng(3).normal(0.0, 1.0, (67, 67)).astype(np.float32)
    fibres = cv2.resize(knots, hard.shape[::-1], interpolation=cv2.INTER_CUBIC)
    frayed = (away < 0.0013 * np.clip(0.5 + 0.5 * fibres, 0.0, 1.0)) | (hard > 0)
    found = measured(scanned(np.asarray(1.5 * cv2.GaussianBlur(frayed.astype(np.float64), (0, 0), 0.8))))
    assert found.contact_area.value > 1.03 * DISC
    assert "ragged" in said(found, "ragged-edge")


def test_a_smooth_print_has_no_such_flags():
    found = measured(scanned(1.5 * pair()))
    assert not {"other-ink", "ragged-edge", "smeared", "loose-edge", "blurred", "set-aside"} & set(
        codes(found)
    )


def test_ink_half_as_dark_inside_as_at_its_rim_and_full_of_pores_is_found():
    away = np.hypot(*(np.mgrid[0:300, 0:300] - 150.0))
    light = np.where(away < 90.0, np.where(away > 84.0, -0.30, -0.18), 0.0).astype(np.float32)
    light[2::5, 2::5] += np.where(away < 80.0, 0.06, 0.0)[2::5, 2::5].astype(np.float32)
    found = find_pieces(light, 0.0003, framed=True)
    assert np.count_nonzero(found) > 0.7 * math.pi * 90.0**2
