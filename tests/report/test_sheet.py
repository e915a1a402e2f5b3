"""The printed target sheet: exact millimetres, the same bytes every time."""

import re

import cv2
import numpy as np
import pypdfium2
import pytest

from tameshi.footprint import BAR_LENGTH, papers, sheet_layout
from tameshi.report.sheet import sheet_pdf, sheet_png

DPI = 200.0
PIXEL = 0.0254 / DPI


@pytest.fixture(scope="module", params=papers())
def printed(request):
    """Paper, and its page as a printer would lay it down, in darkness 0 to 1."""
    page = pypdfium2.PdfDocument(sheet_pdf(request.param))[0]
    grey = np.asarray(page.render(scale=DPI / 72.0).to_pil().convert("L"), np.float64)
    return request.param, 1.0 - grey / 255.0


def rows_of(length: float) -> int:
    return round(length / PIXEL)


def test_the_page_is_one_and_as_large_as_the_paper(printed):
    paper, _ = printed
    document = pypdfium2.PdfDocument(sheet_pdf(paper))
    sheet = sheet_layout(paper)
    assert len(document) == 1
    assert document[0].get_size() == pytest.approx(
        (sheet.width / 0.0254 * 72.0, sheet.height / 0.0254 * 72.0), abs=0.01
    )


def test_the_same_version_always_draws_the_same_bytes():
    assert sheet_pdf("a4") == sheet_pdf("a4")
    assert sheet_png("a4", ppi=60.0) == sheet_png("a4", ppi=60.0)


def test_only_fonts_inside_the_file_are_used():
    document = pypdfium2.PdfDocument(sheet_pdf("a4"))
    text = document[0].get_textpage().get_text_range()
    assert "tameshi target sheet" in text
    assert b"/FontFile" in sheet_pdf("a4")


def test_markers_are_22_mm_and_where_the_layout_says(printed):
    paper, dark = printed
    for box in sheet_layout(paper).markers:
        row = rows_of(box.top + box.height / 12.0)
        line = dark[row, rows_of(box.left - 0.004) : rows_of(box.right + 0.004)]
        assert line.sum() * PIXEL == pytest.approx(box.width, abs=0.00005)
        start = (rows_of(box.left - 0.004) + np.argmax(line > 0.5)) * PIXEL
        assert start == pytest.approx(box.left, abs=PIXEL)


def test_an_independent_detector_reads_the_four_markers(printed):
    _, dark = printed
    detector = cv2.aruco.ArucoDetector(cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50))
    _, identities, rejected = detector.detectMarkers(np.asarray(255.0 * (1.0 - dark), np.uint8))
    del rejected
    assert sorted(np.ravel(identities)) == [0, 1, 2, 3]


def test_bars_are_100_mm_from_tick_to_tick(printed):
    paper, dark = printed
    level, upright = sheet_layout(paper).bars
    above = rows_of(level.start[1] - 0.001)
    ticks = np.flatnonzero(dark[above, rows_of(level.start[0] - 0.002) : rows_of(level.end[0] + 0.002)] > 0.3)
    assert (ticks.max() - ticks.min()) * PIXEL == pytest.approx(BAR_LENGTH, abs=3.0 * PIXEL)
    beside = rows_of(upright.start[0] + 0.001)
    ticks = np.flatnonzero(
        dark[rows_of(upright.start[1] - 0.002) : rows_of(upright.end[1] + 0.002), beside] > 0.3
    )
    assert (ticks.max() - ticks.min()) * PIXEL == pytest.approx(BAR_LENGTH, abs=3.0 * PIXEL)


def test_the_zone_is_blank_and_framed(printed):
    paper, dark = printed
    zone = sheet_layout(paper).zone
    inside = dark[
        rows_of(zone.top + 0.001) : rows_of(zone.bottom - 0.001),
        rows_of(zone.left + 0.001) : rows_of(zone.right - 0.001),
    ]
    assert inside.max() == 0.0
    middle = rows_of(0.5 * (zone.top + zone.bottom))
    for x in (zone.left, zone.right):
        assert dark[middle, rows_of(x) - 2 : rows_of(x) + 3].max() > 0.5


def test_tints_are_as_dark_as_stated(printed):
    paper, dark = printed
    for tint in sheet_layout(paper).tints:
        box = tint.box.grown(-0.001)
        part = dark[rows_of(box.top) : rows_of(box.bottom), rows_of(box.left) : rows_of(box.right)]
        assert part.mean() == pytest.approx(tint.darkness, abs=0.01)


def test_the_sheet_tells_how_to_use_it_and_cautions():
    text = pypdfium2.PdfDocument(sheet_pdf("letter"))[0].get_textpage().get_text_range()
    words = " ".join(text.split())
    for phrase in (
        "Print at 100 %",
        "Measure one bar",
        "--bar",
        "Technique",
        "Athlete code",
        "Date",
        "Strike no.",
        "Notes",
    ):
        assert phrase in words
    assert "injure" in words
    assert not re.search(r"\bsafe\b", words, re.IGNORECASE)


def test_the_picture_has_the_pixels_that_were_asked_for():
    picture = cv2.imdecode(np.frombuffer(sheet_png("a4", ppi=100.0), np.uint8), cv2.IMREAD_GRAYSCALE)
    assert picture is not None
    assert picture.shape == (1169, 827)
