"""A clamped round plate under a central and under a uniform load.

Source: verification problem of a structural analysis program (clamped circular plate, r = 40 in, t = 1 in, E
= 30e6 psi, nu = 0.3): 7539.82 lb in the centre give 0.0874 in and 3600 psi at the edge; 6 psi all over 0.0874
in, 7200 psi at the edge and 780 in-lb/in in the centre.
"""

from __future__ import annotations

from tameshi.target.breaking import plates
from tests.published.as_printed import as_printed

RADIUS, THICKNESS, MODULUS = 40.0, 1.0, 30e6  # inches and pounds are as coherent as metres and newtons
LOAD, PRESSURE = 7539.82, 6.0


def test_a_central_load() -> None:
    bent = plates.circle_point_deflection(clamped=True) * LOAD * RADIUS**2
    bent /= plates.rigidity(MODULUS, THICKNESS)
    assert bent == as_printed("0.0874")
    _, edge = plates.circle_moments(LOAD, RADIUS, THICKNESS, 1.0, clamped=True)
    assert plates.moment_stress(edge, THICKNESS) == as_printed("3600")


def test_a_uniform_load() -> None:
    bent = plates.circle_uniform_deflection(clamped=True) * PRESSURE * RADIUS**4
    assert bent / plates.rigidity(MODULUS, THICKNESS) == as_printed("0.0874")
    centre, edge = plates.circle_uniform_moments(PRESSURE, RADIUS, clamped=True)
    assert centre == as_printed("780")
    assert plates.moment_stress(edge, THICKNESS) == as_printed("7200")
