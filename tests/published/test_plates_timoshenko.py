"""Simply supported rectangular plates: deflection and moment coefficients of the series.

Source: S. Timoshenko, S. Woinowsky-Krieger, Theory of Plates and Shells, 2nd edition (1959), tables 8 and 23,
values from memory (0.00705 at 1.4, 0.01353 at 1.2, 0.01695 at infinity are printed there). The table here is
the exact sum of the series, computed independently; the printed tables differ from it in their last digit.
"""

from __future__ import annotations

import math

import pytest

from tameshi.target.breaking import plates

# aspect, alpha, beta, beta1, alpha of a central load: exact series, nu = 0.3
EXACT = [
    (1.0, 0.00406, 0.0479, 0.0479, 0.01160),
    (1.2, 0.00565, 0.0627, 0.0501, 0.01356),
    (1.4, 0.00708, 0.0755, 0.0502, 0.01487),
    (1.5, 0.00772, 0.0812, 0.0498, 0.01533),
    (1.6, 0.00831, 0.0862, 0.0493, 0.01570),
    (1.8, 0.00932, 0.0948, 0.0479, 0.01621),
    (2.0, 0.01013, 0.1017, 0.0464, 0.01652),
    (3.0, 0.01223, 0.1189, 0.0406, 0.01693),
    (4.0, 0.01282, 0.1235, 0.0384, 0.01696),
    (5.0, 0.01297, 0.1246, 0.0377, 0.01696),
]
PRINTED = [(1.2, "point", 0.01353), (1.4, "uniform", 0.00705)]


@pytest.mark.parametrize(("aspect", "alpha", "beta", "beta1", "alpha_point"), EXACT)
def test_coefficients_are_those_of_the_exact_series(
    aspect: float, alpha: float, beta: float, beta1: float, alpha_point: float
) -> None:
    # half a unit of the last digit given, at most 0.15 % of it
    assert plates.uniform_deflection(aspect) == pytest.approx(alpha, abs=0.5e-5)
    assert plates.uniform_moments(aspect) == pytest.approx((beta, beta1), abs=0.5e-4)
    assert plates.point_deflection(aspect) == pytest.approx(alpha_point, abs=0.5e-5)


@pytest.mark.parametrize(("aspect", "load", "printed"), PRINTED)
def test_the_printed_tables_agree_within_half_a_per_cent(aspect: float, load: str, printed: float) -> None:
    found = {"point": plates.point_deflection, "uniform": plates.uniform_deflection}[load](aspect)
    assert found == pytest.approx(printed, rel=5e-3)


def test_a_long_plate_bends_like_a_strip() -> None:
    assert plates.uniform_deflection(60.0) == pytest.approx(5.0 / 384.0, rel=1e-6)
    assert plates.uniform_moments(60.0) == pytest.approx((1.0 / 8.0, 0.3 / 8.0), rel=1e-5)
    assert plates.point_deflection(60.0) == pytest.approx(0.01695, rel=1e-3)


def test_the_square_bends_alike_both_ways() -> None:
    across, along = plates.uniform_moments(1.0)
    assert across == pytest.approx(along, rel=1e-6)


def test_the_double_series_of_navier_gives_the_same_deflection() -> None:
    # derived: w = (16 q a^4 / pi^6 D) sum of +-1 / (m n (m^2 + n^2 / r^2)^2) over odd m and n
    aspect = 1.6
    total = math.fsum(
        (-1) ** ((m + n) // 2 - 1) / (m * n * (m * m + n * n / aspect**2) ** 2)
        for m in range(1, 80, 2)
        for n in range(1, 80, 2)
    )
    assert plates.uniform_deflection(aspect) == pytest.approx(16.0 / math.pi**6 * total, rel=1e-7)
