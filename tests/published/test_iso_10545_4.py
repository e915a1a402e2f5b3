"""Breaking strength and modulus of rupture of ceramic tiles, and what tiles have to reach.

Source: ISO 10545-4 (breaking strength S = F L / b, modulus of rupture R = 3 F L / (2 b h^2)), seen in a copy;
the example F = 1800 N, L = 280 mm, b = 300 mm, h = 9 mm is derived from it. Group limits: ISO 13006 as
product sheets quote it: BIII 15 MPa from 7.5 mm, 12 MPa below; BIa 35 MPa; BIIa 22 MPa.
"""

from __future__ import annotations

import numpy as np
import pytest

from tameshi.quantity import parse_quantity
from tameshi.reference import row
from tameshi.target.breaking import (
    breaking_force,
    breaking_strength,
    material_of,
    parse_target,
    rupture_of_strength,
    rupture_stress,
    stress_per_newton,
)
from tests.published.as_printed import as_printed

TILE = """
kind = "tile"
material = "wall tile"
[size]
thickness = "9 mm"
width = "300 mm"
[support]
how = "two edges"
span = "280 mm"
[tested]
breaking_strength = "1680 N"
"""


def test_the_example() -> None:
    assert breaking_strength(1800.0, 0.28, 0.3) == as_printed("1680")
    assert 1e-6 * rupture_stress(1800.0, 0.28, 0.3, 0.009) == as_printed("31.11")
    assert 1e-6 * rupture_of_strength(1680.0, 0.009) == as_printed("31.11")
    assert breaking_force(rupture_of_strength(1680.0, 0.009), 0.28, 0.3, 0.009) == pytest.approx(1800.0)


def test_a_tile_marked_with_its_breaking_strength_breaks_at_the_force_of_the_test() -> None:
    target = parse_target(TILE)
    strength = material_of(target).strength.values(np.zeros(1))
    assert strength / stress_per_newton(target) == pytest.approx(1800.0)


@pytest.mark.parametrize(
    ("group", "least"), [("wall tile", "15 MPa"), ("porcelain tile", "35 MPa"), ("floor tile", "22 MPa")]
)
def test_the_limits_of_the_groups(group: str, least: str) -> None:
    entry = row("breaking_materials", group)
    assert entry["strength"] == least
    assert entry["is"] == "least"


def test_thin_wall_tiles_have_a_limit_of_their_own() -> None:
    entry = row("breaking_materials", "wall tile")
    assert parse_quantity(entry["thin_strength"], "pressure") == 12e6
    assert parse_quantity(entry["thin_below"], "length") == 0.0075
