"""Where a reading lies: probabilities from both uncertainties, checked against draws."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tameshi.quantity import Missing, Quantity, Source, scaled_t
from tameshi.tolerance import (
    Kind,
    Lognormal,
    Reading,
    Spread,
    contact_force,
    local_pressure_of,
    lognormal_of_mean,
    lognormal_of_median,
    place,
    published_values,
    spread_of,
)

RANGE = Spread(900.0, 2400.0, None, "for a test")
POINT = Spread(1000.0, 1000.0, None, "for a test")


def force(value: float, u: float = 0.0, dof: float = math.inf) -> Reading:
    quantity = Quantity(value, "N", {Source("u", "u", dof): u} if u else {})
    reading = contact_force(quantity)
    assert reading is not None
    return reading


def draws(value: float, u: float, dof: float, count: int = 400_000) -> np.ndarray:
    return scaled_t(value, u, dof)(np.random.default_rng(3), count)


@pytest.mark.parametrize(
    ("value", "u", "dof"), [(2400.0, 60.0, math.inf), (950.0, 80.0, 4.0), (1500.0, 900.0, 9.0)]
)
def test_probabilities_are_those_of_draws(value: float, u: float, dof: float) -> None:
    found = place(force(value, u, dof), Kind.CONTACT_FORCE, RANGE)
    drawn = draws(value, u, dof)
    assert found.below == pytest.approx(np.mean(drawn < RANGE.low), abs=0.004)
    assert found.above == pytest.approx(np.mean(drawn > RANGE.high), abs=0.004)
    assert found.below + found.inside + found.above == pytest.approx(1.0)


@pytest.mark.parametrize("count", [4, 10, None])
def test_the_share_below_is_that_of_draws_of_both(count: int | None) -> None:
    generator = np.random.default_rng(5)
    tolerance = lognormal_of_mean(3500.0, 1400.0, count)
    spread = Spread(tolerance.at(0.025), tolerance.at(0.975), tolerance, "for a test")
    found = place(force(3000.0, 400.0, 6.0), Kind.CONTACT_FORCE, spread).share
    scores = generator.standard_t(count - 1, 400_000) if count else generator.normal(size=400_000)
    widened = tolerance.sigma * (math.sqrt(1.0 + 1.0 / count) if count else 1.0)
    borne = tolerance.median * np.exp(widened * scores)
    assert found is not None
    assert found.value == pytest.approx(np.mean(borne < draws(3000.0, 400.0, 6.0)), abs=0.004)
    assert found.low < found.value < found.high


@given(mean=st.floats(10.0, 1e5), cv=st.floats(0.02, 1.5))
def test_a_lognormal_has_the_mean_and_spread_it_was_made_of(mean: float, cv: float) -> None:
    made = lognormal_of_mean(mean, cv * mean)
    again = made.median * math.exp(0.5 * made.sigma**2)
    assert again == pytest.approx(mean)
    assert again * math.sqrt(math.expm1(made.sigma**2)) == pytest.approx(cv * mean)


@given(share=st.floats(0.001, 0.999), sigma=st.floats(0.05, 2.0), below=st.none() | st.floats(0.05, 2.0))
def test_share_and_value_are_inverse(share: float, sigma: float, below: float | None) -> None:
    made = Lognormal(66.0, sigma, 12, below)
    assert made.below(made.at(share)) == pytest.approx(share, abs=1e-9)


def test_percentiles_come_back_on_either_side() -> None:
    (row,) = (row for row in published_values() if row.key == "mz-2")
    found = spread_of(row).distribution
    assert found is not None
    exact = Lognormal(found.median, found.sigma, None, found.sigma_below)
    assert exact.at(0.9) == pytest.approx(1.82e6)
    assert exact.at(0.1) == pytest.approx(0.34e6)
    assert exact.at(0.5) == pytest.approx(0.66e6)


def test_an_upper_percentile_alone_is_enough() -> None:
    assert lognormal_of_median(66.0, 182.0, 0.9).at(0.9) == pytest.approx(182.0)


@given(value=st.floats(1.0, 1e5), u=st.floats(0.0, 1e4), low=st.floats(1.0, 1e4), width=st.floats(0.0, 1e4))
def test_probabilities_are_probabilities(value: float, u: float, low: float, width: float) -> None:
    found = place(force(value, u), Kind.CONTACT_FORCE, Spread(low, low + width, None, "for a test"))
    parts = (found.below, found.inside, found.above, found.undecided)
    assert sum(parts) == pytest.approx(1.0)
    assert all(-1e-12 <= part <= 1.0 for part in parts)
    assert found.word
    assert found.told


@given(stronger=st.floats(1.0, 50.0))
def test_a_stronger_strike_is_never_placed_lower(stronger: float) -> None:
    one = place(force(1500.0, 100.0), Kind.CONTACT_FORCE, RANGE)
    other = place(force(1500.0 * stronger, 100.0 * stronger), Kind.CONTACT_FORCE, RANGE)
    assert other.above >= one.above - 1e-9


def test_one_published_number_has_no_inside() -> None:
    assert place(force(1200.0, 10.0), Kind.CONTACT_FORCE, POINT).word == "above"
    assert place(force(1000.0, 10.0), Kind.CONTACT_FORCE, POINT).word == "below or above"
    assert place(force(1000.0), Kind.CONTACT_FORCE, POINT).word == "below or above"


def test_an_asymmetric_interval_is_kept_on_its_side() -> None:
    leaning = Quantity(1000.0, "N", {Source("u", "u"): 100.0}).with_interval(900.0, 1400.0)
    reading = contact_force(leaning)
    assert reading is not None
    found = place(reading, Kind.CONTACT_FORCE, Spread(900.0, 1400.0, None, "for a test"))
    assert found.below == pytest.approx(0.025, abs=1e-9)
    assert found.above == pytest.approx(0.025, abs=1e-9)


def test_of_a_band_only_what_its_bounds_say_is_claimed() -> None:
    mean = Quantity(1e6, "Pa", {Source("u", "u"): 2e4})
    band = local_pressure_of(mean)
    assert band is not None
    assert band.is_band
    assert [band.least.value, band.most.value] == pytest.approx([1e6, 8.6e6])
    for spread, word in (
        (Spread(1e5, 8e5, None, ""), "above"),
        (Spread(1e7, 2e7, None, ""), "below"),
        (Spread(5e5, 1e7, None, ""), "inside"),
        (Spread(2e6, 3e6, None, ""), "not told apart"),
        (Spread(2e6, 2e6, None, ""), "below or above"),
    ):
        found = place(band, Kind.LOCAL_PRESSURE, spread)
        assert found.word == word
        assert found.share is None


def test_a_top_cut_off_can_only_lie_above() -> None:
    cut = contact_force(Missing("N", "the top was cut off", 2000.0))
    assert cut is not None
    assert place(cut, Kind.CONTACT_FORCE, POINT).word == "above"
    assert place(cut, Kind.CONTACT_FORCE, RANGE).word == "inside or above"
    assert place(cut, Kind.CONTACT_FORCE, Spread(5e3, 6e3, None, "")).word == "not told apart"
    assert contact_force(Missing("N", "nothing is known")) is None


def test_few_specimens_widen_the_range() -> None:
    few, many = (lognormal_of_mean(2000.0, 700.0, count) for count in (4, 400))
    assert few.at(0.025) < many.at(0.025) < many.at(0.975) < few.at(0.975)
