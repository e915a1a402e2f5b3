"""Local over mean pressure of simple laws of contact.

p = p0 (1 - s^2)^n over a circle gives p0 / p_mean = n + 1; a strip 4/pi for an elastic line contact and 3/2
for a layer. Mathematics of the distributions of K. L. Johnson, Contact Mechanics (1985), chapters 3 and 4
(page from memory); the table was worked out independently of this project's code.
"""

import math

import numpy as np
import pytest

from tameshi.target.contact import Distribution
from tests.published.as_printed import as_printed

UNIFORM, HERTZ, LAYER, PUNCH = (Distribution(n) for n in (0.0, 0.5, 1.0, -0.5))


@pytest.mark.parametrize(
    ("law", "peak", "above", "high"),
    [(HERTZ, "1.50", "55.6", "1.462"), (LAYER, "2.00", "50", "1.90")],
    ids=["sphere", "layer"],
)
def test_rounded_bodies(law, peak, above, high):
    assert law.peak_to_mean == as_printed(peak)
    assert 100.0 * law.share_above_mean == as_printed(above)
    assert law.quantile(0.95) == as_printed(high)


def test_uniform():
    assert UNIFORM.peak_to_mean == as_printed("1.00")
    assert UNIFORM.quantile(0.95) == as_printed("1.00")
    assert UNIFORM.share_above_mean is None


def test_a_flat_punch_has_no_greatest_pressure():
    assert PUNCH.centre_to_mean == as_printed("0.5")
    assert math.isinf(PUNCH.peak_to_mean)
    assert math.isinf(PUNCH.quantile(1.0))
    assert math.isinf(PUNCH.line_peak_to_mean)
    assert PUNCH.share_above_mean is not None
    assert 100.0 * PUNCH.share_above_mean == as_printed("25")


def test_lines_of_contact():
    assert HERTZ.line_peak_to_mean == as_printed("1.2732")
    assert HERTZ.line_peak_to_mean == pytest.approx(4.0 / math.pi)
    assert LAYER.line_peak_to_mean == as_printed("1.50")


@pytest.mark.parametrize("n", [-0.5, 0.3, 0.5, 1.0, 2.0])
def test_shares_against_counting(n):
    law = Distribution(n)
    inside = (np.arange(200_000) + 0.5) / 200_000  # share of the area within
    pressure = (n + 1.0) * (1.0 - inside) ** n
    assert pressure.mean() == pytest.approx(1.0, rel=5e-3)
    assert law.share_above_mean == pytest.approx(float((pressure > 1.0).mean()), abs=1e-4)
    assert law.quantile(0.8) == pytest.approx(float(np.quantile(pressure, 0.8)), rel=1e-4)


def test_a_worked_strike():
    mean = 3000.0 / 12e-4 / 1e6
    assert mean == as_printed("2.50")
    assert mean * HERTZ.peak_to_mean == as_printed("3.75")
    assert mean * LAYER.peak_to_mean == as_printed("5.00")
