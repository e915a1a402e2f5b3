"""Bending of a beam on two edges: a board, a tile or a slab struck across the middle of its span.

All formulas are those of a slender, straight, linear beam, loaded by a line across its whole width.
Arguments are floats or arrays alike, all of one kind, in coherent SI.
"""

from __future__ import annotations

import math
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

Value = TypeVar("Value", float, NDArray[np.float64])

BEAM_MASS = 17.0 / 35.0
"""Share of the mass of a beam between its supports that moves with its middle, by its static deflection."""


def rupture_stress(force: Value, span: Value, width: Value, thickness: Value) -> Value:
    """Return the bending stress under a force in the middle of the span, 3 F L / (2 b h^2).

    Parameters
    ----------
    force : float or (n,) array
        [N]
    span : float or (n,) array
        Between the supports. [m]
    width : float or (n,) array
        Along the supports. [m]
    thickness : float or (n,) array
        [m]

    Returns
    -------
    float or (n,) array
        Modulus of rupture where the force is the one that breaks it. [Pa]

    Notes
    -----
    Source: ISO 10545-4, modulus of rupture; any text on the strength of materials.
    """
    return 1.5 * force * span / (width * thickness * thickness)


def breaking_force(strength: Value, span: Value, width: Value, thickness: Value) -> Value:
    """Return the force in the middle of the span that raises the bending stress to the strength. [N]"""
    return strength * width * thickness * thickness / (1.5 * span)


def breaking_strength(force: Value, span: Value, width: Value) -> Value:
    """Return the breaking strength S = F L / b of a tile, as its standard defines it. [N]

    Notes
    -----
    Source: ISO 10545-4.
    """
    return force * span / width


def rupture_of_strength(strength: Value, thickness: Value) -> Value:
    """Return the modulus of rupture R = 3 S / (2 h^2) from a tile's breaking strength. [Pa]

    Notes
    -----
    Source: ISO 10545-4.
    """
    return 1.5 * strength / (thickness * thickness)


def third_point_rupture(
    force: float, span: float, width: float, depth: float, *, break_at: float | None = None
) -> float:
    """Return the modulus of rupture of a beam loaded at the thirds of its span.

    Parameters
    ----------
    force : float
        Sum of both loads at the break. [N]
    span, width, depth : float
        [m]
    break_at : float or None
        Distance of the break from the nearer support, where it lies outside the middle third. [m]

    Returns
    -------
    float
        F L / (b d^2), or 3 F a / (b d^2) for a break outside the middle third. [Pa]

    Notes
    -----
    Source: ASTM C78.
    """
    arm = span if break_at is None else 3.0 * break_at
    return force * arm / (width * depth * depth)


def stiffness(modulus: Value, span: Value, width: Value, thickness: Value) -> Value:
    """Return the force per deflection in the middle of the span, 4 E b h^3 / L^3. [N/m]"""
    return 4.0 * modulus * width * (thickness / span) * (thickness / span) * (thickness / span)


def energy_to_break(force: Value, force_per_deflection: Value) -> Value:
    """Return the energy that bends a linear body up to a force, F^2 / (2 k). [J]"""
    return 0.5 * force * force / force_per_deflection


def natural_frequency(modulus: float, density: float, thickness: float, span: float) -> float:
    """Return the lowest natural frequency of a beam on two edges, (pi/2) h sqrt(E / 12 rho) / L^2. [Hz]"""
    return 0.5 * math.pi * thickness * math.sqrt(modulus / (12.0 * density)) / (span * span)


def period(force_per_deflection: Value, moving_mass: Value) -> Value:
    """Return the natural period of a mass on a spring, 2 pi sqrt(m / k). [s]"""
    ratio = moving_mass / force_per_deflection
    root: Value = ratio**0.5
    return 2.0 * math.pi * root
