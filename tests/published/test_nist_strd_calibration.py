"""NIST StRD 'Norris' (straight line) and 'Pontius' (a load cell's curve) through the calibration code.

Source: NIST Statistical Reference Datasets, linear regression: Norris, J., calibration of ozone monitors;
Pontius, P., load cell calibration. Certified to 15 digits. ASTM E74 and end-point figures are derived.
"""

import numpy as np
import pytest

from tameshi.rig import fit_calibration, force_of_reading

NORRIS = """
0.1 0.2; 338.8 337.4; 118.1 118.2; 888.0 884.6; 9.2 10.1; 228.1 226.5; 668.5 666.3; 998.5 996.3; 449.1 448.6;
778.9 777.0; 559.2 558.2; 0.3 0.4; 0.1 0.6; 778.1 775.5; 668.8 666.9; 339.3 338.0; 448.9 447.5; 10.8 11.6;
557.7 556.0; 228.3 228.1; 998.0 995.8; 888.8 887.6; 119.6 120.2; 0.3 0.3; 0.6 0.3; 557.6 556.8; 339.3 339.1;
888.0 887.2; 998.5 999.0; 778.9 779.0; 10.2 11.1; 117.6 118.3; 228.9 229.2; 668.4 669.1; 449.2 448.9; 0.2 0.5
"""
PONTIUS = """
.11019 .21956 .32949 .43899 .54803 .65694 .76562 .87487 .98292 1.09146 1.20001 1.30822 1.41599 1.52399 1.63194
1.73947 1.84646 1.95392 2.06128 2.16844 .11052 .22018 .32939 .43886 .54798 .65739 .76596 .87474 .98300 1.09150
1.20004 1.30818 1.41613 1.52408 1.63159 1.73965 1.84696 1.95445 2.06177 2.16829
"""
# a least-squares fit in double precision keeps at least this many of the certified digits
KEPT = 1e-9


def norris():
    pairs = np.array([pair.split() for pair in NORRIS.split(";")], dtype=np.float64)
    return fit_calibration(pairs[:, 1], pairs[:, 0], degree=1)


def pontius(degree):
    loads = np.tile(np.arange(1, 21) * 150_000.0, 2)
    return fit_calibration(loads, np.array(PONTIUS.split(), dtype=np.float64), degree=degree)


def test_norris_coefficients_are_the_certified_ones():
    fitted = norris()
    assert fitted.coefficients[0] == pytest.approx(-0.262323073774029, rel=KEPT)
    assert fitted.coefficients[1] == pytest.approx(1.00211681802045, rel=KEPT)


def test_norris_standard_deviations_are_the_certified_ones():
    fitted = norris()
    assert fitted.covariance[0][0] ** 0.5 == pytest.approx(0.232818234301152, rel=KEPT)
    assert fitted.covariance[1][1] ** 0.5 == pytest.approx(0.429796848199937e-3, rel=KEPT)
    assert fitted.residual_sd == pytest.approx(0.884796396144373, rel=KEPT)
    assert fitted.dof == 34


def test_pontius_coefficients_are_the_certified_ones():
    fitted = pontius(2)
    certified = (0.673565789473684e-3, 0.732059160401003e-6, -0.316081871345029e-14)
    assert fitted.coefficients == pytest.approx(certified, rel=KEPT)


def test_pontius_standard_deviations_are_the_certified_ones():
    fitted = pontius(2)
    certified = (0.107938612033077e-3, 0.157817399981659e-9, 0.486652849992036e-16)
    assert [fitted.covariance[i][i] ** 0.5 for i in range(3)] == pytest.approx(certified, rel=KEPT)
    assert fitted.residual_sd == pytest.approx(0.205177424076185e-3, rel=KEPT)
    assert fitted.dof == 37


def test_pontius_curvature_is_real():
    # derived: a straight line leaves ten times the scatter
    assert pontius(1).residual_sd == pytest.approx(2.171272597e-3, rel=1e-8)


def test_a_reading_is_turned_back_into_its_load():
    # derived: the fitted curve, inverted, gives back every load within the fit's own scatter
    fitted = pontius(2)
    loads = np.tile(np.arange(1, 21) * 150_000.0, 2)
    readings = np.array(PONTIUS.split(), dtype=np.float64)
    forces = force_of_reading(fitted, readings - fitted.coefficients[0])
    assert np.max(np.abs(forces - loads)) < 3.0 * fitted.residual_sd / fitted.coefficients[1]
