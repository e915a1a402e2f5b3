"""A lens that bends lines is undone, and what one photo shows of it serves the camera's other photos."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tameshi.demo.photo import Camera, camera_matrix
from tameshi.demo.plain import Lying
from tameshi.errors import UnreadableError, WrongUseError
from tameshi.footprint import (
    Footprint,
    KnownLens,
    Lens,
    Picked,
    PickedPoint,
    lens_text,
    measure_footprint,
    parse_lens,
)
from tests.footprint.rulers import measured_with
from tests.footprint.scenes import disc, plain_photo, rendered

DISC = np.pi * 0.02**2
K = -0.03


@cache
def taken(k: float = K) -> Footprint:
    return measure_footprint(
        rendered(disc(), camera=Camera(width=1500, height=2000, fill=0.85, distortion=k))
    )


def known(k: float = K, u: float = 0.0005, shape: float = 4.0 / 3.0, focal: float | None = None) -> KnownLens:
    return KnownLens(k=k, u=u, shape=shape, focal=focal)


@pytest.mark.parametrize("k", [-0.03, 0.02])
def test_the_target_sheet_shows_the_lens(k):
    lens = taken(k).reference.lens
    assert lens is not None
    assert lens.k == pytest.approx(k, abs=0.002)
    assert abs(lens.k - k) < 4.0 * lens.u
    assert "a lens that bends lines undone" in taken(k).reference.said
    assert taken(k).contact_area.value == pytest.approx(DISC, rel=0.008)
    assert "sheet-not-flat" not in [flag.code for flag in taken(k).flags]


def test_a_straight_lens_is_left_alone():
    straight = taken(0.0)
    assert straight.reference.lens is None
    assert "lens" not in straight.reference.said


@given(
    points=st.lists(st.tuples(st.floats(0, 999), st.floats(0, 799)), min_size=1, max_size=9),
    k=st.floats(-0.1, 0.1),
)
def test_there_and_back_is_the_same_place(points, k):
    lens = Lens(1000, 800, k)
    places = np.array(points)
    assert lens.straightened(lens.bent(places)) == pytest.approx(places, abs=0.05)
    step = 1e-3
    for axis, shift in enumerate(np.eye(2) * step):
        slope = (lens.bent(places + shift) - lens.bent(places - shift)) / (2.0 * step)
        assert lens.slope(places)[:, :, axis] == pytest.approx(slope, abs=1e-6)


def test_a_picture_is_straightened_as_its_points_are():
    lens = Lens(400, 300, -0.08)
    picture = np.zeros((300, 400, 3), np.uint8)
    place = np.array([[60.0, 50.0]])
    x, y = np.rint(lens.bent(place)[0]).astype(int)
    picture[y - 2 : y + 3, x - 2 : x + 3] = 255
    rows, columns = np.nonzero(lens.straighten(picture)[:, :, 0] > 128)
    assert (columns.mean(), rows.mean()) == pytest.approx(tuple(place[0]), abs=0.8)


@given(
    k=st.floats(-0.2, 0.2), u=st.floats(1e-5, 0.1), shape=st.floats(1.0, 3.0),
    focal=st.one_of(st.none(), st.floats(0.2, 5.0)),
)  # fmt: skip
def test_a_lens_file_reads_as_it_was_written(k, u, shape, focal):
    again = parse_lens(lens_text(KnownLens(k=k, u=u, shape=shape, focal=focal, said='a "b" \\ c')))
    assert (again.k, again.u) == pytest.approx((k, u), abs=1e-6)
    assert again.shape == pytest.approx(shape, abs=1e-4)
    assert again.focal == (None if focal is None else pytest.approx(focal, abs=1e-4))


@pytest.mark.parametrize(
    "text",
    [
        "no toml [",
        "k = 1",
        "[lens]\nk = 0.01",
        "[lens]\nk = 0.9\nu = 0.001\nshape = 1.33",
        '[lens]\nk = "x"\nu = 0.001\nshape = 1.33',
        "[lens]\nk = nan\nu = 0.001\nshape = 1.33",
        "[lens]\nk = 0.01\nu = 0.0\nshape = 1.33",
    ],
)
def test_what_is_no_lens_file_is_refused(text):
    with pytest.raises(UnreadableError, match=r"camera\.toml is no lens file"):
        parse_lens(text, "camera.toml")


def test_a_known_lens_serves_where_the_reference_shows_none():
    camera = Camera(width=1500, height=2000, tilt=10.0, azimuth=40.0, fill=0.75, distortion=K)
    photo = plain_photo(disc(), lying=Lying(), camera=camera)
    corners = Lying().box.grown(-0.012).corners
    lifted = np.column_stack([corners, np.ones(4)]) @ camera_matrix("a4", camera).T
    seen = Lens(1500, 2000, K).bent(lifted[:, :2] / lifted[:, 2:])
    picked = Picked(
        points=tuple(PickedPoint(tuple(s), tuple(p)) for s, p in zip(seen, corners, strict=True)),
        within=0.5,
        placed_within=0.00002,
    )
    bent, undone = (measure_footprint(photo, reference=picked, lens=lens) for lens in (None, known()))
    assert abs(bent.contact_area.value / DISC - 1.0) > 0.01
    assert undone.contact_area.value == pytest.approx(DISC, rel=0.006)
    assert "undone (-3.0 %, as it is known)" in undone.reference.said


def test_a_ruler_takes_the_lens_from_the_file():
    camera = Camera(width=1000, height=1200, fill=0.9, roll=4.0, distortion=K)
    lens = known(shape=1.2)
    found = measure_footprint(measured_with(camera=camera), reference="ruler:flat", lens=lens)
    small = np.pi * 0.012**2
    assert found.contact_area.value == pytest.approx(small, rel=0.02)
    assert found.contact_area.low < small < found.contact_area.high
    assert "as it is known" in found.reference.said


def test_the_sheets_take_the_lens_from_the_file_and_show_none_of_their_own():
    for photo in (
        plain_photo(distortion=K),
        rendered(disc(), camera=Camera(width=1500, height=2000, fill=0.85, distortion=K)),
    ):
        found = measure_footprint(photo, lens=known())
        assert found.reference.lens is None
        assert found.contact_area.value == pytest.approx(DISC, rel=0.008)
        assert found.contact_area.low < DISC < found.contact_area.high


def test_a_wrong_lens_is_seen_on_the_target_sheet():
    photo = rendered(disc(), camera=Camera(width=1500, height=2000, fill=0.85))
    found = measure_footprint(photo, lens=known(k=-0.04))
    assert "sheet-not-flat" in [flag.code for flag in found.flags]
    assert found.contact_area.low < DISC < found.contact_area.high


def test_the_lens_of_another_camera_is_refused():
    photo = plain_photo()
    for lens, focal in ((known(shape=1.5), None), (known(focal=0.6), 0.9)):
        with pytest.raises(WrongUseError, match="another camera, another zoom, or a cropped picture"):
            measure_footprint(photo, lens=lens, focal=focal)
    assert measure_footprint(photo, lens=replace(known(k=0.0), focal=0.6), focal=0.61).flags is not None
