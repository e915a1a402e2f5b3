"""Corrections by hand: what is left out, taken in, drawn around or outlined elsewhere is what counts."""

import math
from statistics import NormalDist

import cv2
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tameshi.demo.prints import palm_heel
from tameshi.errors import TameshiError, UnmeasurableError, WrongUseError
from tameshi.footprint import (
    Corrections,
    as_dict,
    corrections_from,
    draw_overlay,
    measure_footprint,
    to_record,
)
from tests.footprint.scenes import MIDDLE, inked, rendered, scan_of, simple_photo

DISC = math.pi * 0.02**2
TWO = ((0.04, 0.04, 0.015), (0.09, 0.09, 0.01))
SIDE = 0.12


def scanned(*discs, by_hand=None, blur=0.0):
    picture = scan_of(*discs)
    if blur:
        picture = np.asarray(cv2.GaussianBlur(picture, (0, 0), blur), np.uint8)
    return measure_footprint(picture, reference="scan:200", corrections=by_hand)


def square(left, top, right, bottom):
    return ((left, top), (right, top), (right, bottom), (left, bottom))


def said(found):
    return next((flag.message for flag in found.flags if flag.code == "corrected-by-hand"), "")


def test_nothing_corrected_is_what_it_was():
    plain, empty = scanned(*TWO), scanned(*TWO, by_hand=Corrections())
    records = [to_record(found, file="a", sha256="b", size=(1, 1)) for found in (plain, empty)]
    assert records[0] == records[1]
    assert not said(empty)
    assert "corrections" not in as_dict(empty, file="a", sha256="b", size=(1, 1))


def test_a_patch_left_out_does_not_count():
    found = scanned(*TWO, by_hand=Corrections(leave_out=((0.093, 0.088),)))
    assert found.contact_area.value == pytest.approx(math.pi * 0.015**2, rel=0.005)
    assert len(found.patches) == 1
    assert [one.kind for one in found.set_aside] == ["left-out"]
    assert found.set_aside[0].area == pytest.approx(math.pi * 0.01**2, rel=0.02)
    (curve,) = found.left_out
    assert np.asarray(curve).mean(axis=0) == pytest.approx((0.09, 0.09), abs=5e-4)
    both = sum(math.pi * radius**2 for *_, radius in TWO) * 1e4
    assert "1 patch left out" in said(found)
    before, after = (
        float(word)
        for word in said(found).replace("cm²", "").split()
        if word.count(".") == 1 and word[0].isdigit() and word not in ("93.0", "88.0")
    )
    assert before == pytest.approx(both, rel=0.005)
    assert after == pytest.approx(1e4 * found.contact_area.value, abs=0.005)


def test_every_patch_can_be_left_out_at_its_own_centroid():
    picture = scan_of((0.04, 0.04, 0.015), (0.085, 0.09, 0.012))
    cv2.circle(picture, (round(0.085 / 0.0254 * 200), round(0.09 / 0.0254 * 200)), 60, (255, 255, 255), -1)
    plain = measure_footprint(picture, reference="scan:200")
    assert len(plain.patches) == 2
    assert plain.patches[1].hollow_area > 0.0
    for patch in plain.patches:
        by_hand = Corrections(leave_out=(patch.centroid,))
        found = measure_footprint(picture, reference="scan:200", corrections=by_hand)
        rest = plain.contact_area.value - patch.contact_area.value
        assert found.contact_area.value == pytest.approx(rest, rel=0.005)


def test_a_patch_at_the_edge_left_out_no_longer_cuts_the_print_off():
    cut = ((0.04, 0.06, 0.015), (0.118, 0.06, 0.01))
    with pytest.raises(UnmeasurableError, match="reaches"):
        scanned(*cut)
    found = scanned(*cut, by_hand=Corrections(leave_out=((0.115, 0.06),)))
    assert found.contact_area.value == pytest.approx(math.pi * 0.015**2, rel=0.005)
    assert "refused (print-cut-off) before" in said(found)
    (curve,) = found.left_out
    assert np.asarray(curve).min(axis=0) == pytest.approx((0.108, 0.05), abs=5e-4)
    assert found.box.right == pytest.approx(SIDE, abs=3e-4)
    shown = draw_overlay(found)
    crossed = np.abs(shown.astype(int) - 110).max(axis=2) < 12
    across = (0.115 - found.box.left) / found.box.width * shown.shape[1]
    assert crossed[:, round(across) - 20 :].any()


def test_what_was_set_aside_can_be_taken_in():
    discs = ((0.05, 0.06, 0.015), (0.09, 0.06, 0.0015))
    plain = scanned(*discs)
    (aside,) = plain.set_aside
    found = scanned(*discs, by_hand=Corrections(take_in=(aside.centroid,)))
    assert len(found.patches) == 2
    assert not found.set_aside
    assert found.patches[1].contact_area.value == pytest.approx(math.pi * 0.0015**2, rel=0.03)
    assert "1 piece of ink that had been set aside taken in" in said(found)


