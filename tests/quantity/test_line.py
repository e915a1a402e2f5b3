import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tameshi.errors import UnmeasurableError, WrongUseError
from tameshi.quantity import Quantity, Source, fit_line, line_support


def exactly(values):
    return [Quantity(float(value), "1") for value in values]


def uncertain(values, u, name):
    return [
        Quantity(float(value), "1", {Source(f"{name}{index}", name): u}) for index, value in enumerate(values)
    ]


def scattered(seed=1, count=8, slope=0.5, scatter=0.1):
    rng = np.random.default_rng(seed)
    x = np.linspace(0.0, 2.0, count)
    return x, 1.0 + slope * x + rng.normal(0.0, scatter, count)


def test_without_errors_in_x_it_is_least_squares_with_students_interval():
    from scipy import stats

    x, y = scattered()
    line, known = fit_line(exactly(x), exactly(y), key="k"), stats.linregress(x, y)
    half = stats.t.ppf(0.975, len(x) - 2) * known.stderr
    assert line.slope.value == pytest.approx(known.slope, rel=1e-6)
    assert line.slope.u == pytest.approx(known.stderr, rel=1e-6)
    assert line.at(0.0).value == pytest.approx(known.intercept, rel=1e-6)
    assert line.at(0.0).u == pytest.approx(known.intercept_stderr, rel=1e-6)
    assert line.slope.interval == pytest.approx((known.slope - half, known.slope + half), rel=0.01)


def test_scatter_is_the_residual_standard_deviation_where_nothing_else_is_uncertain():
    from scipy import stats

    x, y = scattered(count=12)
    line = fit_line(exactly(x), exactly(y), key="k")
    residual = y - [line.at(float(one)).value for one in x]
    s = math.sqrt(float(residual @ residual) / 10.0)
    assert line.scatter == pytest.approx(s, rel=1e-6)
    bounds = [s * math.sqrt(10.0 / stats.chi2.ppf(p, 10)) for p in (0.975, 0.025)]
    assert line.scatter_interval == pytest.approx(bounds, rel=0.03)


def test_where_measurement_outweighs_scatter_the_interval_is_normal():
    x = np.linspace(0.0, 2.0, 6)
    rng = np.random.default_rng(4)
    line = fit_line(
        exactly(x), uncertain(1.0 + x + rng.normal(0.0, 0.1, 6), 0.1, "y"), key="k", scatters=False
    )
    assert line.slope.interval == pytest.approx(
        (line.slope.value - 1.96 * line.slope.u, line.slope.value + 1.96 * line.slope.u), rel=0.01
    )


def test_points_on_a_line_within_their_errors_show_no_scatter():
    x = np.linspace(0.0, 2.0, 6)
    line = fit_line(exactly(x), uncertain(1.0 + x, 0.1, "y"), key="k")
    assert line.scatter == 0.0
    assert line.scatter_interval[0] == 0.0
    assert 0.0 < line.scatter_interval[1] < 0.3
    assert line.slope.value == pytest.approx(1.0)


def test_an_error_that_all_points_share_moves_the_level_and_leaves_the_slope():
    x, y = scattered()
    common = Source("bar", "scale")
    shared = [Quantity(float(value), "1", {common: 0.3}) for value in y]
    line, bare = fit_line(exactly(x), shared, key="k"), fit_line(exactly(x), exactly(y), key="k")
    assert line.slope.value == pytest.approx(bare.slope.value, rel=1e-6)
    assert line.slope.u == pytest.approx(bare.slope.u, rel=1e-6)
    assert line.level.budget["scale"] == pytest.approx(0.3)
    assert "scale" not in line.slope.budget or line.slope.budget["scale"] < 1e-9


def test_errors_in_x_do_not_flatten_the_slope():
    rng = np.random.default_rng(9)
    slopes = []
    for _ in range(60):
        x = np.linspace(0.0, 1.0, 25)
        seen = x + rng.normal(0.0, 0.15, 25)
        y = x + rng.normal(0.0, 0.05, 25)
        slopes.append(fit_line(uncertain(seen, 0.15, "x"), uncertain(y, 0.05, "y"), key="k").slope.value)
    flattened = 1.0 / (1.0 + 0.15**2 / np.var(np.linspace(0.0, 1.0, 25)))
    assert np.mean(slopes) == pytest.approx(1.0, abs=0.04)
    assert flattened < 0.82


def test_support_falls_off_from_the_best_slope_as_student_says():
    x, y = scattered()
    line = fit_line(exactly(x), exactly(y), key="k")
    best, dof = line.slope, len(x) - 2
    steps = [0.0, 1.0, 2.0, 3.0]
    support = line_support(exactly(x), exactly(y), [best.value + step * best.u for step in steps])
    # derived: with level and scatter averaged over, the slope is Student's with n - 2 degrees of freedom
    expected = [-0.5 * (dof + 1) * math.log1p(step**2 / dof) for step in steps]
    assert support - support[0] == pytest.approx(expected, abs=0.03)


def test_many_points_are_fitted_too():
    x, y = scattered(count=150)
    line = fit_line(exactly(x), uncertain(y, 0.02, "y"), key="k")
    assert line.slope.low < 0.5 < line.slope.high
    assert line.slope.high - line.slope.low == pytest.approx(2.0 * 1.98 * line.slope.u, rel=0.01)


def test_what_makes_no_line_is_refused():
    x = exactly([1.0, 2.0])
    with pytest.raises(WrongUseError) as caught:
        fit_line(x, x, key="k")
    assert caught.value.code == "too-few-points"
    with pytest.raises(WrongUseError):
        fit_line(x, exactly([1.0]), key="k")
    with pytest.raises(UnmeasurableError) as upright:
        fit_line(exactly([1.0, 1.0, 1.0]), exactly([1.0, 2.0, 3.0]), key="k")
    assert upright.value.code == "no-spread"


@settings(max_examples=25, deadline=None)
@given(st.floats(-3.0, 3.0), st.floats(0.1, 10.0), st.integers(0, 1000))
def test_the_line_follows_a_change_of_units(slope, factor, seed):
    x, y = scattered(seed, slope=slope)
    one = fit_line(uncertain(x, 0.05, "x"), uncertain(y, 0.05, "y"), key="k")
    other = fit_line(uncertain(x, 0.05, "x"), uncertain(factor * y, factor * 0.05, "y"), key="k")
    assert other.slope.value == pytest.approx(factor * one.slope.value, rel=1e-4, abs=1e-5)
    assert other.slope.u == pytest.approx(factor * one.slope.u, rel=1e-3)
