"""Drawings: valid, small, the same every time, with words, and safe from what they are given."""

import re
from xml.etree import ElementTree as ET

import numpy as np
import pytest

from tameshi.report.drawing import (
    Axis,
    Bars,
    Budget,
    Curve,
    ForceTime,
    Point,
    Series,
    SideBySide,
    Words,
)
from tameshi.report.figures import to_svg
from tameshi.report.figures.style import FORCE, IMPULSE, READING

SVG = "{http://www.w3.org/2000/svg}"
NEWTONS, POUNDS = Axis("force", "N", 1.0), Axis("force", "lbf", 4.4482216152605)
TIME = np.linspace(-0.002, 0.012, 200)
PULSE = np.where((TIME > 0) & (TIME < 0.01), 2000.0 * np.sin(np.pi * TIME / 0.01), 0.0)


def words(key: str = "one", title: str = "A drawing") -> Words:
    return Words(key=key, title=title, alternative="What it shows.", caption="How to read it.")


def force_time(key: str = "one", title: str = "A drawing", *, peak: float | None = 2000.0) -> ForceTime:
    return ForceTime(
        words=words(key, title),
        axes=(NEWTONS, POUNDS),
        force=Curve(TIME, PULSE),
        reading=Curve(TIME, 1.1 * PULSE),
        end=0.01,
        peak_time=0.005,
        peak=peak,
        peak_words="peak 2000 N" if peak else "at least 1900 N",
        level=100.0,
        shaded=(0.0, 0.01) if peak else None,
    )


def budget(*lines: tuple[str, float]) -> Budget:
    return Budget(words=words("budget"), panels=(Bars("Peak force: u = 1.0 %", lines),))


def side_by_side(*labels: str) -> SideBySide:
    points = (
        Point(2000.0, 1900.0, 2100.0),
        Point(2200.0, 500.0, 30_000.0),
        Point(2500.0, 2500.0, 2500.0, True),
    )
    series = tuple(Series(label, points, Point(2100.0, 1500.0, 2700.0)) for label in labels)
    return SideBySide(words=words("side"), axes=(NEWTONS, POUNDS), series=series)


ALL = [
    force_time(),
    force_time(peak=None),
    budget(("noise", 0.7), ("2 more", 0.3)),
    side_by_side("Knee", "Elbow"),
]


@pytest.mark.parametrize("drawing", ALL, ids=lambda one: type(one).__name__)
def test_a_drawing_has_a_role_a_name_and_a_description(drawing):
    root = ET.fromstring(to_svg(drawing))
    assert root.get("role") == "img"
    assert root.get("aria-label") == root.findtext(f"{SVG}title") == "A drawing"
    assert root.findtext(f"{SVG}desc") == "What it shows."
    assert root.get("viewBox")
    assert root.get("width") is None


@pytest.mark.parametrize("drawing", ALL, ids=lambda one: type(one).__name__)
def test_a_drawing_is_the_same_every_time(drawing):
    assert to_svg(drawing) == to_svg(drawing)


@pytest.mark.parametrize("drawing", ALL, ids=lambda one: type(one).__name__)
def test_a_drawing_loads_runs_and_styles_nothing_outside_itself(drawing):
    drawn = to_svg(drawing)
    assert not re.search(r"https?:(?!//www\.w3\.org/2000/svg\")", drawn)
    for tag in ("<script", "<style", "<image", "<foreignObject", "<metadata", "<?xml", "<!DOCTYPE"):
        assert tag not in drawn


@pytest.mark.parametrize("drawing", ALL, ids=lambda one: type(one).__name__)
def test_a_drawing_is_small(drawing):
    assert len(to_svg(drawing)) < 30_000


def test_names_of_two_drawings_do_not_meet():
    names = [re.findall(r' id="([^"]+)"', to_svg(force_time(key))) for key in ("one", "two")]
    assert names[0]
    assert not set(names[0]) & set(names[1])


def test_every_name_a_drawing_refers_to_is_in_it():
    drawn = to_svg(force_time())
    there = set(re.findall(r' id="([^"]+)"', drawn))
    wanted = set(re.findall(r'href="#([^"]+)"', drawn)) | set(re.findall(r"url\(#([^)]+)\)", drawn))
    assert wanted <= there


HOSTILE = ["<script>alert(1)</script>", "$\\frac{1}{0}$", "a & b", "]]>", "掌底 \N{BOXING GLOVE}"]


@pytest.mark.parametrize("label", HOSTILE)
def test_words_from_outside_are_only_words(label):
    root = ET.fromstring(to_svg(side_by_side(label)))
    assert root.findall(f".//{SVG}script") == []
    texts = "".join("".join(one.itertext()) for one in root.iter(f"{SVG}text"))
    assert label.replace(" ", "")[:8] in texts.replace(" ", "")


def test_letters_that_cannot_be_printed_are_left_out():
    ET.fromstring(to_svg(side_by_side("felt\x01\x1b[31m pad\ud800")))


def test_an_endless_label_is_cut():
    texts = [one.text or "" for one in ET.fromstring(to_svg(side_by_side("x" * 120))).iter(f"{SVG}text")]
    assert max(map(len, texts)) < 30


def test_force_and_reading_differ_in_more_than_colour():
    drawn = to_svg(force_time())
    dashed = [
        style for style in re.findall(r'style="([^"]+)"', drawn) if READING in style and "fill: none" in style
    ]
    assert all("stroke-dasharray" in style for style in dashed)
    assert dashed


@pytest.mark.parametrize(("dark", "light"), [(FORCE, READING), (READING, IMPULSE)])
def test_colours_differ_in_grey(dark, light):
    # relative luminance: WCAG 2.1, definition of relative luminance (value from memory)
    assert luminance(light) - luminance(dark) > 0.12


def luminance(colour: str) -> float:
    parts = [int(colour[place : place + 2], 16) / 255.0 for place in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_settings_of_this_machine_do_not_show():
    import matplotlib as mpl

    before = to_svg(force_time())
    with mpl.rc_context({"lines.linewidth": 9.0, "font.size": 30.0, "axes.grid": True}):
        assert to_svg(force_time()) == before


def test_a_budget_tells_shares_too_small_to_draw():
    assert "under 1 %" in to_svg(budget(("noise", 0.999), ("3 more", 0.001)))