def test_only_ink_inside_the_lasso_counts():
    found = scanned((0.06, 0.06, 0.02), by_hand=Corrections(lassos=(square(0.02, 0.02, 0.06, 0.1),)))
    assert found.contact_area.value == pytest.approx(DISC / 2, rel=0.003)
    assert found.contact_area.low < DISC / 2 < found.contact_area.high
    assert inked(found).value == pytest.approx(DISC / 2, rel=0.003)
    (cut_off,) = found.set_aside
    assert cut_off.kind == "outside-lasso"
    assert cut_off.area == pytest.approx(DISC / 2, rel=0.03)
    assert cut_off.centroid == pytest.approx((0.06 + 4.0 * 0.02 / (3.0 * math.pi), 0.06), abs=5e-4)


def test_ink_outside_every_lasso_is_set_aside():
    found = scanned(*TWO, by_hand=Corrections(lassos=(square(0.02, 0.02, 0.06, 0.06),)))
    assert found.contact_area.value == pytest.approx(math.pi * 0.015**2, rel=0.005)
    assert [one.kind for one in found.set_aside] == ["outside-lasso"]


def test_two_lassos_add_up():
    lassos = (square(0.03, 0.02, 0.06, 0.1), square(0.06, 0.02, 0.09, 0.1))
    found = scanned((0.06, 0.06, 0.02), by_hand=Corrections(lassos=lassos))
    assert found.contact_area.value == pytest.approx(DISC, rel=0.005)


@settings(max_examples=12, deadline=None)
@given(st.floats(0.043, 0.077))
def test_a_lasso_cuts_a_disc_where_it_says(x):
    found = scanned((0.06, 0.06, 0.02), by_hand=Corrections(lassos=(square(0.01, 0.01, x, 0.11),)))
    d = 0.06 - x
    segment = 0.02**2 * math.acos(d / 0.02) - d * math.sqrt(0.02**2 - d**2)
    edge = 2.0 * math.sqrt(0.02**2 - d**2)
    assert found.contact_area.value == pytest.approx(segment, rel=0.004, abs=0.15 * 0.000127 * edge)


@pytest.mark.parametrize("share", [0.25, 0.4, 0.6, 0.75])
def test_a_moved_outline_runs_where_a_blurred_edge_has_that_share(share):
    blur = 3.0
    usual = scanned((0.06, 0.06, 0.02), blur=blur)
    found = scanned((0.06, 0.06, 0.02), blur=blur, by_hand=Corrections(outline_at=share))
    assert (found.contact_area.value > usual.contact_area.value) == (share < 0.5)
    assert found.contact_area.budget["outline moved by hand"] > 0.0
    assert found.contact_area.low < usual.contact_area.value < found.contact_area.high
    step = abs(found.contact_area.value - usual.contact_area.value) / (2 * math.pi * 0.02) / 0.000127
    # an edge blurred by a normal distribution has that share at its quantile
    assert math.copysign(step, 0.5 - share) == pytest.approx(-blur * NormalDist().inv_cdf(share), rel=0.12)


def test_an_outline_hardly_moved_hardly_moves_the_area():
    usual = scanned((0.06, 0.06, 0.02), blur=2.0)
    found = scanned((0.06, 0.06, 0.02), blur=2.0, by_hand=Corrections(outline_at=0.501))
    assert found.contact_area.value == pytest.approx(usual.contact_area.value, rel=1e-3)
    assert "50.1 %" in said(found)


def test_corrections_on_a_photo_go_by_places_on_the_sheet():
    photo = simple_photo((0.07, 0.12, 0.015), (0.13, 0.18, 0.01))
    by_hand = Corrections(leave_out=((0.07, 0.12),))
    for bar in (None, 0.098):
        found = measure_footprint(
            photo, corrections=by_hand if bar is None else Corrections(leave_out=((0.0686, 0.1176),)), bar=bar
        )
        true = math.pi * 0.01**2 * (1.0 if bar is None else 0.98**2)
        assert found.contact_area.value == pytest.approx(true, rel=0.01)


def test_a_print_cut_in_two_by_lassos_has_the_area_of_both_halves():
    contact = palm_heel(np.random.default_rng(4)).moved(*MIDDLE)
    photo = rendered(contact)
    whole = measure_footprint(photo)
    x = MIDDLE[0] + 0.003
    halves = [
        measure_footprint(photo, corrections=Corrections(lassos=(square(*sides),)))
        for sides in ((0.0, 0.0, x, 0.3), (x, 0.0, 0.3, 0.3))
    ]
    together = sum(half.contact_area.value for half in halves)
    assert together == pytest.approx(whole.contact_area.value, rel=1e-3)


