"""Sizes of paper.

Source: ISO 216:2007, table 1 and the rule that makes it (sides in the ratio 1 to the root of 2, A0 of one
square metre, each size half the one before, rounded to millimetres): value from memory. ASME Y14.1 size A
is 8.5 in x 11 in, size B 11 in x 17 in: value from memory; the inch is 25.4 mm exactly. Tolerances of ISO
216, 1.5 mm up to 150 mm, 2 mm up to 600 mm, 3 mm above: seen quoted in tables of paper sizes. How closely
office paper is really cut: common practice, no source.
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


@pytest.mark.parametrize("named", ["a3", "a5", "a6", "a7", "b5", "b6"])
def test_other_sizes_are_what_the_rule_gives(named):
    longest = 2.0**0.25 if named[0] == "a" else math.sqrt(2.0)  # of A0 and of B0, which is one metre wide
    first = longest / math.sqrt(2.0) ** int(named[1])
    sizes = row("sheet_sizes", named)
    assert sizes["height"] == pytest.approx(first, abs=0.001)
    assert sizes["width"] == pytest.approx(first / math.sqrt(2.0), abs=0.001)


def test_letter_is_8_and_a_half_by_11_inches():
    paper = row("papers", "letter")
    assert (paper["width"], paper["height"]) == pytest.approx((8.5 * 0.0254, 11.0 * 0.0254), abs=1e-12)
    assert source(paper["source"])["title"].startswith("ASME Y14.1")


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_target_sheet_is_laid_out_on_exactly_that_paper(paper):
    sheet = sheet_layout(paper)
    assert (sheet.width, sheet.height) == (row("papers", paper)["width"], row("papers", paper)["height"])


def test_two_letter_sheets_side_by_side_are_the_next_size_of_the_series():
    paper = row("papers", "letter")
    size_b = (11.0 * 0.0254, 17.0 * 0.0254)
    assert (paper["height"], 2.0 * paper["width"]) == pytest.approx(size_b, abs=1e-12)


def test_proportions_of_the_two_papers_differ_by_nine_hundredths():
    a4, letter = (row("papers", key)["height"] / row("papers", key)["width"] for key in ("a4", "letter"))
    assert letter == pytest.approx(22.0 / 17.0)
    assert a4 / letter == pytest.approx(1.093, abs=5e-4)


def test_sheets_are_taken_as_cut_more_closely_than_the_standard_demands():
    limits = ((0.150, 0.0015), (0.600, 0.002), (math.inf, 0.003))
    paper = row("papers", "a4")
    for side in (paper["width"], paper["height"]):
        assert paper["tolerance"] == next(limit for largest, limit in limits if side <= largest)
    assert 0.0 < row("prints", "paper-cut")["half_width"] < paper["tolerance"]
