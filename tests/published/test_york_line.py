"""A straight line with errors in both directions: Pearson's data with York's weights.

Source: D. York, N. Evensen, M. Lopez Martinez, J. De Basabe Delgado, "Unified equations for the slope,
intercept, and standard errors of the best straight line", Am. J. Phys. 72 (2004) 367-375, table II, and
D. York, "Least-squares fitting of a straight line", Can. J. Phys. 44 (1966) 1079-1086 for the weights; read
as quoted with data and results in the tests of several public libraries. Standard uncertainties are those
that the table's Monte Carlo values and percentages come to (derived).
"""

import numpy as np
import pytest

from tameshi.quantity import Quantity, Source, fit_line
from tests.published.as_printed import as_printed

X = (0.0, 0.9, 1.8, 2.6, 3.3, 4.4, 5.2, 6.1, 6.5, 7.4)
Y = (5.9, 5.4, 4.4, 4.6, 3.5, 3.7, 2.8, 2.8, 2.4, 1.5)
WEIGHTS_X = (1000.0, 1000.0, 500.0, 800.0, 200.0, 80.0, 60.0, 20.0, 1.8, 1.0)
WEIGHTS_Y = (1.0, 1.8, 4.0, 8.0, 20.0, 20.0, 70.0, 70.0, 100.0, 500.0)


def points(values, weights, axis):
    return [
        Quantity(value, "1", {Source(f"{axis}{index}", axis): weight**-0.5})
        for index, (value, weight) in enumerate(zip(values, weights, strict=True))
    ]


@pytest.fixture(scope="module")
def line():
    return fit_line(points(X, WEIGHTS_X, "x"), points(Y, WEIGHTS_Y, "y"), key="york", scatters=False)


def test_slope_and_intercept_are_the_published_ones(line):
    assert line.slope.value == as_printed("-0.480533")
    assert line.at(0.0).value == as_printed("5.47991")


def test_chi_square_is_the_published_one(line):
    assert line.chi_square / 8.0 == as_printed("1.483")


def test_standard_uncertainties_are_the_published_ones(line):
    # sigma of Monte Carlo and the percentage that the formula is off it, both of table II
    assert line.at(0.0).u == pytest.approx(0.295713 * (1.0 - 0.00251151), abs=1e-6)
    assert line.slope.u == pytest.approx(0.058256 * (1.0 - 0.00464447), abs=1e-6)


def test_least_squares_over_every_true_point_agrees(line):
    from scipy.optimize import least_squares

    x, y = np.array(X), np.array(Y)
    root_x, root_y = np.sqrt(WEIGHTS_X), np.sqrt(WEIGHTS_Y)

    def off(unknown):
        slope, intercept, true = unknown[0], unknown[1], unknown[2:]
        return np.concatenate([root_x * (x - true), root_y * (y - intercept - slope * true)])

    found = least_squares(off, np.concatenate([[-0.5, 5.5], x]), xtol=1e-15, ftol=1e-15, gtol=1e-15)
    assert line.slope.value == pytest.approx(found.x[0], abs=1e-7)
    assert line.at(0.0).value == pytest.approx(found.x[1], abs=1e-6)
    assert line.chi_square == pytest.approx(2.0 * found.cost, rel=1e-9)
