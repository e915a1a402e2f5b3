"""Points picked by hand: what they give, what their doubt does, and which are refused."""

import numpy as np
import pytest

from tameshi.demo.photo import Camera, camera_matrix
from tameshi.errors import UnitError, WrongUseError
from tameshi.footprint import Picked, PickedPoint, measure_footprint, parse_points
from tests.footprint.scenes import plain_photo

DISC = np.pi * 0.02**2
CAMERA = Camera(width=900, height=1200, tilt=15.0, azimuth=30.0, roll=4.0, fill=0.72)
PLACES = ((0.02, 0.03), (0.19, 0.03), (0.19, 0.27), (0.02, 0.27))


def picked(places=PLACES, *, off=0.0, **doubt):
    lifted = np.column_stack([np.array(places), np.ones(len(places))]) @ camera_matrix("a4", CAMERA).T
    seen = lifted[:, :2] / lifted[:, 2:] + off
    points = [
        PickedPoint((float(s[0]), float(s[1])), (float(p[0]), float(p[1])))
        for s, p in zip(seen, places, strict=True)
    ]
    return Picked(points=tuple(points), **doubt)


@pytest.fixture(scope="module")
def photo():
    return plain_photo(camera=CAMERA)


def refused(photo, points):
    with pytest.raises(WrongUseError) as caught:
        measure_footprint(photo, reference=points)
    assert caught.value.hint.endswith(".")
    return caught.value


def test_four_points_give_scale(photo):
    found = measure_footprint(photo, reference=picked())
    assert found.reference.kind == "points"
    assert found.reference.said == "4 points picked by hand to within 2 pixels, 15 degrees from square."
    assert found.contact_area.value == pytest.approx(DISC, rel=0.015)
    assert found.contact_area.low < DISC < found.contact_area.high
    assert found.patches[0].centroid == pytest.approx((0.09, 0.14), abs=0.001)


def test_more_points_and_finer_picking_leave_less_in_doubt(photo):
    four = measure_footprint(photo, reference=picked()).contact_area
    more = (*PLACES, (0.1, 0.03), (0.19, 0.15), (0.1, 0.27), (0.02, 0.15))
    eight = measure_footprint(photo, reference=picked(more)).contact_area
    fine = measure_footprint(photo, reference=picked(within=0.3, placed_within=0.0001)).contact_area
    line = "reference points"
    assert fine.budget[line] < 0.5 * eight.budget[line] < 0.5 * four.budget[line]


def test_the_doubt_of_points_is_what_picking_again_scatters_by():
    from tameshi.footprint.geometry.plane import area_scatter, fit_known

    exact = picked()
    seen = np.array([point.seen for point in exact.points])
    places = np.array(PLACES)
    rng = np.random.default_rng(7)
    middle = (0.105, 0.15)
    u = 1.5
    areas = []
    for _ in range(300):
        plane = fit_known(places, seen + rng.normal(0.0, u, (4, 2)), u**2 * np.eye(8))
        lifted = plane.matrix @ np.array([*middle, 1.0])
        point = lifted[:2] / lifted[2]
        slope = (plane.matrix[:2, :2] - np.outer(point, plane.matrix[2, :2])) / lifted[2]
        areas.append(np.log(np.linalg.det(slope)))
    stated = area_scatter(fit_known(places, seen, u**2 * np.eye(8)), middle)
    assert np.std(areas) == pytest.approx(stated, rel=0.15)


def test_places_measured_upwards_are_turned_over(photo):
    points = tuple(PickedPoint(one.seen, (one.place[0], 0.3 - one.place[1])) for one in picked().points)
    found = measure_footprint(photo, reference=Picked(points=points))
    assert found.contact_area.value == pytest.approx(DISC, rel=0.015)


def test_points_without_any_are_too_few(photo):
    assert refused(photo, "points").code == "too-few-points"
    error = refused(photo, picked(PLACES[:3]))
    assert error.code == "too-few-points"
    assert error.message.startswith("3 points were picked")


def test_three_points_on_a_line_are_refused_by_number(photo):
    error = refused(photo, picked(((0.02, 0.03), (0.1, 0.03), (0.19, 0.03), (0.1, 0.27))))
    assert error.code == "points-in-line"
    assert "Points 1, 2, 3 lie on one line in the picture" in error.message


def test_a_point_given_twice_is_refused(photo):
    assert refused(photo, picked((*PLACES[:3], PLACES[0]))).code == "points-in-line"


def test_exchanged_points_are_refused(photo):
    right = picked().points
    crossed = (
        right[0],
        PickedPoint(right[1].seen, right[2].place),
        PickedPoint(right[2].seen, right[1].place),
    )
    error = refused(photo, Picked(points=(*crossed, right[3])))
    assert error.code == "points-crossed"


def test_a_point_outside_of_the_picture_is_refused_with_its_number(photo):
    error = refused(photo, picked(off=np.array([[0.0, 0.0], [2000.0, 0.0], [0.0, 0.0], [0.0, 0.0]])))
    assert error.code == "point-outside"
    assert error.message.startswith("Point 2 at ")
    assert "900 x 1200 pixels" in error.message


def test_points_that_do_not_fit_each_other_are_refused(photo):
    more = (*PLACES, (0.1, 0.15))
    off = np.zeros((5, 2))
    off[4] = (60.0, 0.0)
    assert refused(photo, picked(more, off=off)).code == "points-at-odds"


@pytest.mark.parametrize(
    "text", ["", "1,2", "1,2=3 mm", "a,b=1 mm,2 mm", "1..2,3=1 mm,2 mm", "1,2=1 mm,2 mm,3 mm"]
)
def test_text_that_is_no_point_is_refused(text):
    with pytest.raises(WrongUseError, match="is no point"):
        parse_points([text])


def test_a_length_without_a_unit_is_refused():
    with pytest.raises(UnitError) as caught:
        parse_points(["1,2=3,4 mm"])
    assert caught.value.code == "unit-missing"


def test_points_are_read_with_any_length_unit():
    (point,) = parse_points(["812.5, 455 = 1 in ; 10 cm"])
    assert point.seen == (812.5, 455.0)
    assert point.place == pytest.approx((0.0254, 0.1))


@pytest.mark.parametrize("doubt", [{"within": 0.0}, {"within": 1000.0}, {"placed_within": -1.0}])
def test_doubts_that_cannot_be_meant_are_refused(doubt):
    with pytest.raises(WrongUseError):
        Picked(points=(), **doubt)
