import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import ttest_ind, ttest_rel

from tameshi.comparison import design_of, difference, holm
from tameshi.errors import UnmeasurableError
from tests.comparison.simulated import Scatter, study, trial, values_as_trials

SEED = 17


def share_of_false_claims(athletes, sessions, strikes, trials, scatter=None):
    rng = np.random.default_rng(SEED)
    false = held = 0
    for _ in range(trials):
        found = difference(*study(rng, athletes, sessions, strikes, scatter=scatter))
        false += found.p < 0.05
        held += found.value.low <= 0.0 <= found.value.high
        assert (found.p < 0.05) == found.is_clear
    return false / trials, held / trials


@pytest.mark.parametrize(
    ("athletes", "sessions", "strikes", "scatter"),
    [(6, 2, 4, None), (4, 1, 5, None), (1, 1, 6, Scatter(leaning=0.0)), (2, 2, 4, Scatter(leaning=0.0))],
)
def test_without_a_difference_one_in_twenty_is_claimed(athletes, sessions, strikes, scatter):
    # the benchmark `comparison_truth` does this over thousands; here 800 scatter by 0.8 % themselves
    false, held = share_of_false_claims(athletes, sessions, strikes, 800, scatter)
    assert 0.03 < false < 0.07
    assert held == pytest.approx(1.0 - false)


def test_a_difference_is_held_by_its_interval():
    rng = np.random.default_rng(SEED)
    held = sum(
        found.value.low <= 200.0 <= found.value.high
        for found in (difference(*study(rng, 5, 2, 4, gap=200.0)) for _ in range(400))
    )
    assert 0.92 <= held / 400 <= 0.975


def test_the_unit_is_the_athlete_where_three_struck_both_ways():
    design = design_of(*study(np.random.default_rng(1), 3, 1, 4))
    assert (design.unit, design.is_paired, len(design.cells)) == ("athlete", True, 3)
    assert "athletes like these" in design.reach


def test_two_athletes_give_a_result_for_themselves_only():
    design = design_of(*study(np.random.default_rng(1), 2, 1, 4))
    assert (design.unit, design.is_paired) == ("strike", True)
    assert "these 2 athletes in this one session only" in design.reach


def test_three_sessions_of_one_athlete_are_the_units():
    design = design_of(*study(np.random.default_rng(1), 1, 3, 3))
    assert (design.unit, len(design.cells)) == ("session", 3)


def test_techniques_on_different_days_are_told():
    one = values_as_trials([1.0, 2.0, 3.0], session="monday", key="a")
    other = values_as_trials([2.0, 3.0, 4.0], session="tuesday", key="b")
    design = design_of(one, other)
    assert "these 2 sessions only" in design.reach
    assert design.doubt == "they were struck in different sessions"
    assert design_of(one, other, by="session").doubt == ""


def test_athletes_who_struck_one_way_each_are_compared_as_athletes():
    one = [trial(3000.0 + i + 10 * a, athlete=f"L{a}", order=i) for a in range(3) for i in range(4)]
    other = [trial(2900.0 + i + 9 * a, athlete=f"R{a}", order=i) for a in range(3) for i in range(4)]
    found = difference(one, other)
    assert (found.design.unit, found.design.is_paired) == ("athlete", False)
    expected = ttest_ind([3001.5, 3011.5, 3021.5], [2901.5, 2910.5, 2919.5], equal_var=False)
    assert found.value.value == pytest.approx(101.0)
    # ours truncates degrees of freedom to whole numbers, on the cautious side
    assert found.p >= expected.pvalue * 0.999


def test_athlete_and_technique_changed_together_are_told():
    one = [trial(3000.0 + i, athlete="L", order=i) for i in range(4)]
    other = [trial(2900.0 + i, athlete="R", order=i) for i in range(4)]
    assert "athlete and technique were changed together" in difference(one, other).design.doubt
    assert difference(one, other, by="athlete").design.doubt == ""


def test_trials_of_athletes_without_a_pair_are_counted():
    one, other = study(np.random.default_rng(3), 4, 1, 3, uneven=False)
    extra = [trial(3100.0 + i, athlete="Z", order=i) for i in range(2)]
    found = difference([*one, *extra], other)
    assert found.design.left_out == 2
    assert found.counts == (12, 12)


