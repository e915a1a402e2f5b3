import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tameshi.errors import WrongUseError
from tameshi.rig import (
    calibration_table,
    conversion_of_rig,
    fit_calibration,
    load_series,
    parse_rig,
    prove_calibration,
)
from tests.rig.rigs import RIG

UP_AND_DOWN = [0.0, 500.0, 1000.0, 1500.0, 2000.0, 1500.0, 1000.0, 500.0, 0.0]
SENSITIVITY = 4e-4


def proof(loads, readings, degree=1, **given):
    series = load_series(loads, readings, **given)
    return prove_calibration(series, fit_calibration(loads, readings, degree=degree))


def codes(found):
    return {flag.code for flag in found.flags}


def test_runs_and_directions_follow_from_the_order():
    series = load_series(UP_AND_DOWN * 2, np.zeros(18))
    assert series.runs.tolist() == [1] * 9 + [2] * 9
    assert series.rising.tolist() == ([True] * 5 + [False] * 4) * 2


def test_what_is_given_stands():
    series = load_series([1.0, 2.0], [0.0, 0.0], runs=[3, 4], rising=[False, False], lines=(7, 9))
    assert series.runs.tolist() == [3, 4]
    assert not series.rising.any()
    assert series.lines == (7, 9)


def test_hysteresis_repeatability_and_zero_are_what_was_put_in():
    loads = np.array(UP_AND_DOWN * 2)
    readings = SENSITIVITY * loads
    readings[6] += 0.004  # at 1000 N on the way down
    readings[8] += 0.0016  # zero after the first run
    readings[11] += 0.0008  # at 1000 N on the second way up
    found = proof(loads, readings)
    span = SENSITIVITY * 2000.0
    assert found.hysteresis == pytest.approx(0.004 / span)
    assert found.zero_return == pytest.approx(0.0016 / span)
    assert found.repeatability == pytest.approx(0.004 / span)  # down at 1000 N: once with, once without


def test_a_known_bend_shows_in_both_lines():
    # derived: readings x - e 4 x (1 - x) of a load x from 0 to 1 depart by e in the middle from the ends
    share = np.linspace(0.0, 1.0, 21)
    readings = share - 0.01 * 4.0 * share * (1.0 - share)
    found = proof(2000.0 * share, readings, degree=2)
    assert found.end_point == pytest.approx(0.01, rel=1e-6)
    assert found.best_line < found.end_point
    assert found.hysteresis is None
    assert found.repeatability is None
    assert found.zero_return is None


def test_outliers_are_named_by_line_and_stay_in():
    generator = np.random.default_rng(3)
    loads = np.tile(np.linspace(0.0, 2000.0, 11), 3)
    readings = SENSITIVITY * loads + generator.normal(0.0, 1e-4, len(loads))
    readings[15] += 2e-3
    series = load_series(loads, readings, lines=tuple(range(2, 35)))
    found = prove_calibration(series, fit_calibration(loads, readings))
    assert [one.line for one in found.residuals if one.is_outlier] == [17]
    message = next(flag.message for flag in found.flags if flag.code == "calibration-outlier")
    assert "line 17" in message
    assert len(found.residuals) == 33


def test_outliers_and_curvature_are_seldom_told_where_there_is_none():
    generator = np.random.default_rng(8)
    loads = np.tile(np.linspace(0.0, 2000.0, 11), 3)
    told = [
        codes(proof(loads, SENSITIVITY * loads + generator.normal(0.0, 1e-4, len(loads)))) for _ in range(400)
    ]
    # one in a hundred is meant; binomial bounds at 400
    assert sum("calibration-outlier" in one for one in told) <= 12
    assert sum("curvature" in one for one in told) <= 12


def test_a_needless_curve_is_told():
    generator = np.random.default_rng(2)
    loads = np.tile(np.linspace(0.0, 2000.0, 11), 3)
    found = proof(loads, SENSITIVITY * loads + generator.normal(0.0, 1e-4, len(loads)), degree=2)
    assert "curvature-not-shown" in codes(found)


@given(st.floats(1e-3, 1e3), st.floats(1e-3, 1e3))
def test_shares_do_not_depend_on_units(of_load, of_reading):
    loads = np.array(UP_AND_DOWN)
    readings = SENSITIVITY * loads + 1e-4 * np.sin(loads)
    one, other = proof(loads, readings), proof(of_load * loads, of_reading * readings)
    assert other.end_point == pytest.approx(one.end_point, rel=1e-6)
    assert other.hysteresis == pytest.approx(one.hysteresis, rel=1e-6, abs=1e-12)
    assert other.lower_limit_factor == pytest.approx(of_load * one.lower_limit_factor, rel=1e-6)


def test_resolution_bounds_the_lower_limit_factor():
    loads = np.array(UP_AND_DOWN)
    series = load_series(loads, SENSITIVITY * loads + 1e-7 * np.sin(loads))
    found = prove_calibration(series, fit_calibration(series.loads, series.readings), step=1e-3)
    assert found.lower_limit_factor == pytest.approx(1e-3 / SENSITIVITY, rel=1e-2)


def test_columns_that_do_not_pair_are_refused():
    with pytest.raises(WrongUseError):
        load_series([1.0, 2.0], [1.0])
    with pytest.raises(WrongUseError):
        load_series([1.0, 2.0], [1.0, 2.0], runs=[1])


@pytest.mark.parametrize("degree", [1, 2])
def test_beyond_the_greatest_load_relative_uncertainty_only_grows(degree):
    generator = np.random.default_rng(5)
    loads = np.tile(np.linspace(0.0, 2000.0, 11), 3)
    readings = SENSITIVITY * loads + generator.normal(0.0, 2e-4, len(loads))
    rig = parse_rig(RIG + calibration_table(fit_calibration(loads, readings, degree=degree)))
    conversion = conversion_of_rig(rig)
    assert conversion.greatest == 2000.0
    forces = np.array([2000.0, 2500.0, 3000.0, 4000.0])
    fit = [t for t in conversion.errors if t.source.name in ("calibration", "extrapolation")]
    relative = np.sqrt(sum(term.at(forces) ** 2 for term in fit)) / forces
    assert (np.diff(relative) > 0.0).all()
