"""The renderer's truth, checked by counting and by geometry, not by what measures prints."""

import math
from dataclasses import replace

import cv2
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tameshi.demo.photo import (
    Camera,
    Finish,
    Light,
    Printed,
    Setting,
    Surface,
    camera_matrix,
    render_photo,
    render_scan,
)
from tameshi.demo.prints import (
    TECHNIQUES,
    Blob,
    ContactPrint,
    Ridges,
    draw,
    inked_area,
    thrown_droplets,
    wobbly_blob,
)
from tameshi.footprint import Box, sheet_layout

PLAIN = Finish(blur=0.0, noise=0.0, texture=0.0)


def counted(contact: ContactPrint, texel: float = 5e-5) -> float:
    """Area of a print by counting fine squares whose middle is inside: no partial cover, no formula."""
    blob = contact.patches[0]
    fine = texel / 4.0
    half = blob.reach + 0.001
    along = np.arange(-half, half, fine) + 0.5 * fine
    x, y = np.meshgrid(blob.x + along, blob.y + along)
    inside = sum(np.count_nonzero(patch.depth(x, y) > 0.0) for patch in contact.patches)
    return inside * fine * fine


@settings(max_examples=15, deadline=None)
@given(seed=st.integers(0, 10_000), stretch=st.floats(1.0, 2.0), area=st.floats(2e-4, 20e-4))
def test_a_blobs_formula_is_what_counting_gives(seed, stretch, area):
    blob = wobbly_blob(np.random.default_rng(seed), 0.0, 0.0, area, stretch=stretch)
    assert blob.area == pytest.approx(area, rel=1e-12)
    assert counted(ContactPrint("one", (blob,)), texel=3e-4) == pytest.approx(area, rel=3e-3)


def test_a_rings_formula_is_what_counting_gives():
    ring = Blob(0.0, 0.0, 0.02, hollow=Blob(0.0, 0.0, 0.008))
    assert ring.area == pytest.approx(math.pi * (0.02**2 - 0.008**2))
    assert counted(ContactPrint("ring", (ring,))) == pytest.approx(ring.area, rel=1e-3)


def test_drawn_cover_adds_up_to_the_formula():
    blob = wobbly_blob(np.random.default_rng(1), 0.0, 0.0, 9e-4)
    picture = draw(ContactPrint("one", (blob,)), Box(-0.04, -0.04, 0.04, 0.04), 1e-4)
    assert float(picture.sum()) * 1e-8 == pytest.approx(9e-4, rel=3e-4)


def test_bleed_adds_the_edge_times_its_width():
    circle = ContactPrint("circle", (Blob(0.0, 0.0, 0.02),))
    box = Box(-0.03, -0.03, 0.03, 0.03)
    plain, bled = (float(draw(circle, box, 5e-5, bleed=by).sum()) * 25e-10 for by in (0.0, 1e-4))
    assert bled - plain == pytest.approx(math.pi * (0.0201**2 - 0.02**2), rel=0.01)


def test_ridges_leave_the_stated_share():
    circle = ContactPrint("circle", (Blob(0.0, 0.0, 0.01),), ridges=Ridges(share=0.6))
    assert inked_area(circle, texel=4e-5) == pytest.approx(0.6 * circle.contact_area, rel=0.01)
    assert inked_area(replace(circle, ridges=None)) == circle.contact_area


def test_droplets_keep_clear_of_the_print():
    contact = thrown_droplets(
        np.random.default_rng(2),
        ContactPrint("c", (Blob(0.09, 0.14, 0.02),)),
        6,
        within=Box(0.03, 0.06, 0.16, 0.22),
    )
    assert len(contact.droplets) == 6
    for drop in contact.droplets:
        assert math.hypot(drop.x - 0.09, drop.y - 0.14) > 0.02 + drop.radius


@pytest.mark.parametrize("technique", sorted(TECHNIQUES))
def test_a_techniques_patches_do_not_overlap(technique):
    for seed in range(5):
        contact = TECHNIQUES[technique](np.random.default_rng(seed))
        picture = draw(contact, Box(-0.08, -0.08, 0.08, 0.08), 2e-4)
        assert float(picture.sum()) * 4e-8 == pytest.approx(contact.contact_area, rel=2e-3)
        count, _ = cv2.connectedComponents((picture > 0.5).astype(np.uint8))
        assert count - 1 == len(contact.patches)


