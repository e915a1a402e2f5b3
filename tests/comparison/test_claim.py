"""What a comparison says in words, and what it would take to say more."""

from __future__ import annotations

import numpy as np
import pytest

from tameshi.comparison import (
    Asked,
    Told,
    Wanted,
    claim_of,
    compare,
    comparison_as_dict,
    difference,
    planned,
    power_of_one_mean,
    sample_of,
)
from tests.comparison.simulated import Scatter, study, trial, values_as_trials

TOLD = Told(one="palm heel", other="fist", figure="peak force", by="technique")


def quiet(**asked):
    return Asked(with_components=False, figure="peak force", **asked)


def test_a_clear_difference_reaches_beyond_the_athletes_measured():
    one, other = study(np.random.default_rng(1), 6, 2, 6, gap=600.0)
    claim = claim_of(TOLD, difference(one, other), 0.001)
    assert claim.strength == "clear"
    assert claim.words.startswith("Peak force of palm heel is greater than that of fist by ")
    assert any("athletes like these 6" in one for one in claim.limits)


def test_strikes_of_one_athlete_are_clear_for_themselves_only():
    one, other = study(np.random.default_rng(1), 1, 1, 8, gap=900.0)
    claim = claim_of(TOLD, difference(one, other), 0.001)
    assert claim.strength == "clear for these strikes only"
    assert any("struck first" in limit for limit in claim.limits)


def test_among_many_it_may_be_chance():
    one, other = study(np.random.default_rng(1), 1, 1, 8, gap=900.0)
    assert claim_of(TOLD, difference(one, other), 0.08).strength == "may be chance"


def test_no_clear_difference_is_not_called_alike():
    one, other = study(np.random.default_rng(2), 4, 1, 4)
    claim = claim_of(TOLD, difference(one, other), 0.6)
    assert claim.strength == "no clear difference"
    assert "not a sign that they are alike" in claim.words


def test_a_confounded_difference_is_never_clear_beyond_itself():
    one = [trial(3000.0 + 9 * n, athlete="L", session=f"l{d}", order=n) for d in range(3) for n in range(4)]
    other = [trial(2000.0 + 8 * n, athlete="R", session=f"r{d}", order=n) for d in range(3) for n in range(4)]
    one = [trial(t.value.value + 3 * i, athlete="L", session=t.session, order=i) for i, t in enumerate(one)]
    claim = claim_of(TOLD, difference(one, other), 0.001)
    assert claim.strength == "clear for these strikes only"
    assert any("changed together" in limit for limit in claim.limits)


def test_a_trend_and_unlike_scatters_stand_beside_the_claim():
    rising = values_as_trials([2000.0 + 100.0 * n + (-1) ** n for n in range(12)], key="a")
    level = values_as_trials([1500.0 + 5.0 * (-1) ** n * (1 + n % 3) for n in range(12)], key="b")
    (pair,) = compare({"palm heel": rising, "fist": level}, quiet()).pairs
    said = " ".join(pair.claim().limits)
    assert "Palm heel rises by" in said
    assert "scatter unlike" in said


def test_groups_of_other_families_are_not_set_against_each_other():
    groups = {name: values_as_trials([1.0, 2.0, 3.0], key=name) for name in "abc"}
    found = compare(groups, quiet(families={"a": "x", "b": "x", "c": "y"}))
    assert [(pair.one, pair.other) for pair in found.pairs] == [("a", "b")]


def test_trends_of_several_groups_are_allowed_for():
    rng = np.random.default_rng(4)
    groups = {name: values_as_trials(rng.normal(0.0, 1.0, 8), key=name) for name in "abcd"}
    found = compare(groups, quiet())
    for group in found.groups:
        assert group.trend is not None
        assert group.trend_p is not None
        assert group.trend_p >= group.trend.p


def test_some_trend_is_claimed_in_one_study_of_twenty():
    rng = np.random.default_rng(5)
    claimed = 0
    for _ in range(250):
        groups = {name: values_as_trials(rng.normal(0.0, 1.0, 8), key=name) for name in "abcd"}
        found = compare(groups, quiet())
        claimed += any(group.trend_p is not None and group.trend_p < 0.05 for group in found.groups)
    assert claimed / 250 < 0.09


def test_a_plan_takes_the_scatter_of_strikes_within_sessions_and_that_of_athletes():
    one, other = study(np.random.default_rng(6), 60, 2, 8, gap=100.0, scatter=Scatter(leaning=120.0))
    plan = planned(sample_of(one), sample_of(other), difference(one, other), Wanted(share=0.05))
    assert plan is not None
    assert plan.sd == pytest.approx(
        150.0, rel=0.08
    )  # athletes differ by 400 N, which is no scatter of strikes
    assert plan.leaning_sd == pytest.approx(120.0, rel=0.35)
    assert plan.athletes is not None
    assert plan.leaning_sd is not None
    assert plan.athletes.by_power > 2
    spread = np.sqrt(plan.leaning_sd**2 + 2.0 * plan.sd**2 / plan.each)
    assert power_of_one_mean(plan.athletes.by_power, plan.gap / spread) >= 0.8
    assert plan.strikes_range is not None
    assert plan.strikes is not None
    assert plan.strikes_range[0] <= plan.strikes.by_power <= plan.strikes_range[1]


def test_what_strikes_scatter_by_is_taken_out_of_what_athletes_differ_by():
    scatter = Scatter(leaning=60.0, session=200.0)
    one, other = study(np.random.default_rng(7), 300, 1, 2, gap=100.0, scatter=scatter, uneven=False)
    plan = planned(sample_of(one), sample_of(other), difference(one, other), Wanted(share=0.05))
    assert plan is not None
    # the gaps of these athletes differ by 160 N, as each struck twice only
    assert plan.leaning_sd is not None
    assert plan.leaning_sd < 100.0


def test_how_many_athletes_is_open_where_too_few_struck_both_ways():
    one, other = study(np.random.default_rng(6), 2, 1, 6)
    plan = planned(sample_of(one), sample_of(other), difference(one, other), Wanted(share=0.1))
    assert plan is not None
    assert plan.athletes is None
    assert "three on who struck both ways" in plan.why


def test_all_of_it_is_in_the_machine_readable_form():
    one, other = study(np.random.default_rng(8), 4, 2, 5, gap=300.0)
    found = compare({"palm heel": one, "fist": other}, quiet(wanted=Wanted(share=0.1)))
    said = comparison_as_dict(found)
    (pair,) = said["pairs"]
    assert pair["strength"]
    assert pair["limits"]
    assert pair["plan"]["athletes"]["by_power"] >= 2
    group = said["groups"][0]
    assert group["mean_unit"] == "athlete"
    assert group["reliability"]["sem_agreement"] > 0.0
    assert group["best"]
