"""Least squares that a few wrong points hardly pull at."""

import numpy as np
import pytest

from tameshi.footprint.geometry.robust import Robust, settle
from tameshi.footprint.picture.arrays import FloatArray

AT = np.linspace(-1.0, 1.0, 41)
RULE = Robust(8, 2.0, 1e-6)


def of_a_line(seen: FloatArray):
    def residuals(unknowns: FloatArray) -> tuple[FloatArray, FloatArray]:
        return seen - unknowns[0] - unknowns[1] * AT, np.column_stack([np.ones_like(AT), AT])

    return residuals


def test_without_wrong_points_it_is_ordinary_least_squares():
    seen = 3.0 + 2.0 * AT + np.random.default_rng(1).normal(0.0, 0.1, len(AT))
    found = settle(np.zeros(2), of_a_line(seen), Robust(8, 50.0, 1e-6))
    slope, level = np.polyfit(AT, seen, 1)
    assert found.unknowns == pytest.approx([level, slope], rel=1e-9)
    design = np.column_stack([np.ones_like(AT), AT])
    assert found.unit == pytest.approx(np.linalg.inv(design.T @ design), rel=1e-9)
    assert found.dof == len(AT) - 2


def test_wrong_points_hardly_pull():
    seen = 3.0 + 2.0 * AT + np.random.default_rng(1).normal(0.0, 0.1, len(AT))
    seen[30:34] += 20.0
    found = settle(np.zeros(2), of_a_line(seen), RULE)
    assert found.unknowns == pytest.approx([3.0, 2.0], abs=0.15)
    assert found.weights[30:34].max() < 0.05
    assert abs(np.polyfit(AT, seen, 1)[1] - 2.0) > 1.0


def test_a_projective_map_is_found_exactly():
    truth = np.array([5.0, 3.0, 0.2])

    def residuals(unknowns: FloatArray) -> tuple[FloatArray, FloatArray]:
        depth = 1.0 + unknowns[2] * AT
        fitted = (unknowns[0] + unknowns[1] * AT) / depth
        seen = (truth[0] + truth[1] * AT) / (1.0 + truth[2] * AT)
        return seen - fitted, np.column_stack([1.0 / depth, AT / depth, -fitted * AT / depth])

    assert settle(np.array([4.0, 2.0, 0.0]), residuals, RULE).unknowns == pytest.approx(truth, rel=1e-9)
