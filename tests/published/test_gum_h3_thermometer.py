"""GUM example H.3, calibration of a thermometer, through the calibration code.

Source: JCGM 100:2008, H.3, table H.6: y1 -0.1712 (0.0029), y2 0.00218 (0.00067), r -0.930, s 0.0035;
b(30 degrees) = -0.1494 (0.0041), 9 degrees of freedom.
"""

import math

import numpy as np
import pytest

from tameshi.quantity import correlation, from_covariance
from tameshi.rig import fit_calibration
from tests.published.as_printed import as_printed

TEMPERATURES = (21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511)
CORRECTIONS = (-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160)


@pytest.fixture
def fitted():
    return fit_calibration(np.array(TEMPERATURES) - 20.0, CORRECTIONS, degree=1)


@pytest.fixture
def coefficients(fitted):
    return from_covariance(
        fitted.coefficients, fitted.covariance, ("1", "1"), key="h3", name="fit", dof=fitted.dof
    )


def test_intercept_and_slope(coefficients):
    intercept, slope = coefficients
    assert (intercept.value, intercept.u) == (as_printed("-0.1712"), as_printed("0.0029"))
    assert (slope.value, slope.u) == (as_printed("0.00218"), as_printed("0.00067"))
    assert correlation(intercept, slope) == as_printed("-0.930")


def test_scatter_about_the_line(fitted):
    assert fitted.residual_sd == as_printed("0.0035")


def test_predicted_correction_at_30_degrees(coefficients):
    intercept, slope = coefficients
    predicted = intercept + slope * 10.0
    assert (predicted.value, predicted.u) == (as_printed("-0.1494"), as_printed("0.0041"))
    assert predicted.dof == pytest.approx(9.0)


def test_prediction_does_not_depend_on_where_temperature_is_counted_from(coefficients):
    # derived: the same straight line, its intercept at 0 instead of 20 degrees
    shifted = fit_calibration(TEMPERATURES, CORRECTIONS, degree=1)
    y1, y2 = from_covariance(shifted.coefficients, shifted.covariance, ("1", "1"), key="x", name="fit")
    predicted = y1 + y2 * 30.0
    reference = coefficients[0] + coefficients[1] * 10.0
    assert predicted.value == pytest.approx(reference.value, rel=1e-10)
    assert math.isclose(predicted.u, reference.u, rel_tol=1e-6)