def test_the_camera_puts_the_sheets_middle_in_the_pictures_middle():
    camera = Camera(width=800, height=600, tilt=30.0, azimuth=77.0, roll=12.0, fill=0.7)
    sheet = sheet_layout("a4")
    x, y, w = camera_matrix("a4", camera) @ (sheet.width / 2.0, sheet.height / 2.0, 1.0)
    assert (x / w, y / w) == pytest.approx((399.5, 299.5))


def test_a_square_view_has_the_stated_scale():
    camera = Camera(width=800, height=1000, fill=0.9)
    sheet = sheet_layout("a4")
    matrix = camera_matrix("a4", camera)
    ends = [matrix @ (0.1, y, 1.0) for y in (0.0, sheet.height)]
    assert abs(ends[1][1] / ends[1][2] - ends[0][1] / ends[0][2]) == pytest.approx(0.9 * 1000.0)


def test_ink_in_the_photo_covers_what_the_camera_makes_of_its_area():
    camera = Camera(width=1200, height=1600, tilt=25.0, azimuth=30.0, fill=0.8)
    contact = ContactPrint("disc", (Blob(0.09, 0.14, 0.015),))
    surface = Surface(paper=(1.0, 1.0, 1.0), ink=(0.0, 0.0, 0.0))
    setting = Setting(camera=camera, finish=PLAIN, surface=surface, light=Light(level=1.0))
    photo = render_photo(contact, setting, np.random.default_rng(0)).astype(float) / 255.0
    linear = np.where(photo <= 0.04045, photo / 12.92, ((photo + 0.055) / 1.055) ** 2.4)[:, :, 1]
    turn = np.linspace(0.0, 2.0 * math.pi, 2000)
    rim = np.column_stack([0.09 + 0.015 * np.cos(turn), 0.14 + 0.015 * np.sin(turn), np.ones(2000)])
    seen = rim @ camera_matrix("a4", camera).T
    outline = (seen[:, :2] / seen[:, 2:]).astype(np.float32)
    x, y, w, h = cv2.boundingRect(outline)
    part = linear[y - 5 : y + h + 5, x - 5 : x + w + 5]
    assert (1.0 - part).sum() == pytest.approx(cv2.contourArea(outline), rel=2e-3)


def test_the_printers_scale_moves_markers_but_not_the_struck_print():
    contact = ContactPrint("disc", (Blob(0.09, 0.14, 0.015),))
    camera = Camera(width=600, height=800)
    pictures = [
        render_photo(
            contact,
            Setting(camera=camera, finish=PLAIN, printed=Printed(scale=(s, s))),
            np.random.default_rng(0),
        )
        for s in (1.0, 0.95)
    ]
    different = np.abs(pictures[0].astype(int) - pictures[1]).max(axis=2) > 30
    x, y, w = camera_matrix("a4", camera) @ (0.09, 0.14, 1.0)
    around = different[int(y / w) - 45 : int(y / w) + 45, int(x / w) - 45 : int(x / w) + 45]
    assert different.any()
    assert not around.any()


def test_the_same_generator_gives_the_same_photo_and_another_gives_another():
    contact = ContactPrint("disc", (Blob(0.09, 0.14, 0.015),))
    setting = Setting(camera=Camera(width=300, height=400), surface=Surface(patchiness=0.1, clutter=3))
    one, same, other = (render_photo(contact, setting, np.random.default_rng(seed)) for seed in (1, 1, 2))
    assert np.array_equal(one, same)
    assert not np.array_equal(one, other)


def test_a_scans_dark_pixels_add_up_to_the_area():
    contact = ContactPrint("disc", (Blob(0.03, 0.03, 0.012),))
    surface = Surface(paper=(1.0, 1.0, 1.0), ink=(0.0, 0.0, 0.0))
    scan = (
        render_scan(
            contact,
            Box(0.0, 0.0, 0.06, 0.06),
            300.0,
            np.random.default_rng(0),
            surface=surface,
            finish=replace(PLAIN, blur=0.0),
            scale=(1.004, 1.004),
        ).astype(float)
        / 255.0
    )
    linear = np.where(scan <= 0.04045, scan / 12.92, ((scan + 0.055) / 1.055) ** 2.4)[:, :, 1]
    linear = linear / np.median(linear)
    area = float((1.0 - linear).sum()) * (0.0254 / 300.0) ** 2
    assert area == pytest.approx(contact.contact_area * 1.004**2, rel=3e-3)
