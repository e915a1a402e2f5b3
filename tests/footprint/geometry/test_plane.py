"""Finding the paper's plane."""

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from tameshi.demo.photo import Camera, camera_matrix
from tameshi.footprint import sheet_layout
from tameshi.footprint.geometry.box import Box
from tameshi.footprint.geometry.lens import Lens
from tameshi.footprint.geometry.plane import (
    Plane,
    area_scatter,
    fit_plane,
    pixel_size,
    rectify,
    stated_plane,
    tilt,
    to_metres,
    to_pixels,
)
from tameshi.footprint.picture.light import as_grey
from tameshi.footprint.picture.view import View
from tameshi.footprint.references.target.corners import refine_markers
from tameshi.footprint.references.target.frame import frame_bulge
from tameshi.footprint.references.target.markers import find_markers
from tests.footprint.scenes import TEXEL, drawn_sheet

FloatArray = NDArray[np.float64]
OUTWARDS = np.tile(np.array([(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)]), (4, 1))


def seen_corners(
    camera: Camera, noise: float = 0.0, seed: int = 0, grown: float = 0.0
) -> tuple[FloatArray, FloatArray]:
    places = sheet_layout("a4").marker_corners.reshape(-1, 2)
    moved = places + grown * OUTWARDS
    lifted = np.column_stack([moved, np.ones(len(moved))]) @ camera_matrix("a4", camera).T
    exact = lifted[:, :2] / lifted[:, 2:]
    return places, exact + np.random.default_rng(seed).normal(0.0, noise, exact.shape)


def test_an_exact_view_is_found_exactly():
    camera = Camera(tilt=30.0, azimuth=70.0, roll=12.0)
    places, seen = seen_corners(camera)
    plane = fit_plane(places, OUTWARDS, seen)
    truth = camera_matrix("a4", camera)
    assert plane.matrix == pytest.approx(truth / truth[2, 2], rel=1e-6, abs=1e-9)
    assert plane.residual < 1e-6


def test_edges_that_all_grew_do_not_move_the_scale():
    places, seen = seen_corners(Camera(tilt=20.0), grown=0.0002)
    plane = fit_plane(places, OUTWARDS, seen)
    assert plane.edge_shift == pytest.approx(0.0002, rel=1e-3)
    zone = sheet_layout("a4").zone
    _, ungrown = seen_corners(Camera(tilt=20.0))
    exact = fit_plane(places, OUTWARDS, ungrown)
    assert to_pixels(plane, zone.corners) == pytest.approx(to_pixels(exact, zone.corners), abs=1e-4)


def test_the_stated_scatter_of_an_area_is_what_noise_makes_of_it():
    camera, place = Camera(tilt=25.0, azimuth=30.0), (0.1, 0.15)
    areas, stated = [], []
    for seed in range(200):
        places, seen = seen_corners(camera, noise=0.3, seed=seed)
        plane = fit_plane(places, OUTWARDS, seen)
        side = 0.0005
        square = np.array([place, (place[0] + side, place[1]), (place[0], place[1] + side)])
        a, b, c = to_pixels(plane, square)
        areas.append(abs(np.linalg.det(np.column_stack([b - a, c - a]))))
        stated.append(area_scatter(plane, place))
    assert np.std(areas) / np.mean(areas) == pytest.approx(np.mean(stated), rel=0.2)


def test_one_corner_far_off_hardly_moves_the_plane():
    places, seen = seen_corners(Camera(), noise=0.05)
    zone = sheet_layout("a4").zone.corners
    straight = to_pixels(fit_plane(places, OUTWARDS, seen), zone)
    seen[5] += (15.0, -12.0)
    assert to_pixels(fit_plane(places, OUTWARDS, seen), zone) == pytest.approx(straight, abs=1.5)


@pytest.mark.parametrize("angle", [5.0, 20.0, 35.0, 50.0])
def test_tilt_is_told_to_a_few_degrees(angle):
    camera = Camera(tilt=angle, azimuth=25.0, focal=0.9)
    places, seen = seen_corners(camera, noise=0.05)
    plane = fit_plane(places, OUTWARDS, seen)
    assert tilt(plane, camera.width, camera.height) == pytest.approx(angle, abs=4.0)


def test_pixels_and_metres_are_inverse():
    places, seen = seen_corners(Camera(tilt=33.0, azimuth=120.0))
    plane = fit_plane(places, OUTWARDS, seen)
    assert to_metres(plane, to_pixels(plane, places)) == pytest.approx(places, abs=1e-9)


def test_a_scan_has_the_pixel_that_was_stated():
    finest, coarsest = pixel_size(stated_plane((0.0001, 0.0002)), Box(0.0, 0.0, 0.1, 0.1))
    assert (finest, coarsest) == pytest.approx((0.0001, 0.0002))


def test_markers_are_found_to_a_small_part_of_a_pixel():
    view = View(drawn_sheet())
    corners = refine_markers(view.pixels, find_markers(view))
    exact = sheet_layout("a4").marker_corners / TEXEL - 0.5
    # the drawing itself places edges on quarters of a pixel
    assert corners.encoded == pytest.approx(exact, abs=0.15)
    assert corners.linear == pytest.approx(exact, abs=0.4)


