"""What a mean, an effect and a probability count: athletes, sessions or strikes."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tameshi.comparison import Trial, design_of, difference, sample_of, table_of
from tameshi.quantity import Quantity, Source
from tests.comparison.simulated import Scatter, study, trial, values_as_trials


def struck(rng, athletes, sessions, strikes, *, athlete=400.0, session=60.0, key="a"):
    """Strikes of one technique, of athletes known by a letter and a number."""
    found = []
    for who in range(athletes):
        level = 3000.0 + rng.normal(0.0, athlete)
        for day in range(sessions):
            today = level + rng.normal(0.0, session)
            found += [
                trial(
                    today + rng.normal(0.0, 150.0),
                    athlete=f"{key}{who}",
                    session=f"{key}{day}",
                    order=float(number),
                    key=f"{key}/{who}/{day}/{number}",
                )
                for number in range(strikes)
            ]
    return found


@pytest.mark.parametrize(
    ("athletes", "sessions", "spread", "unit"),
    [(6, 1, 400.0, "athlete"), (4, 3, 400.0, "athlete"), (1, 5, 0.0, "session"), (1, 1, 0.0, "strike")],
)
def test_the_interval_of_a_mean_holds_the_truth_whatever_it_counts(athletes, sessions, spread, unit):
    rng = np.random.default_rng(31)
    session = 0.0 if sessions == 1 else 60.0
    samples = [
        sample_of(struck(rng, athletes, sessions, 5, athlete=spread, session=session)) for _ in range(400)
    ]
    held = np.mean([one.mean.low <= 3000.0 <= one.mean.high for one in samples])
    assert {one.unit for one in samples} == {unit}
    assert 0.92 <= held <= 0.98
    scatter = [one.sd_interval for one in samples if one.sd_interval is not None]
    assert len(scatter) == len(samples)
    assert 0.92 <= np.mean([low <= 150.0 <= high for low, high in scatter]) <= 0.98


def test_strikes_for_athletes_would_have_claimed_too_much():
    rng = np.random.default_rng(32)
    held = 0
    for _ in range(200):
        values = [one.value.value for one in struck(rng, 6, 1, 10)]
        half = 2.0 * np.std(values, ddof=1) / np.sqrt(len(values))
        held += abs(np.mean(values) - 3000.0) <= half
    assert held / 200 < 0.75


def test_scatter_is_that_within_sessions_and_all_together_is_told_apart():
    sample = sample_of(struck(np.random.default_rng(33), 40, 2, 6))
    assert sample.sd == pytest.approx(150.0, rel=0.08)
    assert sample.total_sd is not None
    assert sample.total_sd > 300.0
    assert sample.sd_dof == 40 * 2 * 5


def test_what_one_athlete_alone_is_wrong_by_is_counted_once():
    # each athlete has a rig of their own: its error is in what athletes differ by already
    def of(who, value, number):
        parts = {
            Source(f"rig{who}", "calibration"): 90.0,
            Source(f"n{who}{number}", "noise"): 5.0,
            Source("weights", "known loads"): 7.0,
        }
        return Trial(value=Quantity(value, "N", parts), athlete=who, session="s", order=number)

    trials = [of(f"A{who}", 3000.0 + 100.0 * who + number, number) for who in range(4) for number in range(3)]
    budget = sample_of(trials).mean.budget
    assert "calibration" not in budget
    assert budget["known loads"] == pytest.approx(7.0)


def test_athletes_and_sessions_that_struck_one_way_are_units_still():
    rng = np.random.default_rng(34)
    one, other = struck(rng, 1, 4, 5, key="a"), struck(rng, 1, 4, 5, key="b")
    compared = design_of(one, other, by="athlete")
    assert (compared.unit, compared.is_paired, compared.doubt) == ("session", False, "")
    assert "athlete and technique" in design_of(one, other).doubt
    same = [replace(each, athlete="a0") for each in other]
    assert design_of(one, same).unit == "session"
    assert design_of(one, same).doubt == ""


@pytest.mark.parametrize("athletes", [(5, 5), (3, 4)])
def test_unpaired_units_claim_at_most_one_time_in_twenty(athletes):
    rng = np.random.default_rng(35)
    found = [
        difference(struck(rng, athletes[0], 2, 4, key="a"), struck(rng, athletes[1], 2, 4, key="b"))
        for _ in range(300)
    ]
    assert np.mean([one.p < 0.05 for one in found]) <= 0.07
    assert np.mean([one.exceeding.low <= 0.5 <= one.exceeding.high for one in found if one.exceeding]) >= 0.92
    assert np.mean([one.hedges_g.low <= 0.0 <= one.hedges_g.high for one in found if one.hedges_g]) >= 0.92


def test_days_of_one_athlete_that_differ_are_no_difference_between_techniques():
    # strikes as units would claim one in three here
    rng = np.random.default_rng(36)
    claimed = 0
    for _ in range(300):
        one = struck(rng, 1, 4, 8, athlete=0.0, session=150.0, key="a")
        other = struck(rng, 1, 4, 8, athlete=0.0, session=150.0, key="b")
        claimed += difference(one, [replace(each, athlete="a0") for each in other]).p < 0.05
    assert claimed / 300 <= 0.075


def test_g_holds_the_truth_where_athletes_lean():
    rng = np.random.default_rng(37)
    found = [
        difference(*study(rng, 6, 1, 6, gap=200.0, scatter=Scatter(leaning=150.0))).hedges_g
        for _ in range(400)
    ]
    held = np.mean([one.low <= 200.0 / 150.0 <= one.high for one in found if one is not None])
    assert 0.92 <= held <= 0.985


def test_a_strike_stands_out_from_its_own_session():
    rng = np.random.default_rng(38)
    weak = [trial(1000.0 + rng.normal(0.0, 20.0), athlete="A", order=n) for n in range(6)]
    strong = [trial(4000.0 + rng.normal(0.0, 20.0), athlete="B", order=n) for n in range(6)]
    odd = trial(1400.0, athlete="A", order=9)
    trials = [*weak, *strong, odd]
    assert sample_of(trials).outliers == (12,)


@pytest.mark.parametrize(("sessions", "strikes"), [(8, 3), (12, 6), (3, 10)])
def test_without_a_cause_a_group_shows_something_standing_out_one_time_in_ten(sessions, strikes):
    rng = np.random.default_rng(39)
    shown = [bool(sample_of(struck(rng, 1, sessions, strikes)).outliers) for _ in range(150)]
    assert np.mean(shown) < 0.18


def test_strikes_one_a_session_are_judged_together():
    values = [3000.0, 3020.0, 2990.0, 3010.0, 2980.0, 3030.0, 2970.0, 4200.0]
    alone = [replace(each, session=f"s{n}") for n, each in enumerate(values_as_trials(values))]
    assert sample_of(alone).outliers == (7,)
    assert sample_of(alone).sd is None


def test_the_largest_table_of_sessions_is_taken():
    trials = [
        trial(3000.0 + n, athlete=who, session=f"{who}{n}", order=n)
        for who, count in (("A", 5), ("B", 2), ("C", 2))
        for n in range(count)
    ]
    table, left_out = table_of(trials)
    assert table.shape == (3, 2)
    assert left_out == 3


def test_two_ways_on_different_days_are_a_doubt_even_with_many_athletes():
    rng = np.random.default_rng(40)
    one, other = study(rng, 4, 1, 5)
    later = [replace(each, session="s9") for each in other]
    assert design_of(one, other).doubt == ""
    assert design_of(one, later).doubt == "they were struck in different sessions"
    assert design_of(one, later, by="session").doubt == ""
