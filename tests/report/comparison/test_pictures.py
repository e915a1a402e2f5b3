"""Pictures of comparisons: on a page, alone, and over film. All figures are invented."""

from __future__ import annotations

import io
from itertools import combinations
from xml.etree import ElementTree as ET

import numpy as np
import pytest
from PIL import Image

from tameshi.report.figures import to_svg
from tameshi.report.figures.comparison import picture_of
from tameshi.report.figures.comparison.marks import COLOURS, SHAPES, colour, shape
from tests.report.comparison.drawn import courses, every, motion, plane, spread

DRAWINGS = every()
# Viénot, Brettel, Mollon, Color Res. Appl. 24 (1999) 243-252: what is left of linear RGB without the long- or
# the middle-wave cones (values from memory)
BLIND = {
    "protanopia": [[0.11238, 0.88762, 0.0], [0.11238, 0.88762, 0.0], [0.00401, -0.00401, 1.0]],
    "deuteranopia": [[0.29275, 0.70725, 0.0], [0.29275, 0.70725, 0.0], [-0.02234, 0.02234, 1.0]],
}


@pytest.mark.parametrize("drawing", DRAWINGS, ids=lambda one: one.words.key)
def test_drawings_stand_in_a_page_with_words_for_the_blind(drawing):
    root = ET.fromstring(to_svg(drawing))
    assert root.get("role") == "img"
    titles = [one.text for one in root.iter() if one.tag.endswith("title")]
    assert titles[0] == drawing.words.title
    descriptions = [one.text for one in root.iter() if one.tag.endswith("desc")]
    assert descriptions[0] == drawing.words.alternative
    assert to_svg(drawing) == to_svg(drawing)


@pytest.mark.parametrize("drawing", DRAWINGS, ids=lambda one: one.words.key)
def test_alone_they_are_wide_enough_for_a_screen_and_white(drawing):
    with Image.open(io.BytesIO(picture_of(drawing))) as opened:
        assert opened.width >= 1500
        assert opened.convert("RGBA").getpixel((2, 2)) == (255, 255, 255, 255)
    svg = picture_of(drawing, "svg").decode()
    assert 'fill="white"' in svg
    assert drawing.words.caption.split()[0] in svg


@pytest.mark.parametrize("drawing", DRAWINGS, ids=lambda one: one.words.key)
def test_over_film_the_ground_is_clear_and_words_have_a_white_edge(drawing):
    with Image.open(io.BytesIO(picture_of(drawing, over_film=True))) as opened:
        pixels = np.asarray(opened.convert("RGBA")).astype(int)
    assert np.mean(pixels[..., 3] == 0) > 0.5
    # whatever lies beneath: dark strokes stand in white ones
    opaque = pixels[..., 3] > 250
    dark = opaque & (pixels[..., :3].max(axis=2) < 90)
    white = opaque & (pixels[..., :3].min(axis=2) > 250)
    assert dark.any()
    assert white.sum() > 0.5 * dark.sum()
    reach = 9  # pixels: the halo of letters is wider than that
    near = np.zeros_like(white)
    for dy in range(-reach, reach + 1, 3):
        for dx in range(-reach, reach + 1, 3):
            near |= np.roll(white, (dy, dx), (0, 1))
    assert np.mean(near[dark]) > 0.9
    svg = picture_of(drawing, "svg", over_film=True).decode()
    assert "<rect" not in svg.split("<g", maxsplit=1)[0]


def test_pictures_are_the_same_again():
    drawing = spread()
    for form in ("png", "svg"):
        assert picture_of(drawing, form) == picture_of(drawing, form)


def test_a_group_has_one_colour_and_shape_in_every_drawing():
    hues = [cloud.place for cloud in plane().clouds]
    assert hues == [course.place for course in courses()[0].courses]


def linear(colour_name):
    rgb = np.array([int(colour_name[i : i + 2], 16) for i in (1, 3, 5)]) / 255.0
    return np.where(rgb <= 0.04045, rgb / 12.92, ((rgb + 0.055) / 1.055) ** 2.4)


def lab(rgb):
    # IEC 61966-2-1 primaries and CIE 1976 L*a*b*, white D65 (values from memory)
    xyz = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]) @ rgb
    x, y, z = np.cbrt(np.maximum(xyz, 0.008856 * 1.0) / [0.9505, 1.0, 1.089])
    return np.array([116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)])


@pytest.mark.parametrize("eye", ["normal", *BLIND])
def test_neighbouring_colours_are_told_apart_by_every_eye(eye):
    seen = [linear(one) for one in COLOURS]
    if eye in BLIND:
        seen = [np.clip(np.array(BLIND[eye]) @ rgb, 0.0, 1.0) for rgb in seen]
    for one, other in combinations(range(4), 2):
        assert np.linalg.norm(lab(seen[one]) - lab(seen[other])) > 15.0, (COLOURS[one], COLOURS[other])


def test_colours_stand_out_from_white():
    for one in COLOURS:
        light = float(linear(one) @ [0.2126, 0.7152, 0.0722])
        assert 1.05 / (light + 0.05) >= 3.0  # WCAG 2.1, 1.4.11 (value from memory)


def test_beyond_the_last_colour_the_shape_still_tells():
    looks = {(colour(n), shape(n)) for n in range(len(COLOURS) * len(SHAPES) // 3)}
    assert len(looks) == len(COLOURS) * len(SHAPES) // 3


def test_words_that_cannot_be_printed_do_no_harm():
    drawing = motion()
    object.__setattr__(drawing.clouds[0], "label", "palm\x00 heel $x$")
    ET.fromstring(to_svg(drawing))
