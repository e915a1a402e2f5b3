"""Two rounded elastic bodies that run into each other: the impact of Hertz.

Duration and area follow it well even where much of the energy is lost (D. Gugan, American Journal of Physics
68, 920, 2000). Source of the formulas: K. L. Johnson, Contact Mechanics (1985), chapter 11 (page from
memory); the constants are worked out from the gamma function.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from tameshi.errors import WrongUseError
from tameshi.target.contact.hertz import Body, PointContact, contact_modulus, contact_radius, squeeze

TURNS = 0.8 * math.sqrt(math.pi) * math.gamma(0.4) / math.gamma(0.9)
"""Duration of contact in units of greatest approach over speed: 2.9433."""

_APPROACH = (15.0 / 16.0) ** 0.4
DURATION = TURNS * _APPROACH
"""c in T = c (m^2 / (R E*^2 v))^(1/5): 2.8683."""

FORCE = 4.0 / 3.0 * (15.0 / 16.0) ** 0.6
"""c in F = c m^(3/5) v^(6/5) R^(1/5) E*^(2/5): 1.2827."""

MEAN_OVER_PEAK = 2.0 / (DURATION * FORCE)
"""Mean force over peak force, the pulse's shape: 0.5436."""


@dataclass(frozen=True, slots=True)
class Impact:
    """An elastic impact.

    Parameters
    ----------
    duration : float
        From touch to separation. [s]
    deepest : PointContact
        Contact at the greatest approach.
    """

    duration: float
    deepest: PointContact


def strike_elastically(one: Body, other: Body, mass: float, speed: float) -> Impact:
    """Return the impact of two rounded bodies.

    Parameters
    ----------
    one, other : Body
    mass : float
        Reduced mass m1 m2/(m1 + m2). [kg]
    speed : float
        With which they meet. [m/s]

    Raises
    ------
    WrongUseError
        ``wrong-impact`` where mass or speed is not positive.
    """
    if not (mass > 0.0 and speed > 0.0):
        raise WrongUseError("wrong-impact", f"{mass!r} kg at {speed!r} m/s is no impact.")
    modulus, radius = contact_modulus(one, other), contact_radius(one, other)
    approach = _APPROACH * (mass * speed**2 / (modulus * math.sqrt(radius))) ** 0.4
    return Impact(TURNS * approach / speed, squeeze(one, other, approach))
