"""Trend, reliability, components and planning."""

import numpy as np
import pytest

from tameshi.comparison import (
    components_of,
    one_way,
    plan_athletes,
    plan_strikes,
    power_of_one_mean,
    reliability,
    table_of,
    trend,
)
from tameshi.errors import UnmeasurableError, WrongUseError
from tests.comparison.simulated import Scatter, study, trial, values_as_trials


def test_a_steady_fall_is_found_in_the_order_of_the_strikes():
    falling = [trial(3000.0 - 20.0 * i + (-1) ** i * 5.0, order=10 - i) for i in range(10)]
    found = trend(falling)
    # given backwards: the order says which came first
    assert found.per_strike.value == pytest.approx(20.0, rel=0.05)
    assert found.p < 1e-6
    assert found.over_session == pytest.approx(180.0 / 2910.0, rel=0.05)


def test_no_trend_is_claimed_one_time_in_twenty():
    rng = np.random.default_rng(9)
    false = sum(trend(values_as_trials(rng.normal(0.0, 1.0, 8))).p < 0.05 for _ in range(800))
    assert 0.03 < false / 800 < 0.07


def test_levels_of_sessions_are_no_trend():
    one = values_as_trials([1.0, 1.1, 0.9, 1.0], session="a")
    other = values_as_trials([9.0, 9.1, 8.9, 9.0], session="b")
    assert abs(trend([*one, *other]).per_strike.value) < 0.1


def test_a_trend_takes_four_strikes_in_a_session():
    with pytest.raises(UnmeasurableError, match="4 strikes"):
        trend(values_as_trials([1.0, 2.0, 3.0]))


def test_reliability_of_simulated_athletes():
    rng = np.random.default_rng(12)
    table = rng.normal(3000.0, 300.0, (200, 1)) + rng.normal(0.0, 100.0, (200, 2))
    found = reliability(table)
    assert found.consistency.value == pytest.approx(0.9, abs=0.03)
    assert found.sem_consistency == pytest.approx(100.0, rel=0.1)
    assert found.smallest_consistent == pytest.approx(1.96 * np.sqrt(2.0) * found.sem_consistency, rel=1e-3)
    assert found.agreement.low < found.agreement.value < found.agreement.high


def test_intervals_of_both_correlations_hold_the_truth():
    rng = np.random.default_rng(13)
    held = np.zeros(2)
    for _ in range(400):
        table = rng.normal(0.0, 2.0, (12, 1)) + rng.normal(0.0, 0.5, (1, 3)) + rng.normal(0.0, 1.0, (12, 3))
        found = reliability(table)
        held += (
            found.agreement.low <= 4.0 / 5.25 <= found.agreement.high,
            found.consistency.low <= 0.8 <= found.consistency.high,
        )
    assert np.all(held / 400 > 0.92)


def test_a_table_of_means_by_athlete_and_session():
    one, _ = study(np.random.default_rng(1), 3, 2, 3, uneven=False)
    table, left_out = table_of([*one, trial(3000.0, athlete="Z", session="s0")])
    assert table.shape == (3, 2)
    assert left_out == 1


def test_one_session_says_nothing_of_reliability():
    with pytest.raises(UnmeasurableError, match="two athletes with two sessions"):
        reliability(np.ones((4, 1)))


def test_components_are_found_again():
    scatter = Scatter(athlete=400.0, leaning=0.0, session=100.0, strike=150.0)
    one, other = study(np.random.default_rng(21), 40, 3, 4, gap=200.0, scatter=scatter)
    found = components_of({"palm heel": one, "fist": other})
    assert found.athlete_sd == pytest.approx(400.0, rel=0.3)
    assert found.session_sd == pytest.approx(100.0, rel=0.25)
    assert found.strike_sd == pytest.approx(150.0, rel=0.06)
    gap, u = found.gaps["fist"]
    assert abs(gap + 200.0) < 3.0 * u


def test_two_athletes_are_too_few_for_components():
    one, other = study(np.random.default_rng(1), 2, 1, 4)
    with pytest.raises(UnmeasurableError, match="takes 3 of them"):
        components_of({"a": one, "b": other})


def test_one_way_refuses_groups_of_one():
    with pytest.raises(UnmeasurableError):
        one_way([[1.0], [2.0]])


def test_a_plan_by_athletes_keeps_its_promise():
    plan = plan_athletes(100.0, athlete_sd=90.0, sd=120.0, strikes=5, power=0.8)
    effect = 100.0 / np.sqrt(90.0**2 + 2.0 * 120.0**2 / 5)
    assert power_of_one_mean(plan.by_power, effect) >= 0.8
    assert power_of_one_mean(plan.by_power - 1, effect) < 0.8
    assert "athletes" in plan.words


def test_the_power_that_is_promised_is_met_by_simulation():
    from tameshi.comparison import difference

    plan = plan_strikes(100.0, 100.0, power=0.8)
    rng = np.random.default_rng(3)
    found = sum(
        difference(
            values_as_trials(rng.normal(100.0, 100.0, plan.by_power), key="a"),
            values_as_trials(rng.normal(0.0, 100.0, plan.by_power), key="b"),
        ).p
        < 0.05
        for _ in range(400)
    )
    assert found / 400 == pytest.approx(plan.power, abs=0.07)


@pytest.mark.parametrize(("gap", "sd", "power"), [(0.0, 1.0, 0.8), (1.0, 0.0, 0.8), (1.0, 1.0, 0.2)])
def test_plans_without_sense_are_refused(gap, sd, power):
    with pytest.raises(WrongUseError):
        plan_strikes(gap, sd, power=power)


def test_a_plan_beyond_reach_is_refused():
    with pytest.raises(UnmeasurableError, match="100 000"):
        plan_strikes(1e-4, 1.0)
