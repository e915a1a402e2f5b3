"""What is typical of a technique: means that carry scatter and what their members share."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tameshi.pressure import repeat_prints
from tameshi.quantity import Quantity, Source, coverage_factor
from tameshi.report.typical import typical, typical_contact, typical_pressure

values = st.lists(st.floats(100.0, 5000.0), min_size=2, max_size=12)


def known(quantity: Quantity | None) -> Quantity:
    assert quantity is not None
    return quantity


def forces(*newtons: float, own: float = 0.0, shared: float = 0.0) -> list[Quantity]:
    return [
        Quantity(one, "N", {Source(f"own{n}", "own"): own, Source("rig", "rig"): shared * one})
        for n, one in enumerate(newtons)
    ]


@given(values)
def test_the_interval_of_exact_values_is_that_of_students_mean(newtons):
    # derived: the mean of n readings has s/sqrt n on n - 1 degrees of freedom (JCGM 100, 4.2.3)
    mean = known(typical(forces(*newtons), "scatter of strikes"))
    count = len(newtons)
    expected = coverage_factor(count - 1) * np.std(newtons, ddof=1) / math.sqrt(count)
    assert mean.value == pytest.approx(np.mean(newtons), rel=1e-12)
    assert mean.high - mean.value == pytest.approx(expected, rel=1e-6, abs=1e-9)


def test_an_error_all_strikes_share_does_not_average_out():
    mean = known(typical(forces(1000.0, 1000.0, 1000.0, 1000.0, shared=0.01), "scatter of strikes"))
    assert mean.u == pytest.approx(10.0)


def test_an_error_of_each_strikes_own_averages_out():
    mean = known(typical(forces(1000.0, 1000.0, 1000.0, 1000.0, own=10.0), "scatter of strikes"))
    assert mean.u == pytest.approx(5.0)


def test_one_strike_is_typical_as_it_was_measured():
    (one,) = forces(1000.0, own=10.0)
    assert typical([one], "scatter of strikes") is one


def test_nothing_is_typical_of_nothing():
    assert typical([], "scatter of strikes") is None
    assert typical_contact([]) is None
    assert typical_pressure(None, None) is None


def test_one_print_gets_the_scatter_assumed_for_it():
    area = Quantity(1e-3, "m2", {Source("a", "a"): 1e-5})
    # a choice of this project: 15 % (reference table scatter)
    assert known(typical_contact([area])).u == pytest.approx(0.15e-3)


def test_prints_own_errors_are_not_counted_beside_the_scatter_they_are_in():
    rng = np.random.default_rng(3)
    shared, own, count = 0.01e-3, 0.03e-3, 6
    areas = [
        Quantity(
            1e-3 + float(rng.normal(0.0, own)),
            "m2",
            {Source("bar", "bar"): shared, Source(f"edge{n}", "edge"): own},
        )
        for n in range(count)
    ]
    spread = float(np.std([one.value for one in areas], ddof=1))
    mean = known(typical_contact(areas))
    assert mean.u == pytest.approx(math.hypot(shared, max(spread, own) / math.sqrt(count)))
    assert mean.u == repeat_prints(areas).mean.u


@pytest.mark.parametrize("human", [0.0, 40.0])
def test_the_interval_of_a_mean_holds_the_truth_as_often_as_it_says(human):
    """Forces with errors of their own, and a person's scatter or none."""
    rng = np.random.default_rng(5)
    held = 0
    for _ in range(400):
        measured = [2000.0 + human * rng.normal() + 20.0 * rng.normal() for _ in range(6)]
        mean = known(typical(forces(*measured, own=20.0), "scatter of strikes"))
        held += mean.low <= 2000.0 <= mean.high
    # derived: 95 % of 400, four standard deviations of a count either way; taking the larger errs high
    assert 0.95 * 400 - 4.0 * math.sqrt(400 * 0.95 * 0.05) <= held


def test_strikes_that_scatter_by_more_than_their_own_errors_have_those_in_the_scatter():
    newtons = (900.0, 1000.0, 1100.0, 1000.0)
    mean = known(typical(forces(*newtons, own=10.0), "scatter of strikes"))
    assert mean.u == pytest.approx(float(np.std(newtons, ddof=1)) / 2.0)
    assert "own" not in mean.budget


def test_typical_pressure_is_typical_force_over_typical_area():
    force, area = forces(2000.0, own=20.0)[0], Quantity(1e-3, "m2", {Source("a", "a"): 5e-5})
    pressure = known(typical_pressure(force, area))
    assert pressure.value == pytest.approx(2e6)
    assert pressure.unit == "Pa"
    assert pressure.high - pressure.value > pressure.value - pressure.low
