"""Dynamic factor of an undamped mass on a spring under half a sine.

Source: exact mathematics (Duhamel's integral), tabulated independently; the charts in textbooks on structural
dynamics show the same curve. Its maximum is 1.76846 at a duration of 0.8099 periods.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import optimize

from tameshi.target.breaking import force_factor, half_sine_factor
from tests.published.as_printed import as_printed

TABLE = [
    (0.05, "0.1995"), (0.1, "0.3963"), (0.2, "0.7705"), (0.25, "0.9428"), (0.3, "1.1021"), (0.4, "1.3734"),
    (0.5, "1.5708"), (0.6, "1.6904"), (0.7, "1.7500"), (0.8, "1.7683"), (0.9, "1.7591"), (1.0, "1.7321"),
    (1.25, "1.6249"), (1.5, "1.5000"), (2.0, "1.2681"), (2.5, "1.0825"), (3.0, "1.1699"), (4.0, "1.1255"),
    (5.0, "1.0998"), (10.0, "1.0497"),
]  # fmt: skip
TIME = np.linspace(0.0, 1.0, 4001)


@pytest.mark.parametrize(("ratio", "printed"), TABLE)
def test_the_table(ratio: float, printed: str) -> None:
    assert half_sine_factor(ratio) == as_printed(printed)


@pytest.mark.parametrize(("ratio", "printed"), TABLE)
def test_a_sampled_half_sine_gives_the_same(ratio: float, printed: str) -> None:
    # straight lines between 4001 samples leave out less than a millionth of the sine, and its
    # tops fall between the steps at which the answer is looked at
    found = force_factor(ratio * TIME, np.sin(math.pi * TIME), 1.0)
    assert found == as_printed(printed, slack=5e-6)


def test_the_maximum() -> None:
    found = optimize.minimize_scalar(
        lambda ratio: -half_sine_factor(ratio), bounds=(0.7, 0.9), method="bounded"
    )
    assert -found.fun == as_printed("1.76846")
    assert found.x == pytest.approx(0.8099, abs=5e-4)  # flat: the place is less well told than the height


def test_simple_values() -> None:
    assert half_sine_factor(0.5) == pytest.approx(math.pi / 2.0)
    assert half_sine_factor(1.0) == pytest.approx(math.sqrt(3.0))
    assert half_sine_factor(1.5) == pytest.approx(1.5)


@pytest.mark.parametrize(("ratio", "too_high"), [(0.1, 0.009), (0.2, 0.038)])
def test_the_impulsive_limit(ratio: float, too_high: float) -> None:
    assert 4.0 * ratio / half_sine_factor(ratio) - 1.0 == pytest.approx(too_high, abs=5e-4)


def test_a_step_doubles_the_load_at_rest() -> None:
    time = np.linspace(0.0, 50.0, 101)
    assert force_factor(time, np.ones_like(time), 1.0) == pytest.approx(2.0, rel=1e-3)


def test_a_force_that_grows_slowly_acts_like_one_at_rest() -> None:
    time = np.array([0.0, 100.0, 200.0])
    assert force_factor(time, np.array([0.0, 1.0, 0.0]), 1.0) == pytest.approx(1.0, abs=0.01)
