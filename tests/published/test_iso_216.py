"""Sizes of paper.

Source: ISO 216:2007, table 1 and the rule that makes it (sides in the ratio 1 to the root of 2, A0 of one
square metre, each size half the one before, rounded to millimetres): value from memory. ASME Y14.1 size A
is 8.5 in x 11 in: value from memory; the inch is 25.4 mm exactly.
"""

import math

import pytest

from tameshi.footprint import sheet_layout
from tameshi.reference import row, source


def test_a4_is_210_by_297_mm():
    paper = row("papers", "a4")
    assert (paper["width"], paper["height"]) == (0.210, 0.297)
    assert source(paper["source"])["title"].startswith("ISO 216")


def test_a4_is_what_the_rule_of_the_series_gives():
    millimetres = [round(1000.0 * 2.0 ** (0.25 - 0.5 * n)) for n in (4, 5)]
    long, short = millimetres
    assert (short / 1000.0, long / 1000.0) == (row("papers", "a4")["width"], row("papers", "a4")["height"])
    assert row("papers", "a4")["height"] / row("papers", "a4")["width"] == pytest.approx(
        math.sqrt(2.0), abs=2e-3
    )


def test_letter_is_8_and_a_half_by_11_inches():
    paper = row("papers", "letter")
    assert (paper["width"], paper["height"]) == pytest.approx((8.5 * 0.0254, 11.0 * 0.0254), abs=1e-12)
    assert source(paper["source"])["title"].startswith("ASME Y14.1")


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_target_sheet_is_laid_out_on_exactly_that_paper(paper):
    sheet = sheet_layout(paper)
    assert (sheet.width, sheet.height) == (row("papers", paper)["width"], row("papers", paper)["height"])
