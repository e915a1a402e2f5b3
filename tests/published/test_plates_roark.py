"""Rectangular and round plates under uniform and central loads.

Source: W. C. Young, R. G. Budynas, Roark's Formulas for Stress and Strain, 7th edition (2002), table 11.4
cases 1a and 1b (seen in a copy), table 11.2 cases 16 and 17 (formulas seen). Clamped rectangle: as an
engineering site quotes the same table.
"""

from __future__ import annotations

import math

import pytest

from tameshi.target.breaking import plates
from tests.published.as_printed import as_printed

# aspect; stress = beta q b^2 / t^2, deflection = alpha q b^4 / E t^3; alpha of a central load
UNIFORM = [
    (1.0, "0.2874", "0.0444", "0.1267"),
    (1.2, "0.3762", "0.0616", "0.1478"),
    (1.4, "0.4530", "0.0770", "0.1621"),
    (1.6, "0.5172", "0.0906", "0.1715"),
    (1.8, "0.5688", "0.1017", "0.1770"),
    (2.0, "0.6102", "0.1110", "0.1805"),
]
LONG = [(3.0, "0.7134", "0.1335"), (4.0, "0.7410", "0.1400"), (5.0, "0.7476", "0.1417")]
RIGIDITY = 12.0 * (1.0 - 0.3**2)


@pytest.mark.parametrize(("aspect", "beta", "alpha", "alpha_point"), UNIFORM)
def test_the_printed_coefficients_agree_within_half_a_per_cent(
    aspect: float, beta: str, alpha: str, alpha_point: str
) -> None:
    assert 6.0 * plates.uniform_moments(aspect)[0] == pytest.approx(float(beta), rel=5e-3)
    assert RIGIDITY * plates.uniform_deflection(aspect) == pytest.approx(float(alpha), rel=5e-3)
    assert RIGIDITY * plates.point_deflection(aspect) == pytest.approx(float(alpha_point), rel=5e-3)


@pytest.mark.parametrize(("aspect", "beta", "alpha"), LONG)
def test_long_plates_agree_as_well(aspect: float, beta: str, alpha: str) -> None:
    assert 6.0 * plates.uniform_moments(aspect)[0] == pytest.approx(float(beta), rel=5e-3)
    assert RIGIDITY * plates.uniform_deflection(aspect) == pytest.approx(float(alpha), rel=5e-3)


@pytest.mark.parametrize(("radius", "printed"), [("0", "6.5"), ("5", "7.4762"), ("10", "10")])
def test_a_small_circle_counts_with_an_equivalent_radius(radius: str, printed: str) -> None:
    # derived from the formula: t = 20 mm
    assert plates.equivalent_radius(float(radius), 20.0) == as_printed(printed)


def test_the_two_branches_of_the_equivalent_radius_meet_with_a_step() -> None:
    just_below = plates.equivalent_radius(10.0 - 1e-9, 20.0)
    assert just_below == as_printed("10.1643")
    assert just_below / plates.equivalent_radius(10.0, 20.0) - 1.0 == pytest.approx(0.016, abs=1e-3)


@pytest.mark.parametrize(("radius", "printed"), [(0.005, "16.643"), (0.025, "11.023")])
def test_stress_of_a_square_under_a_central_load(radius: float, printed: str) -> None:
    # derived from case 1b: 300 x 300 x 20 mm, 3 kN
    assert 1e-6 * plates.rectangle_stress(3000.0, 0.3, 1.0, 0.02, radius) == as_printed(printed)


def test_deflection_of_that_square() -> None:
    bent = plates.point_deflection(1.0) * 3000.0 * 0.3**2 / plates.rigidity(25e9, 0.02)
    assert 1e3 * bent == as_printed("0.1710", slack=3e-4)  # alpha is printed to three digits


def test_a_clamped_square_is_stressed_most_at_its_edge_under_a_wide_circle() -> None:
    middle, edge = plates.clamped_rectangle_stress(1000.0, 0.3, 1.0, 0.02, 0.03)
    local = 1.3 * math.log(2.0 * 0.3 / (math.pi * 0.03)) - 0.238
    assert middle == pytest.approx(3.0 * 1000.0 / (2.0 * math.pi * 0.02**2) * local)
    assert edge == pytest.approx(0.7542 * 1000.0 / 0.02**2)
    assert plates.clamped_point_deflection(1.0) == pytest.approx(0.0611 / RIGIDITY)


def test_clamping_a_circle_divides_its_deflection() -> None:
    # cases 16 and 17: (3 + nu) / (1 + nu) between them; uniform load: (5 + nu) / (1 + nu)
    point = [plates.circle_point_deflection(clamped=clamped) for clamped in (False, True)]
    uniform = [plates.circle_uniform_deflection(clamped=clamped) for clamped in (False, True)]
    assert point[0] / point[1] == pytest.approx(3.3 / 1.3)
    assert uniform[0] / uniform[1] == pytest.approx(5.3 / 1.3)
    assert uniform[1] == pytest.approx(1.0 / 64.0)
