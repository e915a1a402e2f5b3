"""Several prints on one sheet: told apart, numbered as one reads them, put together again by hand."""

import json

import pytest

from tameshi.demo.prints import Blob, ContactPrint
from tameshi.errors import WrongUseError
from tameshi.footprint import Corrections, Footprint, as_dict, corrections_from, measure_footprint, to_record
from tameshi.quantity import from_record
from tests.footprint.scenes import rendered, scan_of, simple_photo
from tests.known import known

LEFT = ((0.03, 0.05, 0.011), (0.03, 0.076, 0.008))
RIGHT = ((0.12, 0.05, 0.009), (0.12, 0.074, 0.010))


def scanned(*discs: tuple[float, float, float], by_hand: Corrections | None = None) -> Footprint:
    scan = scan_of(*discs, dpi=150.0, size=(0.16, 0.14))
    return measure_footprint(scan, reference="scan:150", corrections=by_hand)


def codes(found: Footprint) -> list[str]:
    return [flag.code for flag in found.flags]


def test_left_and_right_are_two_prints_with_their_own_areas():
    found = scanned(*LEFT, *RIGHT)
    left, right = found.prints
    assert left.centroid[0] < right.centroid[0]
    assert left.index == 1
    assert left.contact_area.value == pytest.approx(3.14159 * (0.011**2 + 0.008**2), rel=0.01)
    assert right.contact_area.value == pytest.approx(3.14159 * (0.009**2 + 0.010**2), rel=0.01)
    assert left.contact_area.value + right.contact_area.value == pytest.approx(found.contact_area.value)
    assert sorted((*left.patches, *right.patches)) == [1, 2, 3, 4]
    (flag,) = [flag for flag in found.flags if flag.code == "several-prints"]
    assert "print 1 at x = 30 mm" in flag.message


def test_prints_below_each_other_are_numbered_from_the_top():
    found = scanned((0.05, 0.11, 0.012), (0.06, 0.03, 0.009))
    assert [round(one.centroid[1], 3) for one in found.prints] == [0.03, 0.11]


def test_patches_of_one_hand_are_one_print_without_a_flag():
    found = scanned(*LEFT)
    assert len(found.prints) == 1
    assert found.prints[0].contact_area.value == found.contact_area.value
    assert "several-prints" not in codes(found)


@pytest.mark.parametrize(("gap", "count"), [(0.036, 1), (0.044, 2)])
def test_the_gap_between_edges_decides(gap, count):
    found = scanned((0.04, 0.07, 0.012), (0.04 + 0.012 + gap + 0.012, 0.07, 0.012))
    assert len(found.prints) == count


def test_a_row_of_patches_is_one_print_however_long():
    found = scanned((0.02, 0.07, 0.008), (0.06, 0.07, 0.008), (0.10, 0.07, 0.008), (0.14, 0.07, 0.008))
    assert len(found.prints) == 1


def test_spacings_stay_within_a_print():
    found = scanned(*LEFT, *RIGHT)
    assert sorted(round(one.distance.value, 4) for one in found.spacings) == [0.024, 0.026]


def test_a_heel_and_a_ball_are_one_print_where_somebody_says_so():
    apart = scanned((0.03, 0.07, 0.015), (0.12, 0.07, 0.02))
    together = scanned((0.03, 0.07, 0.015), (0.12, 0.07, 0.02), by_hand=Corrections(apart=0.08))
    assert (len(apart.prints), len(together.prints)) == (2, 1)
    assert together.contact_area.value == pytest.approx(apart.contact_area.value)
    assert "corrected-by-hand" in codes(together)
    assert "80 mm apart" in together.corrections.words()[0]


def test_one_print_is_two_where_somebody_says_so():
    assert len(scanned(*LEFT, by_hand=Corrections(apart=0.005)).prints) == 2


def test_the_two_fists_on_a_photographed_sheet_are_told_apart():
    contact = ContactPrint("two", (Blob(0.075, 0.1, 0.012), Blob(0.075, 0.2, 0.010)))
    found = measure_footprint(rendered(contact))
    assert len(found.prints) == 2
    assert found.prints[0].contact_area.value == pytest.approx(3.14159 * 0.012**2, rel=0.02)


def test_a_second_print_left_out_by_hand_leaves_one():
    found = scanned(LEFT[0], RIGHT[0], by_hand=Corrections(leave_out=((0.12, 0.05),)))
    assert len(found.prints) == 1
    assert "several-prints" not in codes(found)


def test_prints_are_kept_with_what_their_areas_share():
    found = scanned(*LEFT, *RIGHT)
    kept = json.loads(json.dumps(to_record(found, file="a.png", sha256="ab", size=(1, 2))))
    area = known(from_record(kept["prints"][1]["contact_area"]))
    assert area.parts == found.prints[1].contact_area.parts
    shown = as_dict(found, file="a.png", sha256="ab", size=(1, 2))
    assert [one["patches"] for one in shown["prints"]] == [list(one.patches) for one in found.prints]
    assert {tuple(one["between"]) for one in shown["spacings"]} == {one.between for one in found.spacings}


def test_a_moved_outline_moves_prints_and_axes_with_it():
    photo = simple_photo((0.07, 0.12, 0.015))
    plain = measure_footprint(photo)
    moved = measure_footprint(photo, corrections=Corrections(outline_at=0.3))
    assert moved.prints[0].contact_area.value == pytest.approx(moved.contact_area.value)
    assert "outline moved by hand" in moved.prints[0].contact_area.budget
    assert "outline moved by hand" in moved.patches[0].axes.major.budget
    assert moved.patches[0].axes.major.value > plain.patches[0].axes.major.value


@pytest.mark.parametrize("apart", [0.0, -0.01, 0.0001, 3.0, float("nan")])
def test_a_distance_that_parts_nothing_is_refused(apart):
    with pytest.raises(WrongUseError, match="cannot be told apart by"):
        Corrections(apart=apart)


def test_the_distance_survives_being_kept():
    kept = Corrections(apart=0.07)
    assert corrections_from(kept.as_dict()) == kept
    assert "apart" not in Corrections(outline_at=0.4).as_dict()
