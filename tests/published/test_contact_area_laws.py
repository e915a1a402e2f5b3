"""Contact area against force from the theory of elasticity.

Sphere on a flat: K. L. Johnson, Contact Mechanics (1985), chapter 4: a^3 = 3 F R / (4 E*) (formula as on
public pages; page from memory). Two equal spheres, R = 50 mm, E = 20 000 MPa, nu = 0.3, pressed together by
4 mm: a = 10 mm (code_aster, validation case SSNV104, and others). Thin layer on a rigid base, chapter 4.3
(value from memory): F = (pi/4) (K/h) a^4 / R. Rigid flat punch: its face.
"""

import math

import numpy as np
import pytest

from tameshi.pressure import area_law
from tameshi.quantity import Quantity, Source
from tests.published.as_printed import as_printed

FORCES = np.geomspace(500.0, 5000.0, 8)


def hertz_radius(force, radius, modulus):
    return (3.0 * force * radius / (4.0 * modulus)) ** (1.0 / 3.0)


def fitted(areas):
    forces = [Quantity(float(f), "N", {Source("cal", "calibration"): 0.01 * f}) for f in FORCES]
    prints = [
        Quantity(float(a), "m2", {Source(f"edge{index}", "edge"): 0.01 * a}) for index, a in enumerate(areas)
    ]
    return area_law(forces, prints)


def test_the_radius_used_here_is_that_of_the_published_case():
    contact_modulus = 20e9 / (2.0 * (1.0 - 0.3**2))
    radius = 0.05 / 2.0
    force = 4.0 / 3.0 * contact_modulus * math.sqrt(radius) * 0.004**1.5
    assert 1e3 * hertz_radius(force, radius, contact_modulus) == as_printed("10")


@pytest.mark.parametrize(
    ("name", "areas", "exponent"),
    [
        ("sphere on flat", [math.pi * hertz_radius(f, 0.04, 2e6) ** 2 for f in FORCES], 2.0 / 3.0),
        ("thin layer", [math.pi * math.sqrt(4.0 * f * 0.04 / (math.pi * 4e8)) for f in FORCES], 0.5),
        ("rigid flat", [1.2e-3 for _ in FORCES], 0.0),
    ],
)
def test_each_law_is_found_in_prints_made_by_it(name, areas, exponent):
    law = fitted(areas)
    assert law.exponent.value == pytest.approx(exponent, abs=1e-6)
    assert [one.name for one in law.inside] == [name]


def test_the_exponent_in_the_table_is_that_of_the_formula():
    from fractions import Fraction

    from tameshi.reference import row

    for force in (100.0, 3000.0):
        slope = math.log(hertz_radius(2 * force, 0.04, 2e6) ** 2 / hertz_radius(force, 0.04, 2e6) ** 2)
        assert slope / math.log(2.0) == pytest.approx(
            float(Fraction(row("area_laws", "sphere on flat")["exponent"]))
        )
