"""The contact model of ISO/TS 15066:2016, annex A: E = F^2/(2 k) = mu v^2/2, so v = F / sqrt(mu k).

Stiffness and masses of table A.3 as in tables quoting it; the forces of the two cases are from memory, and so
is the text. The standard speaks of slow contact with machines at the threshold of pain; only its mechanics
are used here.
"""

import pytest

from tameshi.reference import row
from tameshi.target.transfer import collide, greatest_speed, reduced_mass
from tests.published.as_printed import as_printed


@pytest.mark.parametrize(
    ("key", "force", "machine", "mass", "speed", "energy"),
    [
        ("chest, standard", 280.0, 10.0, "8", "0.6261", "1.568"),
        ("hand, standard", 280.0, 5.0, "0.5357", "1.3969", "0.5227"),
    ],
)
def test_greatest_speeds(key, force, machine, mass, speed, energy):
    part = row("body_parts", key)
    mu = reduced_mass(machine, part["mass"])
    assert mu == as_printed(mass)
    found = greatest_speed(force, part["stiffness"], mu)
    assert found == as_printed(speed)
    met = collide(machine, part["mass"], found, part["stiffness"])
    assert met.peak_force == pytest.approx(force)
    assert met.energy == as_printed(energy)


@pytest.mark.parametrize(
    ("key", "newtons_per_millimetre"),
    [
        ("forehead, standard", 150),
        ("face, standard", 75),
        ("neck, standard", 50),
        ("throat, recommendation", 10),
        ("back, standard", 35),
        ("chest, standard", 25),
        ("abdomen, standard", 10),
        ("pelvis, standard", 25),
        ("upper arm, standard", 30),
        ("forearm, standard", 40),
        ("hand, standard", 75),
        ("thigh, standard", 50),
        ("lower leg, standard", 60),
    ],
)
def test_the_table_is_typed_right(key, newtons_per_millimetre):
    assert row("body_parts", key)["stiffness"] == 1e3 * newtons_per_millimetre
