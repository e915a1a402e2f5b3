"""Strikes of a study as trials."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tameshi.comparison import Asked, compare
from tameshi.errors import WrongUseError
from tameshi.study import join_study, trials_of
from tests.study.test_contact import contact_print, recording


def study(**other):
    strikes = [
        recording("evening.csv", [2400.0, 2500.0, 2600.0]),
        recording("morning.csv", [3000.0, 3100.0, 3300.0], **other),
    ]
    prints = [contact_print("p1", 12e-4, technique="palm heel")]
    return strikes, join_study(strikes, prints)


def asked_of(trials):
    return Asked(
        by=trials.by,
        families=trials.families,
        apart=trials.apart,
        with_components=False,
        figure=trials.figure,
    )


def test_strikes_carry_athlete_session_and_order():
    trials = trials_of(*study(athlete="K2"), by="athlete")
    assert list(trials.groups) == ["palm heel, K1", "palm heel, K2"]
    own = trials.groups["palm heel, K1"]
    assert {trial.athlete for trial in own} == {"K1"}
    assert len({trial.session for trial in own}) == 1
    assert [trial.label for trial in own] == ["evening.csv:1", "evening.csv:2", "evening.csv:3"]


def test_different_pads_are_kept_apart_and_refused():
    strikes, joined = study(pad="20 mm foam")
    trials = trials_of(strikes, joined)
    assert list(trials.groups) == ["palm heel, pad none", "palm heel, pad 20 mm foam"]
    comparison = compare(trials.groups, asked_of(trials))
    (pair,) = comparison.pairs
    assert pair.difference is None
    assert "different pads" in pair.claim().words
    assert pair.claim().strength == "not compared"


def test_a_pad_nobody_named_is_not_compared_with_a_bare_plate():
    trials = trials_of(*study(pad=None))
    assert list(trials.groups) == ["palm heel, pad none", "palm heel, pad not known"]
    (pair,) = compare(trials.groups, asked_of(trials)).pairs
    assert pair.difference is None
    assert any("nothing of a pad" in note for note in trials.notes)


def test_pads_are_compared_where_they_are_what_is_asked():
    trials = trials_of(*study(pad="20 mm foam"), by="pad")
    (pair,) = compare(trials.groups, asked_of(trials)).pairs
    assert pair.difference is not None


def test_pressures_are_trials_too_and_what_lacks_one_is_listed():
    strikes, joined = study()
    trials = trials_of(strikes, joined, figure="mean_pressure")
    assert sum(map(len, trials.groups.values())) == 6
    without = trials_of(strikes, join_study(strikes, []), figure="mean_pressure")
    assert without.groups == {}
    assert len(without.without) == 6


def test_what_is_not_named_is_told():
    trials = trials_of(*study(athlete=None))
    assert any("athlete" in note for note in trials.notes)
    assert any("session" in note for note in trials.notes)


@pytest.mark.parametrize("asked", [{"figure": "beauty"}, {"by": "moon"}])
def test_unknown_figures_and_groups_are_refused_with_what_there_is(asked):
    with pytest.raises(WrongUseError) as refused:
        trials_of(*study(), **asked)
    assert "There are:" in refused.value.hint


def test_recordings_of_one_session_follow_each_other():
    strikes = [recording("first.csv", [2400.0, 2500.0]), recording("second.csv", [2450.0, 2550.0])]
    strikes = [
        (replace(file, description=replace(file.description, session="3 May")), outcome)
        for file, outcome in strikes
    ]
    (own,) = trials_of(strikes, join_study(strikes, [])).groups.values()
    ordered = sorted(own, key=lambda trial: trial.order)
    assert [trial.label for trial in ordered] == [
        "first.csv:1",
        "first.csv:2",
        "second.csv:1",
        "second.csv:2",
    ]


def test_a_typical_area_is_no_measured_one():
    strikes, joined = study()
    trials = trials_of(strikes, joined, figure="contact_area")
    assert trials.groups == {}
    assert all("no print of its own" in one for one in trials.without)
    assert any(
        "typical of the technique" in one for one in trials_of(strikes, joined, figure="mean_pressure").notes
    )


def test_only_the_greatest_force_is_called_best():
    assert trials_of(*study()).greatest == "best"
    assert trials_of(*study(), figure="contact_area").greatest == "greatest"
