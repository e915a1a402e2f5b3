"""GUM example H.1, end-gauge calibration, through measured quantities and their budget.

Source: JCGM 100:2008, H.1: u_c = 32 nm, 16 effective degrees of freedom, U99 = 93 nm (the last: value
from memory); H.1.7: with terms of second order 34 nm (value from memory). The figures with more digits are
derived: from the same inputs, nothing rounded.
"""

import math

import pytest

from tameshi.quantity import Quantity, Source, combine_second_order, coverage_factor
from tests.published.as_printed import as_printed

NOMINAL = 50_000_623.0  # nm


def inputs():
    """Return standard, difference, expansion, deviation and the differences of both, by H.1.2."""
    standard = Quantity(NOMINAL, "1", {Source("ls", "standard", 18): 25.0})
    difference = Quantity(
        215.0,
        "1",
        {
            Source("d0", "repeated observations", 24): 5.8,
            Source("d1", "comparator, random", 5): 3.9,
            Source("d2", "comparator, systematic", 8): 6.7,
        },
    )
    expansion = Quantity(11.5e-6, "1", {Source("as", "expansion"): 2e-6 / math.sqrt(3.0)})
    deviation = Quantity(
        -0.1,
        "1",
        {Source("t0", "mean deviation"): 0.2, Source("t1", "cyclic variation"): 0.5 / math.sqrt(2.0)},
    )
    expansion_difference = Quantity(
        0.0, "1", {Source("da", "expansion difference", 50): 1e-6 / math.sqrt(3.0)}
    )
    temperature_difference = Quantity(
        0.0, "1", {Source("dt", "temperature difference", 2): 0.05 / math.sqrt(3.0)}
    )
    return standard, difference, expansion, deviation, expansion_difference, temperature_difference


def end_gauge():
    """Return the length of the end gauge in nanometres, by the model of H.1.2."""
    standard, difference, expansion, deviation, expansion_difference, temperature_difference = inputs()
    thermal = expansion_difference * deviation + expansion * temperature_difference
    return standard + difference - standard * thermal


def length(*values):
    """Return the length less the nominal one: differences of great numbers would lose digits."""
    standard, difference, expansion, deviation, expansion_difference, temperature_difference = values
    thermal = expansion_difference * deviation + expansion * temperature_difference
    return (standard - NOMINAL) + difference - standard * thermal


def test_length_is_that_of_h1():
    assert end_gauge().value == 50_000_838.0


def test_combined_uncertainty_rounds_to_the_printed_32_nm():
    assert end_gauge().u == as_printed("32")
    assert end_gauge().u == pytest.approx(31.663879, abs=1e-5)  # derived


def test_effective_degrees_of_freedom_round_down_to_the_printed_16():
    assert math.floor(end_gauge().dof) == 16
    assert end_gauge().dof == pytest.approx(16.751856, abs=1e-4)  # derived


def test_expanded_uncertainty_at_99_per_cent():
    # derived: t99(16) = 2.920782 times u_c; the printed 93 nm is 2.92 times the rounded 32 nm
    assert end_gauge().expanded(0.99) == pytest.approx(92.4833, abs=1e-3)
    assert coverage_factor(16, 0.99) * 32.0 == as_printed("93")


def test_budget_lines_are_those_of_table_h1():
    budget = end_gauge().budget
    assert budget["standard"] == as_printed("25")
    observed = math.hypot(*(budget[line] for line in budget if "repeated" in line or "comparator" in line))
    assert observed == as_printed("9.7")
    assert budget["expansion difference"] == as_printed("2.9")
    assert budget["temperature difference"] == as_printed("16.6")


def test_terms_of_second_order_are_no_longer_small():
    found = combine_second_order(length, *inputs(), unit="1", key="h1")
    assert found.u == as_printed("33.81")
    assert found.u == pytest.approx(33.806545, abs=1e-5)  # derived
    assert found.u == as_printed("34")
    assert found.budget["second order"] == pytest.approx(11.844040, abs=1e-5)  # derived
    assert found.value + NOMINAL == end_gauge().value
