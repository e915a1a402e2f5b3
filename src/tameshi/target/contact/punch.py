"""A rigid flat-ended cylinder pressed square into an elastic body: the pressure at its edge has no bound.

Source: K. L. Johnson, Contact Mechanics (1985), section 3.8 (page from memory).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tameshi.errors import WrongUseError


@dataclass(frozen=True, slots=True, kw_only=True)
class PunchContact:
    """A flat punch in an elastic body.

    Parameters
    ----------
    radius : float
        Of the punch. [m]
    indentation : float [m]
    force : float [N]
    mean_pressure : float [Pa]
    """

    radius: float
    indentation: float
    force: float
    mean_pressure: float

    @property
    def centre_pressure(self) -> float:
        """Pressure in the centre, the least there is. [Pa]"""
        return 0.5 * self.mean_pressure


def punch(radius: float, modulus: float, indentation: float) -> PunchContact:
    """Return the contact of a flat punch.

    Parameters
    ----------
    radius : float [m]
    modulus : float
        Contact modulus E*. [Pa]
    indentation : float [m]
    """
    if not (radius > 0.0 and modulus > 0.0 and indentation > 0.0):
        raise WrongUseError("no-contact", "A punch needs a radius, a modulus and an indentation.")
    force = 2.0 * radius * modulus * indentation
    return PunchContact(
        radius=radius, indentation=indentation, force=force, mean_pressure=force / (math.pi * radius**2)
    )


def punch_pressure(contact: PunchContact, place: ArrayLike) -> NDArray[np.float64]:
    """Return the pressure under a punch, infinite at its edge.

    Parameters
    ----------
    contact : PunchContact
    place : array
        Distances from the centre, within the radius. [m]

    Returns
    -------
    array [Pa]
    """
    share = np.asarray(place, dtype=np.float64) / contact.radius
    with np.errstate(divide="ignore"):
        pressure: NDArray[np.float64] = contact.centre_pressure / np.sqrt(1.0 - share**2)
    return pressure