def test_the_same_corrections_give_the_same_again():
    by_hand = Corrections(
        leave_out=((0.09, 0.09),), lassos=(square(0.03, 0.02, 0.06, 0.06),), outline_at=0.45
    )
    first, second = (
        scanned(*TWO, blur=1.0, by_hand=again) for again in (by_hand, corrections_from(by_hand.as_dict()))
    )
    records = [to_record(found, file="a.png", sha256="ab", size=(9, 9)) for found in (first, second)]
    for name in ("contact_area", "inked_area"):
        for figure in ("value", "u", "low", "high"):
            assert records[0][name][figure] == pytest.approx(records[1][name][figure], rel=1e-9)
    assert records[0]["corrections"] == records[1]["corrections"]
    assert records[0]["flags"] == records[1]["flags"]
    assert records[0]["corrections"]["outline_at"] == 0.45
    assert len(records[0]["corrections"]["said"]) == 3


@pytest.mark.parametrize(
    ("by_hand", "code"),
    [
        (Corrections(leave_out=((0.1, 0.02),)), "no-patch-there"),
        (Corrections(leave_out=((0.5, 0.5),)), "no-patch-there"),
        (Corrections(leave_out=((0.04, 0.04), (0.09, 0.09))), "nothing-left"),
        (Corrections(take_in=((0.04, 0.04),)), "no-ink-there"),
        (Corrections(take_in=((0.1, 0.02),)), "no-ink-there"),
        (Corrections(lassos=(square(0.09, 0.01, 0.11, 0.03),)), "lasso-empty"),
    ],
)
def test_corrections_that_fit_nothing_are_refused(by_hand, code):
    with pytest.raises(WrongUseError) as refused:
        scanned(*TWO, by_hand=by_hand)
    assert refused.value.code == code
    assert refused.value.hint


@pytest.mark.parametrize(
    ("made", "code"),
    [
        ({"outline_at": 0.1}, "wrong-outline"),
        ({"outline_at": 0.9}, "wrong-outline"),
        ({"outline_at": math.nan}, "wrong-outline"),
        ({"leave_out": ((math.inf, 0.0),)}, "wrong-place"),
        ({"take_in": ((0.0, 60.0),)}, "wrong-place"),
        ({"lassos": ((),)}, "wrong-lasso"),
        ({"lassos": (((0.0, 0.0), (0.1, 0.0)),)}, "wrong-lasso"),
        ({"lassos": (((0.0, 0.0), (0.1, 0.0), (0.2, 0.0)),)}, "wrong-lasso"),
        ({"lassos": (((0.0, 0.0), (0.1, 0.1), (0.1, 0.0), (0.0, 0.1)),)}, "wrong-lasso"),
        ({"lassos": (((0.0, 0.0), (0.1, 0.0), (0.0, 0.1), (0.0, 0.0)),)}, "wrong-lasso"),
    ],
)
def test_corrections_that_cannot_be_meant_are_refused(made, code):
    with pytest.raises(WrongUseError) as refused:
        Corrections(**made)
    assert refused.value.code == code
    assert refused.value.hint


@pytest.mark.parametrize(
    "kept", [{"eraser": 1}, {"leave_out": 3}, {"lassos": [[1, 2]]}, {"outline_at": "half"}]
)
def test_a_damaged_record_is_refused(kept):
    with pytest.raises(WrongUseError) as refused:
        corrections_from(kept)
    assert refused.value.code == "wrong-corrections"


places = st.tuples(st.floats(0.0, 0.3), st.floats(0.0, 0.3))


@given(st.lists(places, max_size=4), st.lists(places, max_size=4), st.floats(0.2, 0.8))
def test_corrections_survive_being_kept(leave_out, take_in, share):
    made = Corrections(leave_out=tuple(leave_out), take_in=tuple(take_in), outline_at=share)
    assert corrections_from(made.as_dict()) == made
    assert bool(made) == bool(made.words())


@given(st.integers(3, 30), st.floats(0.0, 6.0))
def test_a_star_shaped_lasso_is_no_knot_but_a_pentagram_is(corners, turn):
    round_it = [turn + 2.0 * math.pi * n / corners for n in range(corners)]
    lasso = tuple((0.1 + 0.05 * math.cos(way), 0.1 + 0.05 * math.sin(way)) for way in round_it)
    assert Corrections(lassos=(lasso,))
    if corners % 2 and corners > 3:
        with pytest.raises(TameshiError):
            Corrections(lassos=((*lasso[::2], *lasso[1::2]),))
