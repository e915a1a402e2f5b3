import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tameshi.errors import UnmeasurableError, WrongUseError
from tameshi.rig import (
    calibration_table,
    conversion_by_scale,
    conversion_of_rig,
    fit_calibration,
    force_of_reading,
    parse_rig,
)
from tests.rig.rigs import RIG, rig

LOADS = np.array([0.0, 0.0, 500.0, 500.0, 1000.0, 1000.0, 2000.0, 2000.0])


def calibrated(sensitivity=4.02e-4, curvature=0.0, scatter=2e-5, degree=1, load_u=0.0):
    rng = np.random.default_rng(4)
    readings = 0.01 + sensitivity * LOADS + curvature * LOADS**2 + rng.normal(0.0, scatter, len(LOADS))
    fitted = fit_calibration(LOADS, readings, degree=degree, load_u=load_u)
    return parse_rig(RIG + calibration_table(fitted))


def test_ratings_turn_volts_into_newtons_and_are_flagged():
    conversion = conversion_of_rig(rig())
    assert conversion.to_force(np.array([0.8]))[0] == pytest.approx(2000.0)
    assert [flag.code for flag in conversion.flags] == ["uncalibrated"]
    assert conversion.greatest == 5000.0


def test_calibration_takes_the_place_of_the_ratings():
    conversion = conversion_of_rig(calibrated())
    assert conversion.to_force(np.array([0.804]))[0] == pytest.approx(2000.0, rel=5e-4)
    assert conversion.flags == ()
    assert conversion.greatest == 2000.0


def relative_u(conversion, force):
    return np.sqrt(sum(term.at(np.array([force]))[0] ** 2 for term in conversion.errors)) / force


def test_a_calibration_is_worth_more_than_ratings():
    assert relative_u(conversion_of_rig(calibrated()), 1500.0) < 0.5 * relative_u(
        conversion_of_rig(rig()), 1500.0
    )


def test_uncertainty_grows_beyond_the_greatest_load():
    conversion = conversion_of_rig(calibrated(degree=2, scatter=1e-3))
    of_the_fit = [term for term in conversion.errors if term.source.name in ("calibration", "extrapolation")]

    def relative(force):
        return np.sqrt(sum(term.at(np.array([force]))[0] ** 2 for term in of_the_fit)) / force

    assert relative(4500.0) > 3.0 * relative(1800.0)


def test_a_zeroed_cell_has_no_error_at_zero():
    for conversion in (conversion_of_rig(rig()), conversion_of_rig(calibrated())):
        assert all(term.at(np.array([0.0]))[0] == pytest.approx(0.0, abs=1e-9) for term in conversion.errors)


@given(st.floats(1.0, 4000.0), st.floats(-5e-9, 5e-9))
def test_a_curved_calibration_is_inverted_exactly(force, curvature):
    fitted = fit_calibration(LOADS, 0.02 + 4e-4 * LOADS + curvature * LOADS**2, degree=2)
    b = fitted.coefficients
    change = np.array([b[1] * force + b[2] * force**2])
    assert force_of_reading(fitted, change)[0] == pytest.approx(force, rel=1e-7)


def test_a_stated_scale_is_never_taken_for_a_calibration():
    conversion = conversion_by_scale(2500.0, origin="stated scale", identity="x")
    assert conversion.to_force(np.array([2.0]))[0] == 5000.0
    assert [flag.code for flag in conversion.flags] == ["uncalibrated"]
    assert relative_u(conversion, 1000.0) > 0.01


@pytest.mark.parametrize(
    ("loads", "readings", "degree", "code"),
    [
        ([0.0, 1.0], [0.0, 1.0], 1, "too-few-readings"),
        ([1.0, 1.0, 1.0], [0.0, 1.0, 2.0], 1, "too-few-readings"),
        ([0.0, 1.0, 2.0], [0.0, 1.0, float("nan")], 1, "not-finite"),
        ([0.0, 1.0, 2.0, 3.0], [0.5, 0.4, 0.6, 0.5], 1, "no-response"),
    ],
)
def test_points_that_fix_no_curve_are_refused(loads, readings, degree, code):
    with pytest.raises(UnmeasurableError) as caught:
        fit_calibration(loads, readings, degree=degree)
    assert caught.value.code == code


@pytest.mark.parametrize(
    ("readings", "degree", "code"), [([0.0, 1.0, 2.0], 3, "wrong-degree"), ([0.0], 1, "unpaired")]
)
def test_a_wrong_call_is_refused(readings, degree, code):
    with pytest.raises(WrongUseError) as caught:
        fit_calibration([0.0, 1.0, 2.0], readings, degree=degree)
    assert caught.value.code == code