def test_paired_athletes_agree_with_the_library():
    one, other = study(np.random.default_rng(2), 5, 1, 1, uneven=False)
    found = difference(one, other)
    expected = ttest_rel([t.value.value for t in one], [t.value.value for t in other])
    assert found.p == pytest.approx(expected.pvalue, rel=1e-6)


def test_a_shared_calibration_cancels_where_it_is_shared():
    one = [trial(3000.0 + 50.0 * i, order=i, cal=0.02, key=f"a{i}") for i in range(5)]
    other = [trial(2900.0 + 50.0 * i, order=i, cal=0.02, key=f"b{i}") for i in range(5)]
    found = difference(one, other)
    assert found.value.budget["calibration"] == pytest.approx(0.02 * 100.0)


def test_all_beyond_all_gives_a_probability_near_one_with_room_below():
    found = difference(
        values_as_trials([10.0, 11.0, 12.0, 13.0], key="a"), values_as_trials([1.0, 2.0, 3.0, 4.0], key="b")
    )
    assert found.exceeding is not None
    assert found.exceeding.value == 1.0
    assert 0.3 < found.exceeding.low < 1.0


def test_the_probability_of_exceeding_is_held_by_its_interval():
    rng = np.random.default_rng(6)
    held = 0
    for _ in range(400):
        found = difference(
            values_as_trials(rng.normal(1.0, 1.0, 12), key="a"),
            values_as_trials(rng.normal(0.0, 1.0, 15), key="b"),
        )
        assert found.exceeding is not None
        held += found.exceeding.low <= 0.7602499389 <= found.exceeding.high  # Phi(1/sqrt 2)
    assert 0.92 <= held / 400 <= 0.985


def test_hedges_g_is_held_by_its_interval():
    rng = np.random.default_rng(7)
    held = 0
    for _ in range(400):
        found = difference(
            values_as_trials(rng.normal(0.8, 1.0, 8), key="a"),
            values_as_trials(rng.normal(0.0, 1.0, 9), key="b"),
        )
        assert found.hedges_g is not None
        held += found.hedges_g.low <= 0.8 <= found.hedges_g.high
    assert 0.92 <= held / 400 <= 0.98


@settings(max_examples=30, deadline=None)
@given(st.lists(st.floats(-5.0, 5.0), min_size=3, max_size=6, unique=True), st.floats(-3.0, 3.0))
def test_exchanging_the_techniques_turns_the_sign(values, shift):
    one, other = (
        values_as_trials(values, key="a"),
        values_as_trials([v * 0.7 + shift for v in values], key="b"),
    )
    there, back = difference(one, other), difference(other, one)
    assert there.value.value == pytest.approx(-back.value.value, abs=1e-12)
    assert there.p == pytest.approx(back.p)
    assert (there.exceeding is None) == (back.exceeding is None)
    if there.exceeding and back.exceeding:
        assert there.exceeding.value == pytest.approx(1.0 - back.exceeding.value)


def test_resampling_is_given_from_eight_units_on_and_is_the_same_again():
    rng = np.random.default_rng(5)
    one, other = (
        values_as_trials(rng.normal(1, 1, 9), key="a"),
        values_as_trials(rng.normal(0, 1, 8), key="b"),
    )
    found = difference(one, other)
    assert found.bootstrap is not None
    assert found.bootstrap == difference(one, other).bootstrap
    assert found.bootstrap[0] < found.value.value < found.bootstrap[1]
    assert difference(one[:7], other).bootstrap is None


def test_one_strike_and_equal_strikes_are_refused():
    with pytest.raises(UnmeasurableError, match="takes 2 trials"):
        difference(values_as_trials([1.0]), values_as_trials([1.0, 2.0]))
    with pytest.raises(UnmeasurableError, match="All trials are equal"):
        difference(values_as_trials([1.0, 1.0], key="a"), values_as_trials([2.0, 2.0], key="b"))


def test_holm_keeps_order_and_never_passes_one():
    assert holm([0.01, 0.04, 0.03, 0.005]) == pytest.approx((0.03, 0.06, 0.06, 0.02))
    assert holm([0.9, 0.8]) == (1.0, 1.0)
    assert holm([]) == ()
