"""Contact prints of known area, through the whole measurement."""

import math
from dataclasses import replace

import cv2
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tameshi.demo.photo import Camera, Finish, Light, Printed, Surface, render_scan
from tameshi.demo.prints import Blob, ContactPrint, Ridges, inked_area, palm_heel, thrown_droplets
from tameshi.footprint import BAR_LENGTH, Box, measure_footprint
from tests.footprint.scenes import (
    INK,
    MIDDLE,
    TEXEL,
    disc,
    drawn_sheet,
    inked,
    rendered,
    scan_of,
    simple_photo,
    snapped,
)


def disc_area(picture_discs):
    return sum(math.pi * radius**2 for *_, radius in picture_discs)


def test_a_plain_photo_gives_the_area_to_half_a_percent():
    found = measure_footprint(simple_photo())
    assert found.contact_area.value == pytest.approx(math.pi * 0.02**2, rel=0.005)
    assert found.contact_area.unit == "m2"
    assert [flag.code for flag in found.flags if flag.code != "ridges-unresolved"] == [
        "print-scale-unchecked"
    ]


@pytest.mark.parametrize("tilt", [0.0, 20.0, 35.0])
def test_tilt_does_not_change_the_area(tilt):
    photo = rendered(disc(), camera=Camera(width=1500, height=2000, tilt=tilt, azimuth=50.0, fill=0.72))
    found = measure_footprint(photo)
    assert found.contact_area.value == pytest.approx(math.pi * 0.02**2, rel=0.01)
    assert found.reference.tilt_deg == pytest.approx(tilt, abs=3.0)
    assert found.reference.residual_px < 0.6


def test_a_hard_photo_is_still_right():
    surface = Surface(paper=(0.8, 0.76, 0.66), ink=(0.35, 0.06, 0.07), clutter=8, patchiness=0.1)
    light = Light(
        level=0.6, gradient=0.4, direction=40.0, shadow=0.45, softness=0.2, balance=(1.0, 0.95, 0.7)
    )
    camera = Camera(width=1500, height=2000, tilt=28.0, azimuth=200.0, roll=8.0, fill=0.72)
    contact = palm_heel(np.random.default_rng(4)).moved(*MIDDLE)
    photo = rendered(
        contact, surface=surface, light=light, camera=camera, finish=Finish(blur=1.1, noise=0.012)
    )
    found = measure_footprint(photo)
    assert len(found.patches) == 2
    assert found.contact_area.value == pytest.approx(contact.contact_area, rel=0.02)
    assert found.contact_area.low < contact.contact_area < found.contact_area.high


@pytest.mark.parametrize("turn", [1, 2, 3])
def test_a_turned_sheet_gives_the_same_print_at_the_same_place(turn):
    sheet = drawn_sheet((0.06, 0.11, 0.015))
    upright = measure_footprint(snapped(sheet, width=1500, height=1500))
    turned = measure_footprint(snapped(sheet, width=1500, height=1500, turn=turn))
    assert turned.contact_area.value == pytest.approx(upright.contact_area.value, rel=0.005)
    assert turned.patches[0].centroid == pytest.approx(upright.patches[0].centroid, abs=2e-4)


def test_the_centroid_is_in_metres_from_the_corner_of_the_sheet():
    found = measure_footprint(simple_photo((0.06, 0.11, 0.015)))
    assert found.patches[0].centroid == pytest.approx((0.06, 0.11), abs=2e-4)
    assert found.patches[0].width == pytest.approx(0.03, rel=0.02)
    assert found.patches[0].height == pytest.approx(0.03, rel=0.02)
    assert found.patches[0].perimeter == pytest.approx(2.0 * math.pi * 0.015, rel=0.05)


