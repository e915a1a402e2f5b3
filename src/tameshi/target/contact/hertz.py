"""Two rounded elastic bodies pressed together: the contact of Hertz.

Source: K. L. Johnson, Contact Mechanics (1985), chapter 4 (page from memory). It holds for a contact much
smaller than the bodies and for small strains: skin and muscle over bone are neither, so that a modulus fitted
to them is a number of the fit and no property of tissue.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from tameshi.errors import WrongUseError

INCOMPRESSIBLE = 0.5
FLAT = math.inf
"""Radius of a flat body. [m]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """An elastic body where it is touched.

    Parameters
    ----------
    modulus : float
        Young's modulus; infinite for a rigid body. [Pa]
    poisson : float
        Poisson's ratio.
    radius : float
        Radius of its surface, infinite where it is flat. [m]

    Raises
    ------
    WrongUseError
        ``wrong-body`` where one of them is impossible.
    """

    modulus: float
    poisson: float
    radius: float = FLAT

    def __post_init__(self) -> None:
        possible = self.modulus > 0.0 and -1.0 < self.poisson <= INCOMPRESSIBLE and self.radius > 0.0
        if not possible:
            raise WrongUseError(
                "wrong-body",
                f"There is no body of {self.modulus!r} Pa, Poisson's ratio {self.poisson!r} and radius "
                f"{self.radius!r} m.",
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class PointContact:
    """A contact between rounded bodies.

    Parameters
    ----------
    force : float [N]
    radius : float
        Of the circle of contact. [m]
    approach : float
        How far the bodies have come together. [m]
    peak_pressure, mean_pressure : float
        In the centre, and over the circle. [Pa]
    energy : float
        Stored in it. [J]
    """

    force: float
    radius: float
    approach: float
    peak_pressure: float
    mean_pressure: float
    energy: float


def contact_modulus(one: Body, other: Body) -> float:
    """Return the modulus E* of a contact: 1/E* is the sum of (1 - nu^2)/E. [Pa]"""
    return 1.0 / sum((1.0 - body.poisson**2) / body.modulus for body in (one, other))


def contact_radius(one: Body, other: Body) -> float:
    """Return the radius R of a contact: 1/R is the sum of 1/R of the bodies. [m]

    Raises
    ------
    WrongUseError
        ``flat-on-flat`` where both are flat.
    """
    curvature = 1.0 / one.radius + 1.0 / other.radius
    if curvature == 0.0:
        raise WrongUseError("flat-on-flat", "Two flat bodies have no point of contact.")
    return 1.0 / curvature


def hertz_stiffness(one: Body, other: Body) -> float:
    """Return k of F = k x^(3/2): 4/3 E* sqrt(R). [N/m^1.5]"""
    return 4.0 / 3.0 * contact_modulus(one, other) * math.sqrt(contact_radius(one, other))


def press(one: Body, other: Body, force: float) -> PointContact:
    """Return the contact of two bodies under a force.

    Parameters
    ----------
    one, other : Body
        At least one of them rounded.
    force : float [N]
    """
    return squeeze(one, other, (force / hertz_stiffness(one, other)) ** (2.0 / 3.0))


def squeeze(one: Body, other: Body, approach: float) -> PointContact:
    """Return the contact of two bodies that have come together by so much.

    Parameters
    ----------
    one, other : Body
        At least one of them rounded.
    approach : float [m]
    """
    if not approach > 0.0:
        raise WrongUseError("no-contact", f"An approach of {approach!r} m is no contact.")
    stiffness = hertz_stiffness(one, other)
    force = stiffness * approach**1.5
    radius = math.sqrt(contact_radius(one, other) * approach)
    mean = force / (math.pi * radius**2)
    return PointContact(
        force=force,
        radius=radius,
        approach=approach,
        peak_pressure=1.5 * mean,
        mean_pressure=mean,
        energy=0.4 * stiffness * approach**2.5,
    )
