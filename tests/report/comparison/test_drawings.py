"""What the drawings of a comparison show, before anything is drawn. All figures are invented."""

from __future__ import annotations

import numpy as np
import pytest

from tameshi.comparison import band_of
from tameshi.report.comparison import force_area, paired, speed_mass, timelines
from tests.report.comparison.drawn import courses, motion, moved, notation, plane, spread, strikes, trial


def test_every_strike_is_a_point_of_its_group():
    drawing = spread(6)
    assert [len(one.points) for one in drawing.groups] == [6, 6, 6]
    assert {who for one in drawing.groups for who in one.whose} == {"A1", "A2"}
    assert "Shapes tell athletes apart" in drawing.words.caption
    assert all(one.mean is not None for one in drawing.groups)


def test_scales_stand_in_both_systems():
    drawing = spread(6)
    assert [axis.unit for axis in drawing.axes] == ["N", "lbf"]
    assert [axis.unit for axis in spread(6, first="us").axes] == ["lbf", "N"]


def test_lines_of_equal_pressure_are_round_and_in_both_units():
    drawing = plane()
    assert 2 <= len(drawing.pressures) <= 6
    for level in drawing.pressures:
        digits = f"{level.value:.0e}"[0]
        assert digits in "125"
        assert "Pa" in level.label
        assert "psi" in level.label


def test_only_strikes_with_their_own_print_are_drawn_and_the_others_counted():
    assert "Not drawn: 2 strikes" in plane().words.caption
    areas, forces = strikes(4, unit="m2", place=1), strikes(6)
    pairs = paired(areas, forces)
    assert [len(one) for one, _ in pairs.values()] == [4, 4, 4]
    assert all(
        area.label == force.label
        for one, other in pairs.values()
        for area, force in zip(one, other, strict=True)
    )


def test_few_strikes_give_a_broken_ellipse_and_two_give_none():
    assert all(cloud.is_shaky for cloud in plane(4).clouds)
    assert not any(cloud.is_shaky for cloud in plane(8).clouds)
    assert all(cloud.outline is None for cloud in plane(2).clouds)
    assert "Broken ellipse" in plane(4).words.caption


def test_a_group_keeps_its_place_where_others_have_no_prints():
    areas, forces = strikes(6, unit="m2", place=1), strikes(6)
    del areas["palm heel"]
    drawing = force_area(paired(areas, forces), notation(areas, forces), without=6)
    assert drawing is not None
    assert [(cloud.label, cloud.place) for cloud in drawing.clouds] == [("hammer fist", 1), ("front kick", 2)]


def test_nothing_to_draw_is_no_drawing():
    forces = strikes(6)
    assert force_area(paired({}, forces), notation(forces), without=18) is None
    assert speed_mass([], notation(forces)) is None
    assert (
        timelines({"palm heel": [trial(1.0, "N"), trial(2.0, "N", order=1)]}, "peak force", notation(forces))
        == ()
    )


def test_invented_speeds_are_called_invented():
    drawing = motion()
    assert "invented" in drawing.words.title
    assert "Invented" in drawing.words.caption
    assert all("lbf" in level.label for level in drawing.momenta)
    assert all("J" in level.label for level in drawing.energies)


def test_lines_of_momentum_and_energy_cross_the_strikes():
    drawing, records = motion(), moved()
    momenta = [one.mass.value * one.speed.value for one in records]
    energies = [0.5 * one.mass.value * one.speed.value**2 for one in records]
    assert any(min(momenta) < level.value < max(momenta) for level in drawing.momenta)
    assert any(min(energies) < level.value < max(energies) for level in drawing.energies)


def test_several_recordings_are_numbered_and_one_is_timed():
    (several,) = courses()
    assert several.is_counted
    assert several.across == "strike of the session"
    assert [float(x) for one in several.courses for x in one.across] == [float(n) for n in range(1, 19)]
    alone = {"palm heel": strikes(6, athletes=("A1",))["palm heel"]}
    (timed,) = timelines(alone, "peak force", notation(alone))
    assert not timed.is_counted
    assert list(timed.courses[0].across) == [0.0, 2.0, 4.0, 6.0, 8.0, 10.0]
    assert "no common clock" in several.words.caption


def test_the_band_is_that_of_a_straight_line():
    course = courses()[0].courses[0]
    band = band_of(course.across, [point.value for point in course.points])
    assert course.low == pytest.approx(band.low)
    assert np.all(course.low < course.line)


def test_sessions_of_different_athletes_are_drawn_apart():
    groups = strikes(6)
    drawn = timelines(groups, "peak force", notation(groups))
    assert [one.words.title.split(": ")[1] for one in drawn] == ["A1, session 3 May", "A2, session 3 May"]