@pytest.mark.parametrize("form", ["grey", "grey with axis", "with opacity", "sixteen bits"])
def test_the_form_of_the_pixels_does_not_matter(form):
    colour = simple_photo()
    grey = np.asarray(cv2.cvtColor(colour, cv2.COLOR_RGB2GRAY))
    picture = {
        "grey": grey,
        "grey with axis": grey[:, :, None],
        "with opacity": np.dstack([colour, np.full(grey.shape, 255, np.uint8)]),
        "sixteen bits": colour.astype(np.uint16) * 257,
    }[form]
    assert measure_footprint(picture).contact_area.value == pytest.approx(math.pi * 0.02**2, rel=0.006)


def test_a_sheet_that_fills_the_picture_and_one_that_is_small_in_it_agree():
    sheet = drawn_sheet((*MIDDLE, 0.02))
    filling = measure_footprint(snapped(sheet, margin=0.0))
    small = measure_footprint(snapped(sheet, width=2250, height=3000, margin=0.3))
    assert filling.contact_area.value == pytest.approx(small.contact_area.value, rel=0.01)


def test_a_measured_bar_scales_the_area_by_its_square():
    photo = simple_photo()
    plain = measure_footprint(photo)
    shrunk = measure_footprint(photo, bar=0.97 * BAR_LENGTH)
    assert shrunk.contact_area.value == pytest.approx(0.97**2 * plain.contact_area.value, rel=1e-12)
    assert shrunk.patches[0].centroid[0] == pytest.approx(0.97 * plain.patches[0].centroid[0], rel=1e-12)
    assert "bar reading" in shrunk.contact_area.budget
    assert "print-scale-unchecked" not in [flag.code for flag in shrunk.flags]
    assert shrunk.contact_area.budget["bar reading"] < plain.contact_area.budget["printer's scale"]


def test_a_shrunk_print_out_is_put_right_by_the_bar():
    photo = rendered(disc(), printed=Printed(scale=(0.96, 0.96)))
    found = measure_footprint(photo, bar=0.96 * BAR_LENGTH)
    assert found.contact_area.value == pytest.approx(math.pi * 0.02**2, rel=0.01)


def test_prints_of_one_sheet_share_the_error_of_its_scale():
    photo = simple_photo()
    one, other = (measure_footprint(photo, bar=0.1, key=key).contact_area for key in ("a", "b"))
    ratio = one / other
    assert "bar reading" not in ratio.budget
    assert "resolution" in ratio.budget


def test_several_patches_are_numbered_from_the_largest():
    discs = [(0.05, 0.10, 0.008), (0.09, 0.14, 0.016), (0.12, 0.20, 0.012)]
    found = measure_footprint(simple_photo(*discs))
    assert [patch.index for patch in found.patches] == [1, 2, 3]
    areas = [patch.contact_area.value for patch in found.patches]
    assert areas == pytest.approx([math.pi * r**2 for r in (0.016, 0.012, 0.008)], rel=0.01)
    assert found.contact_area.value == pytest.approx(sum(areas), rel=1e-12)


def test_droplets_are_set_aside_with_their_area():
    zone = Box(0.03, 0.06, 0.17, 0.24)
    contact = thrown_droplets(np.random.default_rng(5), disc(), 4, within=zone)
    found = measure_footprint(rendered(contact))
    assert found.contact_area.value == pytest.approx(math.pi * 0.02**2, rel=0.01)
    assert [one.kind for one in found.set_aside] == ["droplet"] * 4
    assert sum(one.area for one in found.set_aside) == pytest.approx(contact.set_aside_area, rel=0.08)


def test_writing_inside_the_zone_is_set_aside_as_lines():
    sheet = drawn_sheet((*MIDDLE, 0.02))
    cv2.putText(sheet, "A07", (300, 1200), cv2.FONT_HERSHEY_SIMPLEX, 2.0, INK, 3)
    found = measure_footprint(snapped(sheet))
    assert found.contact_area.value == pytest.approx(math.pi * 0.02**2, rel=0.005)
    assert {one.kind for one in found.set_aside} == {"line"}
    assert "set-aside" in [flag.code for flag in found.flags]


