"""A rigid rounded body on a thin soft layer over a rigid base: an elastic foundation, each place on its own.

Source: K. L. Johnson, Contact Mechanics (1985), section 4.3 (page from memory).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from tameshi.errors import WrongUseError

HIGHEST_POISSON = 0.49
"""Above it the confined modulus says more of the last digit of Poisson's ratio than of the layer."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """A thin soft layer.

    Parameters
    ----------
    modulus : float
        Of the layer pressed between wide plates: confined for one that cannot spread sideways, Young's for an
        open foam. [Pa]
    thickness : float [m]
    """

    modulus: float
    thickness: float


@dataclass(frozen=True, slots=True, kw_only=True)
class LayerContact:
    """A rounded body in a layer.

    Parameters
    ----------
    force : float [N]
    radius : float
        Of the circle of contact. [m]
    indentation : float
        In the centre. [m]
    peak_pressure, mean_pressure : float
        In the centre, and over the circle. [Pa]
    """

    force: float
    radius: float
    indentation: float
    peak_pressure: float
    mean_pressure: float


def confined_modulus(modulus: float, poisson: float) -> float:
    """Return the modulus of a material that cannot spread sideways: (1 - nu) E / ((1 + nu)(1 - 2 nu)). [Pa]

    Parameters
    ----------
    modulus : float
        Young's modulus. [Pa]
    poisson : float

    Raises
    ------
    WrongUseError
        ``nearly-incompressible`` from 0.49 on, where it runs off to infinity.
    """
    if poisson >= HIGHEST_POISSON:
        raise WrongUseError(
            "nearly-incompressible",
            f"With Poisson's ratio {poisson:g} a confined layer has no modulus to speak of.",
            hint=f"Give one below {HIGHEST_POISSON:g}, or measure the layer's stiffness between wide plates.",
        )
    return (1.0 - poisson) * modulus / ((1.0 + poisson) * (1.0 - 2.0 * poisson))


def indent(layer: Layer, body_radius: float, indentation: float) -> LayerContact:
    """Return the contact of a rigid ball pressed into a layer.

    Parameters
    ----------
    layer : Layer
    body_radius : float [m]
    indentation : float
        Small against the radius, and no more than the thickness. [m]

    Raises
    ------
    WrongUseError
        ``no-contact``, or ``through-the-layer`` where the ball would have to pass through it.
    """
    if not indentation > 0.0:
        raise WrongUseError("no-contact", f"An indentation of {indentation!r} m is no contact.")
    if indentation > layer.thickness:
        raise WrongUseError(
            "through-the-layer",
            f"An indentation of {1e3 * indentation:g} mm goes through {1e3 * layer.thickness:g} mm of layer.",
        )
    radius = math.sqrt(2.0 * body_radius * indentation)
    peak = layer.modulus * indentation / layer.thickness
    force = 0.5 * math.pi * radius**2 * peak
    return LayerContact(
        force=force, radius=radius, indentation=indentation, peak_pressure=peak, mean_pressure=0.5 * peak
    )
