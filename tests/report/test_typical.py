"""What is typical of a technique: means that carry scatter and what their members share."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

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
    # a choice of this project: 15 % (reference table scatter), for the print and for one strike more
    assert known(typical_contact([area])).u == pytest.approx(math.hypot(1e-5, 0.15e-3 * math.sqrt(2.0)))


def test_typical_pressure_is_typical_force_over_typical_area():
    force, area = forces(2000.0, own=20.0)[0], Quantity(1e-3, "m2", {Source("a", "a"): 5e-5})
    pressure = known(typical_pressure(force, area))
    assert pressure.value == pytest.approx(2e6)
    assert pressure.unit == "Pa"
    assert pressure.high - pressure.value > pressure.value - pressure.low