def test_gaps_between_ridges_count_as_contact_but_not_as_ink():
    contact = replace(disc(0.012, 0.03, 0.03), ridges=Ridges(period=0.0008, share=0.6))
    scan = render_scan(contact, Box(0.0, 0.0, 0.06, 0.06), 600.0, np.random.default_rng(1))
    found = measure_footprint(scan, reference="scan:600")
    assert found.contact_area.value == pytest.approx(contact.contact_area, rel=0.01)
    truth = inked_area(contact, texel=4e-5)
    assert inked(found).value == pytest.approx(truth, rel=0.06)
    assert inked(found).low < truth < inked(found).high


def test_a_large_hollow_is_left_out_and_the_filled_area_is_told():
    ring = ContactPrint("ring", (Blob(*MIDDLE, 0.02, hollow=Blob(*MIDDLE, 0.008)),))
    found = measure_footprint(rendered(ring))
    assert found.contact_area.value == pytest.approx(ring.contact_area, rel=0.01)
    assert found.patches[0].hollow_area == pytest.approx(math.pi * 0.008**2, rel=0.03)
    assert len(found.patches[0].outlines) == 2
    message = next(flag.message for flag in found.flags if flag.code == "hollow")
    assert f"{math.pi * 20.0**2:.0f}"[:3] in message


def test_edges_mixed_as_light_or_as_stored_values_give_the_same_area():
    areas = [
        measure_footprint(rendered(disc(0.01), finish=Finish(blur=1.4, linear=mixed))).contact_area
        for mixed in (True, False)
    ]
    for area in areas:
        assert area.value == pytest.approx(math.pi * 0.01**2, rel=0.012)
        assert "light at the edge" in area.budget


def test_blur_does_not_move_the_area():
    areas = [
        measure_footprint(rendered(disc(), finish=Finish(blur=blur))).contact_area.value
        for blur in (0.5, 1.5, 3.0)
    ]
    assert areas == pytest.approx([math.pi * 0.02**2] * 3, rel=0.012)


def test_a_hard_shadow_across_the_print_does_not_move_the_area():
    photo = simple_photo().astype(float)
    photo[:, 480:] *= 0.75
    found = measure_footprint(photo.astype(np.uint8))
    assert found.contact_area.value == pytest.approx(math.pi * 0.02**2, rel=0.01)


@settings(max_examples=25, deadline=None)
@given(
    radius=st.floats(0.004, 0.03),
    x=st.floats(0.05, 0.07),
    y=st.floats(0.05, 0.07),
    dpi=st.sampled_from([150.0, 200.0, 300.0]),
)
def test_a_hard_edged_disc_on_a_perfect_scan(radius, x, y, dpi):
    scan = scan_of((x, y, radius), dpi=dpi)
    drawn = np.count_nonzero((scan == INK).all(axis=2)) * (0.0254 / dpi) ** 2
    found = measure_footprint(scan, reference=f"scan:{dpi:.0f}")
    assert found.contact_area.value == pytest.approx(drawn, rel=0.004)
    assert found.contact_area.low < drawn < found.contact_area.high


def test_the_printed_frame_and_words_are_never_ink():
    found = measure_footprint(simple_photo())
    assert found.set_aside == ()


def test_measuring_twice_gives_the_same_and_leaves_the_pixels_alone():
    photo = simple_photo()
    before = photo.copy()
    one, other = measure_footprint(photo), measure_footprint(photo)
    assert one.contact_area.value == other.contact_area.value
    assert one.contact_area.parts == other.contact_area.parts
    assert np.array_equal(photo, before)
    assert not one.picture.flags.writeable


def test_small_texels_are_what_the_tests_think():
    sheet = drawn_sheet((*MIDDLE, 0.02))
    inked = np.count_nonzero((sheet == INK).all(axis=2)) * TEXEL**2
    assert inked == pytest.approx(math.pi * 0.02**2, rel=0.003)
