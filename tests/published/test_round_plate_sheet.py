"""A round steel plate under a small central circle, clamped.

Source: a published calculation sheet after Roark, table 11.2 (a = 150 mm, t = 1.5 mm, E = 200 GPa, nu = 0.29,
314 N on a circle of 10 mm radius): clamped 2.295 mm, 233 MPa in the centre, -67 MPa at the edge. Its inputs
are rounded, so its deflection is met within 0.3 %. The simply supported row of the same sheet (moment 374,
stress 1000) does not follow from the formula it quotes, which gives 112.33 N and 299.6 MPa: that row is not
used. The plate bends by more than its thickness: linear theory does not hold for the real one.
"""

from __future__ import annotations

import math

import pytest

from tameshi.target.breaking import plates
from tests.published.as_printed import as_printed

RADIUS, THICKNESS, MODULUS, NU = 150.0, 1.5, 200e3, 0.29  # mm, N, MPa
LOAD, CIRCLE = 100.0 * math.pi, 10.0  # 1 MPa on the circle; printed as 314


def test_the_clamped_row() -> None:
    alpha = plates.circle_point_deflection(clamped=True, nu=NU)
    bent = alpha * LOAD * RADIUS**2 / plates.rigidity(MODULUS, THICKNESS, NU)
    assert bent == pytest.approx(2.295, rel=3e-3)
    centre, edge = plates.circle_moments(LOAD, RADIUS, THICKNESS, CIRCLE, clamped=True, nu=NU)
    assert plates.moment_stress(centre, THICKNESS) == as_printed("233")
    assert plates.moment_stress(edge, THICKNESS) == as_printed("67")


def test_the_simply_supported_row_is_no_check_as_it_contradicts_its_own_formula() -> None:
    centre, edge = plates.circle_moments(LOAD, RADIUS, THICKNESS, CIRCLE, clamped=False, nu=NU)
    # derived: (P / 4 pi) ((1 + nu) ln(a / r0) + 1), the formula the sheet quotes
    quoted = LOAD / (4.0 * math.pi) * ((1.0 + NU) * math.log(RADIUS / CIRCLE) + 1.0)
    assert centre == pytest.approx(quoted)
    assert centre == as_printed("112.33")
    assert plates.moment_stress(centre, THICKNESS) == as_printed("299.6")
    assert edge == 0.0
    assert centre < 374.0 / 3.0
    assert plates.moment_stress(centre, THICKNESS) < 1000.0 / 3.0
