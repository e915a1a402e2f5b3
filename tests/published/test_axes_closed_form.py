"""Principal axes and spacings of shapes that have a formula, through the whole measurement.

Source: derived. Second moments of an ellipse with half axes a and b are a^2/4 and b^2/4, of a rectangle
with sides l and w l^2/12 and w^2/12; axes are four times their roots: 2 a and 2 b, 4 l / sqrt 12 and
4 w / sqrt 12. Of the union of parts: the parallel axis theorem. Each shape is drawn here by its own
inequality on a fine grid and averaged down.
"""

import math
from itertools import pairwise

import numpy as np
import pytest

from tameshi.footprint import Footprint, measure_footprint
from tameshi.quantity import Missing, Quantity
from tests.known import known
from tests.published.test_areas_closed_form import DPI, Grid, Inside, scanned

TURNS = (0.0, 0.4, math.pi / 4, 1.3, math.pi / 2, -0.6)


def measured(inside: Inside) -> Footprint:
    return measure_footprint(scanned(inside), reference=f"scan:{DPI:.0f}")


def turned(x: Grid, y: Grid, turn: float) -> tuple[Grid, Grid]:
    return x * math.cos(turn) + y * math.sin(turn), y * math.cos(turn) - x * math.sin(turn)


def between_axes(one: float, other: float) -> float:
    """Return the angle between two lines without a front."""
    return abs((one - other + math.pi / 2) % math.pi - math.pi / 2)


def holds(quantity: Quantity, truth: float) -> bool:
    return quantity.low <= truth <= quantity.high


@pytest.mark.parametrize("turn", TURNS)
def test_an_ellipse_has_its_own_axes_and_direction(turn: float) -> None:
    def ellipse(x: Grid, y: Grid) -> np.ndarray:
        along, across = turned(x, y, turn)
        return np.asarray((along / 0.02) ** 2 + (across / 0.011) ** 2 <= 1.0)

    axes = measured(ellipse).patches[0].axes
    assert axes.major.value == pytest.approx(0.040, rel=0.003)
    assert axes.minor.value == pytest.approx(0.022, rel=0.005)
    assert between_axes(known(axes.direction).value, turn) < 0.003
    assert holds(axes.major, 0.040)
    assert holds(axes.minor, 0.022)
    assert between_axes(known(axes.direction).value, turn) < 2.0 * known(axes.direction).u


@pytest.mark.parametrize("turn", TURNS)
def test_a_turned_rectangle_has_the_axes_of_its_moments(turn: float) -> None:
    def rectangle(x: Grid, y: Grid) -> np.ndarray:
        along, across = turned(x, y, turn)
        return np.asarray((abs(along) <= 0.015) & (abs(across) <= 0.006))

    axes = measured(rectangle).patches[0].axes
    long, wide = (4.0 * side / math.sqrt(12.0) for side in (0.030, 0.012))
    assert axes.major.value == pytest.approx(long, rel=0.005)
    assert axes.minor.value == pytest.approx(wide, rel=0.01)
    assert between_axes(known(axes.direction).value, turn) < 0.003
    assert holds(axes.major, long)
    assert holds(axes.minor, wide)


def test_a_circle_has_two_equal_axes_and_points_no_way() -> None:
    axes = measured(lambda x, y: np.hypot(x, y) <= 0.012).patches[0].axes
    assert axes.major.value == pytest.approx(0.024, rel=0.004)
    assert axes.minor.value == pytest.approx(0.024, rel=0.004)
    assert isinstance(axes.direction, Missing)
    assert "as wide as long" in axes.direction.why


def test_a_ring_has_the_axes_of_its_moments() -> None:
    # mean square along x of a ring: (R^2 + r^2) / 4
    axes = measured(lambda x, y: (np.hypot(x, y) <= 0.018) & (np.hypot(x, y) > 0.008)).patches[0].axes
    assert axes.major.value == pytest.approx(2.0 * math.hypot(0.018, 0.008), rel=0.004)


def test_two_circles_are_as_far_apart_as_their_middles() -> None:
    found = measured(
        lambda x, y: (np.hypot(x - 0.015, y - 0.004) <= 0.010) | (np.hypot(x + 0.015, y) <= 0.008)
    )
    (spacing,) = found.spacings
    truth = math.hypot(0.030, 0.004)
    assert spacing.between == (1, 2)
    assert spacing.distance.value == pytest.approx(truth, abs=2e-5)
    assert holds(spacing.distance, truth)


def test_two_circles_that_touch_have_the_axes_of_the_parallel_axis_theorem() -> None:
    radius, half = 0.008, 0.0078
    found = measured(lambda x, y: (np.hypot(x - half, y) <= radius) | (np.hypot(x + half, y) <= radius))
    area, overlap = math.pi * radius**2, _lens(radius, 2.0 * half)
    across = 2.0 * area * (radius**2 / 4.0 + half**2) / (2.0 * area - overlap)
    # the lens of the overlap is small and lies at the middle: it counts once, not twice
    assert len(found.patches) == 1
    assert found.patches[0].axes.major.value == pytest.approx(4.0 * math.sqrt(across), rel=0.004)


def test_circles_in_a_row_are_joined_along_the_row() -> None:
    found = measured(
        lambda x, y: np.minimum.reduce([np.hypot(x - at, y) for at in (-0.024, -0.006, 0.01, 0.025)]) <= 0.005
    )
    middles = {patch.index: patch.centroid[0] for patch in found.patches}
    in_row = sorted(middles, key=middles.__getitem__)
    pairs = {tuple(sorted(pair)) for pair in pairwise(in_row)}
    assert {spacing.between for spacing in found.spacings} == pairs
    lengths = sorted(spacing.distance.value for spacing in found.spacings)
    assert lengths == pytest.approx([0.015, 0.016, 0.018], abs=3e-5)


def _lens(radius: float, apart: float) -> float:
    half = math.acos(apart / (2.0 * radius))
    return radius**2 * (2.0 * half - math.sin(2.0 * half))
