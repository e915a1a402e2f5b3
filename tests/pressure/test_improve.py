import math

import pytest

from tameshi.pressure import Repeated, improvements, join_typical, repeat_prints
from tameshi.quantity import Quantity, Source
from tameshi.reference import table


def area(value, key):
    return Quantity(value, "m2", {Source(f"edge:{key}", "resolution"): 0.01 * value})


def force():
    return Quantity(3000.0, "N", {Source("cal", "calibration", 20): 15.0})


def test_lines_come_greatest_first_with_what_to_do():
    joined = join_typical(force(), [area(v, str(v)) for v in (10e-4, 12e-4, 14e-4)], strike=1)
    found = improvements(joined.mean_pressure, {"area scatter": Repeated(3, ahead=True)})
    assert found[0].line == "area scatter"
    assert found[0].share > 0.9
    assert "own print" in found[0].remedy
    assert found[0].without < 0.2


def test_a_line_that_is_gone_narrows_the_interval_by_the_rest():
    quantity = Quantity(1.0, "Pa", {Source("a", "calibration"): 3.0, Source("b", "noise"): 4.0})
    by_line = {one.line: one for one in improvements(quantity)}
    assert by_line["noise"].without == pytest.approx(3.0 / 5.0)
    assert by_line["calibration"].without == pytest.approx(4.0 / 5.0)
    assert by_line["noise"].more is None


def test_three_more_prints_of_one_halve_a_mean_that_only_scatters():
    # derived: s/sqrt(1 + 3) is half of s/sqrt(1); the degrees of freedom are unlimited here
    quantity = Quantity(1.0, "Pa", {Source("s", "scatter of prints"): 1.0})
    (found,) = improvements(quantity, {"scatter of prints": Repeated(1, ahead=False)})
    assert found.more == 3
    assert found.narrows_to == pytest.approx(0.5)
    assert "3 more prints would halve the interval" in found.words


def test_promised_prints_keep_what_was_promised():
    # what is foretold for n + m prints is what n + m prints of the same scatter give
    values = [10e-4, 11e-4, 12e-4, 13e-4, 14e-4]
    few = repeat_prints([area(v, f"a{v}") for v in values]).mean
    (found, *_) = improvements(few, {"area scatter": Repeated(5, ahead=False)})
    assert found.more is not None
    count = 5 + found.more
    spread = few.u * math.sqrt(5.0)
    more = Quantity(few.value, "m2", {Source("m", "area scatter", count - 1.0): spread / math.sqrt(count)})
    assert more.expanded() / few.expanded() == pytest.approx(found.narrows_to, rel=0.02)


def test_scatter_ahead_is_never_promised_away():
    joined = join_typical(force(), [area(v, str(v)) for v in (10e-4, 11e-4, 12e-4, 13e-4, 14e-4)], strike=1)
    (found, *_) = improvements(joined.mean_pressure, {"area scatter": Repeated(5, ahead=True)})
    assert found.narrows_to is not None
    assert found.narrows_to > 0.7
    assert "narrow the interval by" in found.words


def test_an_exact_quantity_needs_nothing():
    assert improvements(Quantity(1.0, "Pa")) == ()


def test_every_remedy_belongs_to_a_line_of_the_budgets():
    assert set(table("improvements").rows) <= set(table("budget_lines").rows)
