"""Lower limits and non-linearity of a load cell's calibration, on the data of NIST StRD 'Pontius'.

Source of the data: NIST Statistical Reference Datasets, Pontius, P., load cell calibration. Factors: ASTM
E74-18, 7.1.2 and 8.5, as quoted by a calibration service: lower limit factor 2.4 s, class A from 400 times,
class AA from 2000 times it. The figures made from them are derived, in extended precision.
"""

import numpy as np
import pytest

from tameshi.rig import fit_calibration, load_series, prove_calibration
from tests.published.as_printed import as_printed
from tests.published.test_nist_strd_calibration import PONTIUS

LOADS = np.tile(np.arange(1, 21) * 150_000.0, 2)
READINGS = np.array(PONTIUS.split(), dtype=np.float64)


def proof(degree):
    series = load_series(LOADS, READINGS)
    return prove_calibration(series, fit_calibration(LOADS, READINGS, degree=degree))


def test_lower_limit_factor_as_a_force():
    assert proof(2).lower_limit_factor == as_printed("676.55")


def test_ranges_of_both_classes():
    found = proof(2)
    assert found.class_a == pytest.approx(270_620.0, abs=0.5)
    assert found.class_aa == pytest.approx(1_353_097.99, abs=0.01)


def test_a_straight_line_makes_the_lower_limit_ten_times_worse():
    assert proof(1).lower_limit_factor == as_printed("7159.522")


def test_non_linearity_from_both_lines():
    found = proof(2)
    assert 100.0 * found.end_point == as_printed("0.343992")
    assert 100.0 * found.best_line == as_printed("0.189547")


def test_two_runs_up_are_seen():
    series = load_series(LOADS, READINGS)
    assert series.runs.tolist() == [1] * 20 + [2] * 20
    assert series.rising.all()


def test_the_quadratic_term_is_real_and_told_where_a_line_is_asked():
    # derived: F = (SSE1 - SSE2) / (SSE2 / 37) with residual sd 2.171272597e-3 (38 dof) and 2.05177424e-4 (37)
    expected = (38 * 2.171272597e-3**2 - 37 * 2.05177424e-4**2) / 2.05177424e-4**2
    assert proof(1).curvature_f == pytest.approx(expected, rel=1e-6)
    assert "curvature" in {flag.code for flag in proof(1).flags}
    assert not {"curvature", "curvature-not-shown"} & {flag.code for flag in proof(2).flags}
