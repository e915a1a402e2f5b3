"""Two free masses that meet on a straight spring: everything in closed form.

1/mu = 1/m1 + 1/m2. F = v sqrt(k mu), T = pi sqrt(mu/k), J = (1 + e) mu v. A wall is a second mass without
end.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from tameshi.errors import WrongUseError

WALL = math.inf
"""Mass of what cannot move. [kg]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Collision:
    """What two masses do to each other. Force, duration and depth are those without loss of energy.

    Parameters
    ----------
    reduced_mass : float [kg]
    peak_force : float [N]
    duration : float
        From touch to separation. [s]
    depth : float
        Greatest compression. [m]
    impulse : float
        With the restitution. [N s]
    speed : float
        Of the struck mass afterwards. [m/s]
    energy : float
        Greatest energy in the spring. [J]
    lost : float
        Energy lost. [J]
    """

    reduced_mass: float
    peak_force: float
    duration: float
    depth: float
    impulse: float
    speed: float
    energy: float
    lost: float


def reduced_mass(one: float, other: float) -> float:
    """Return m1 m2/(m1 + m2), m1 where the other is a wall. [kg]"""
    return one / (1.0 + one / other)


def in_series(*stiffnesses: float) -> float:
    """Return the stiffness of springs one behind the other. [N/m]"""
    return 1.0 / sum(1.0 / one for one in stiffnesses)


def collide(
    striker: float, struck: float, speed: float, stiffness: float, *, restitution: float = 1.0
) -> Collision:
    """Return what two masses on a straight spring do to each other.

    Parameters
    ----------
    striker, struck : float
        Masses; :data:`WALL` for what cannot move. [kg]
    speed : float
        With which they meet. [m/s]
    stiffness : float [N/m]
    restitution : float
        Speed of leaving over speed of meeting, 0 to 1.

    Raises
    ------
    WrongUseError
        ``wrong-collision`` where one of them is impossible.
    """
    possible = (
        striker > 0.0 and struck > 0.0 and speed > 0.0 and stiffness > 0.0 and 0.0 <= restitution <= 1.0
    )
    if not possible:
        raise WrongUseError(
            "wrong-collision",
            f"{striker!r} kg on {struck!r} kg at {speed!r} m/s over {stiffness!r} N/m, restitution "
            f"{restitution!r}: no such collision.",
        )
    mass = reduced_mass(striker, struck)
    impulse = (1.0 + restitution) * mass * speed
    energy = 0.5 * mass * speed**2
    return Collision(
        reduced_mass=mass,
        peak_force=speed * math.sqrt(stiffness * mass),
        duration=math.pi * math.sqrt(mass / stiffness),
        depth=speed * math.sqrt(mass / stiffness),
        impulse=impulse,
        speed=impulse / struck,
        energy=energy,
        lost=energy * (1.0 - restitution**2),
    )


def greatest_speed(force: float, stiffness: float, mass: float) -> float:
    """Return the speed at which a contact just reaches a force: F / sqrt(mu k). [m/s]

    Parameters
    ----------
    force : float [N]
    stiffness : float [N/m]
    mass : float
        Reduced mass. [kg]
    """
    return force / math.sqrt(mass * stiffness)


def passed_on(striker: float, struck: float, striker_stiffness: float, struck_stiffness: float) -> float:
    """Return peak force on a free body over peak force on a rigid wall, by straight springs.

    Parameters
    ----------
    striker, struck : float
        Masses. [kg]
    striker_stiffness, struck_stiffness : float [N/m]

    Notes
    -----
    sqrt(m2/(m1 + m2) k2/(k1 + k2)): never above one.
    """
    share = struck_stiffness / (striker_stiffness + struck_stiffness)
    return math.sqrt(reduced_mass(striker, struck) / striker * share)