def bulge_in(sheet, zone):
    """The bulge of the frame in a picture of a whole A4 sheet, seen squarely."""

    def look(box):
        left, top, right, bottom = (
            round(edge / TEXEL) for edge in (box.left, box.top, box.right, box.bottom)
        )
        return as_grey(np.ascontiguousarray(sheet[top:bottom, left:right]))

    return frame_bulge(look, Box(0.0, 0.0, 0.21, 0.297), zone, TEXEL)


def test_the_frame_of_a_flat_sheet_does_not_bulge():
    bulge = bulge_in(drawn_sheet(), sheet_layout("a4").zone)
    assert bulge.area == pytest.approx(0.0, abs=0.002)
    assert bulge.scatter < 0.0001


@pytest.mark.parametrize("k", [-0.4, 0.4, 1.0])
def test_the_frame_tells_a_radial_distortion(k):
    import cv2

    sheet, zone = drawn_sheet(), sheet_layout("a4").zone
    rows, columns = np.mgrid[0 : sheet.shape[0], 0 : sheet.shape[1]].astype(np.float64)
    middle = (0.5 * (zone.left + zone.right) / TEXEL, 0.5 * (zone.top + zone.bottom) / TEXEL)
    corner = (0.5 * zone.width) ** 2 + (0.5 * zone.height) ** 2
    x, y = (columns - middle[0]) * TEXEL, (rows - middle[1]) * TEXEL
    # a point drawn at r is seen at r (1 + k r^2) / (1 + k R^2): corners stay, the rest bends
    stretch = (1.0 + k * (x**2 + y**2)) / (1.0 + k * corner)
    maps = [
        (values / stretch / TEXEL + centre).astype(np.float32)
        for values, centre in zip((x, y), middle, strict=True)
    ]
    bent = cv2.remap(sheet, maps[0], maps[1], cv2.INTER_LINEAR)
    bulge = bulge_in(np.asarray(bent, np.uint8), zone)
    assert bulge.area == pytest.approx((1.0 + k * corner) ** -2 - 1.0, rel=0.25)


def test_a_hidden_frame_tells_nothing():
    bulge = bulge_in(np.full((1754, 1240, 3), 250, np.uint8), sheet_layout("a4").zone)
    assert bulge.area is None
    assert math.isfinite(bulge.scatter)


@pytest.mark.parametrize("corner", [(0.05, 0.06), (-0.02, -0.03), (0.16, 0.25), (0.4, 0.5)])
def test_rectifying_looks_where_the_homography_says(corner):
    """Source: OpenCV's warpPerspective of the whole picture in one; its edge is repeated beyond it."""
    import cv2

    pixels = np.random.default_rng(3).integers(0, 256, (400, 300, 3), np.uint8)
    matrix = np.array([[1800.0, 150.0, -20.0], [-90.0, 1700.0, 15.0], [0.4, 0.9, 1.0]])
    scale, box = 0.0007, Box(corner[0], corner[1], corner[0] + 0.14, corner[1] + 0.09)
    plane = Plane(matrix, np.eye(8))
    middles = np.array(
        [[scale, 0.0, box.left + 0.5 * scale], [0.0, scale, box.top + 0.5 * scale], [0.0, 0.0, 1.0]]
    )
    whole = cv2.warpPerspective(
        pixels,
        matrix @ middles,
        (200, 129),
        flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP,
        borderMode=cv2.BORDER_REPLICATE,
    )
    found = rectify(View(pixels), plane, box, scale, factor=1)
    assert found.shape == whole.shape
    assert np.abs(found.astype(int) - whole).max() <= 1


def test_a_lens_is_undone_where_it_says():
    """Every pixel by itself: OpenCV's remap to where plane and lens put its middle."""
    import cv2

    noise = np.random.default_rng(5).integers(0, 256, (400, 300, 3), np.uint8)
    pixels = np.asarray(cv2.GaussianBlur(noise, (0, 0), 2.0), np.uint8)
    matrix = np.array([[1800.0, 150.0, 20.0], [-90.0, 1700.0, 15.0], [0.4, 0.9, 1.0]])
    scale, box = 0.0007, Box(0.01, 0.02, 0.15, 0.11)
    plane = Plane(matrix, np.eye(8), lens=Lens(300, 400, 0.05))
    x, y = np.meshgrid(0.01 + scale * (np.arange(200) + 0.5), 0.02 + scale * (np.arange(129) + 0.5))
    seen = to_pixels(plane, np.column_stack([x.ravel(), y.ravel()])).astype(np.float32).reshape(129, 200, 2)
    exact = cv2.remap(pixels, seen[..., 0].copy(), seen[..., 1].copy(), cv2.INTER_LINEAR)
    found = rectify(View(pixels), plane, box, scale, factor=1)
    assert found.shape == exact.shape
    assert np.abs(found.astype(int) - exact).max() <= 2
    assert np.abs(found.astype(int) - exact).mean() < 0.1
