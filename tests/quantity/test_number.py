import math
import pickle

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tameshi.errors import UnitError, UnmeasurableError, WrongUseError
from tameshi.quantity import (
    Missing,
    Quantity,
    Source,
    as_dict,
    correlation,
    from_readings,
    from_record,
    normal,
    ratio,
    rectangular,
    simulate,
    to_record,
    total,
)

CALIBRATION = Source("calibration:post", "calibration", 9)


def strike(force, noise, key):
    """Return a force that shares its calibration error (1 %) with every other."""
    return Quantity(force, "N", {CALIBRATION: 0.01 * force, Source(f"noise:{key}", "noise", 200): noise})


def test_a_shared_calibration_cancels_in_the_ratio_of_two_strikes():
    quotient = strike(3000.0, 6.0, "a") / strike(1500.0, 3.0, "b")
    assert quotient.unit == "1"
    assert quotient.budget == pytest.approx({"noise": 2.0 * math.hypot(0.002, 0.002)}, rel=1e-12)


def test_it_adds_up_in_their_sum():
    both = strike(3000.0, 0.0, "a") + strike(1500.0, 0.0, "b")
    assert both.u == pytest.approx(45.0)


def test_it_still_cancels_after_both_were_stored_and_read_back():
    one, other = (
        from_record(to_record(strike(force, 0.0, key))) for force, key in ((3000.0, "a"), (1500.0, "b"))
    )
    assert isinstance(one, Quantity)
    assert isinstance(other, Quantity)
    assert (one / other).u == pytest.approx(0.0, abs=1e-15)
    assert correlation(one, other) == pytest.approx(1.0)


def test_budget_is_ranked_and_combines_to_u():
    quantity = strike(2000.0, 50.0, "a")
    assert list(quantity.budget) == ["noise", "calibration"]
    assert math.hypot(*quantity.budget.values()) == pytest.approx(quantity.u)


def test_interval_is_the_students_one():
    quantity = Quantity(10.0, "N", {Source("s", "scatter", 4): 1.0})
    assert quantity.high - quantity.value == pytest.approx(2.776445, abs=1e-6)  # t 0.975 at 4, handbook table


@pytest.mark.parametrize(
    ("left", "right", "unit"),
    [("N", "m2", "Pa"), ("N s", "s", "N"), ("m", "s", "m/s"), ("N", "N", "1"), ("V", "A", "ohm")],
)
def test_units_divide(left, right, unit):
    assert (Quantity(6.0, left) / Quantity(3.0, right)).unit == unit


@pytest.mark.parametrize(
    ("left", "right", "unit"), [("N", "s", "N s"), ("N", "m", "J"), ("Pa", "m2", "N"), ("m", "m", "m2")]
)
def test_units_multiply(left, right, unit):
    assert (Quantity(6.0, left) * Quantity(3.0, right)).unit == unit


def test_unlike_quantities_cannot_be_added():
    with pytest.raises(UnitError):
        Quantity(1.0, "N") + Quantity(1.0, "Pa")


@pytest.mark.parametrize("value", [math.nan, math.inf])
def test_what_is_not_finite_is_no_quantity(value):
    with pytest.raises(WrongUseError):
        Quantity(value, "N")
    with pytest.raises(WrongUseError):
        Quantity(1.0, "N", {Source("a", "a"): value})


def test_division_by_zero_is_refused():
    with pytest.raises(WrongUseError):
        Quantity(1.0, "N") / Quantity(0.0, "m2")


def test_a_quantity_cannot_be_changed():
    quantity = strike(100.0, 1.0, "a")
    with pytest.raises(AttributeError):
        quantity.value = 2.0
    with pytest.raises(TypeError):
        quantity.parts[CALIBRATION] = 0.0


def test_a_quantity_survives_pickling():
    quantity = strike(100.0, 1.0, "a").with_interval(90.0, 120.0)
    again = pickle.loads(pickle.dumps(quantity))
    assert as_dict(again) == as_dict(quantity)


def test_repeated_readings():
    found = from_readings([9.0, 10.0, 11.0, 10.0], "N", key="k", name="readings")
    assert (found.value, found.dof) == (10.0, 3.0)
    assert found.u == pytest.approx(np.std([9.0, 10.0, 11.0, 10.0], ddof=1) / 2.0)
    with pytest.raises(WrongUseError):
        from_readings([1.0], "N", key="k", name="readings")


def test_total_of_quantities():
    assert total([strike(1.0, 0.0, "a"), strike(2.0, 0.0, "b")]).value == 3.0


def test_missing_quantity_says_why_and_gives_no_number():
    missing = Missing("N", "clipped", 1500.0)
    assert as_dict(missing) == {"value": None, "unit": "N", "why": "clipped", "at_least": 1500.0}
    assert from_record(to_record(missing)) == missing


@given(st.floats(0.01, 0.2), st.floats(0.001, 0.05))
def test_interval_of_a_quotient_is_that_of_monte_carlo(area_share, force_share):
    force = Quantity(3000.0, "N", {Source("f", "f"): 3000.0 * force_share})
    area = Quantity(2e-3, "m2", {Source("a", "a"): 2e-3 * area_share})
    found = ratio(force, area)
    drawn = simulate(
        lambda f, a: f / a,
        [normal(force.value, force.u), normal(area.value, area.u)],
        generator=np.random.default_rng(5),
        draws=60_000,
    )
    width = drawn.high - drawn.low
    assert found.low == pytest.approx(drawn.low, abs=0.06 * width)
    assert found.high == pytest.approx(drawn.high, abs=0.06 * width)


def test_a_twenty_per_cent_area_gives_the_lopsided_interval():
    # derived: 1.5 over a normal divisor of 20 %: 1.5/(1 + 1.96 x 0.2) to 1.5/(1 - 1.96 x 0.2)
    force = Quantity(3000.0, "N")
    found = ratio(force, Quantity(2e-3, "m2", {Source("a", "a"): 4e-4}))
    assert found.low / 1e6 == pytest.approx(1.0777, abs=1e-3)
    assert found.high / 1e6 == pytest.approx(2.4668, abs=2e-3)


def test_a_divisor_that_could_be_zero_is_refused():
    with pytest.raises(UnmeasurableError) as caught:
        ratio(Quantity(3000.0, "N"), Quantity(2e-3, "m2", {Source("a", "a"): 2e-3}))
    assert caught.value.code == "divisor-near-zero"


def test_rectangular_bound():
    assert rectangular(0.0, math.sqrt(3.0), "N", key="k", name="n").u == pytest.approx(1.0)


@given(
    st.floats(-1e6, 1e6, allow_nan=False),
    st.lists(st.tuples(st.text(min_size=1, max_size=5), st.floats(-1e3, 1e3, allow_nan=False)), max_size=5),
)
def test_stored_quantities_come_back_the_same(value, named):
    parts = {Source(f"{key}:{index}", key, 3.0 + index): part for index, (key, part) in enumerate(named)}
    quantity = Quantity(value, "Pa", parts)
    again = from_record(to_record(quantity))
    assert isinstance(again, Quantity)
    assert dict(again.parts) == dict(quantity.parts)
    assert as_dict(again) == as_dict(quantity)
