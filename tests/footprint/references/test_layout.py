"""The layout of the target sheet."""

import math

import numpy as np
import pytest

from tameshi.errors import WrongUseError
from tameshi.footprint import BAR_LENGTH, marker_cells, papers, sheet_layout


@pytest.fixture(params=papers())
def sheet(request):
    return sheet_layout(request.param)


def test_markers_run_clockwise_from_the_top_left(sheet):
    middles = sheet.marker_corners.mean(axis=1)
    left, right = middles[[0, 3], 0], middles[[1, 2], 0]
    top, bottom = middles[[0, 1], 1], middles[[2, 3], 1]
    assert left.max() < right.min()
    assert top.max() < bottom.min()


def test_everything_printed_keeps_clear_of_the_paper_edge(sheet):
    places = [sheet.marker_corners.reshape(-1, 2), sheet.zone.corners]
    places += [np.array([bar.start, bar.end]) for bar in sheet.bars]
    places += [tint.box.corners for tint in sheet.tints]
    every = np.concatenate(places)
    assert every.min() >= 0.008
    assert (np.array([sheet.width, sheet.height]) - every).min() >= 0.004


def test_the_zone_is_clear_of_all_other_print(sheet):
    for box in (*sheet.markers, *(tint.box for tint in sheet.tints)):
        beside = box.right < sheet.zone.left or box.left > sheet.zone.right
        beyond = box.bottom < sheet.zone.top or box.top > sheet.zone.bottom
        assert beside or beyond


def test_both_bars_are_exactly_100_mm(sheet):
    for bar in sheet.bars:
        assert math.dist(bar.start, bar.end) == pytest.approx(BAR_LENGTH, abs=1e-12)
    (level, upright) = sheet.bars
    assert level.start[1] == level.end[1]
    assert upright.start[0] == upright.end[0]


def test_the_zone_takes_more_than_half_of_the_paper(sheet):
    assert sheet.zone.width * sheet.zone.height > 0.5 * sheet.width * sheet.height


def test_papers_are_told_apart_by_how_far_their_markers_are(sheet):
    across, along = np.ptp(sheet.marker_corners.reshape(-1, 2), axis=0)
    others = [sheet_layout(paper) for paper in papers() if paper != sheet.paper]
    for other in others:
        other_across, other_along = np.ptp(other.marker_corners.reshape(-1, 2), axis=0)
        assert abs(across / along - other_across / other_along) > 0.05


def test_markers_differ_and_have_a_black_border():
    cells = [marker_cells(identity) for identity in range(4)]
    assert len({cell.tobytes() for cell in cells}) == 4
    for cell in cells:
        assert cell.shape == (6, 6)
        border = np.concatenate([cell[0], cell[-1], cell[:, 0], cell[:, -1]])
        assert border.all()


def test_an_unknown_paper_is_refused_with_the_list():
    with pytest.raises(
        WrongUseError, match=r"There is no target sheet for the paper 'a5'\. There are: a4, letter\."
    ):
        sheet_layout("a5")
