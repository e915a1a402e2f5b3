"""Effective mass, energy and restitution, from the impulse on the plate and the change of speed on film.

The plate takes the impulse J = m (v + v'), v onto the target and v' back off it. Where v' is not known it
lies between a stop (0) and a whole rebound (v): the mass is then known only to a factor of two, and says so.
Muscles that push on during contact add to the impulse, so this mass is more than inertia.

Sources: momentum (Newton); that added muscle force makes an effective mass more than inertia: Lenetsky et
al., Hum. Mov. Sci. 40 (2015) 89 (abstract seen).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from tameshi.errors import UnmeasurableError, WrongUseError
from tameshi.quantity import Measured, Missing, Quantity, Source, ratio, rectangular_u

KnownRebound = Literal["measured", "bounded", "unknown"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class EffectiveMass:
    """What impulse and speeds tell of what struck.

    Parameters
    ----------
    mass : Quantity or Missing
        kg.
    limits : (float, float)
        Mass for a stop and for the most rebound there may be, uncertainties included, in kg.
    restitution : Quantity or Missing
        Speed off the target as a share of that onto it.
    energy : Quantity or Missing
        Kinetic energy of that mass at contact, J.
    energy_given : Quantity or Missing
        What the striker lost in contact, J (v - v')/2.
    rebound : str
        Whether the speed off the target was measured, bounded or is unknown.
    """

    mass: Measured
    limits: tuple[float, float]
    restitution: Measured
    energy: Measured
    energy_given: Measured
    rebound: KnownRebound


def effective_mass(
    impulse: Quantity,
    speed: Quantity,
    rebound: Quantity | tuple[float, float] | None = None,
    *,
    key: str = "rebound",
) -> EffectiveMass:
    """Return effective mass, energy and restitution.

    Parameters
    ----------
    impulse : Quantity
        On the plate over the whole contact, N s.
    speed : Quantity
        Onto the target at contact, m/s.
    rebound : Quantity, (float, float) or None
        Speed back off it: measured, m/s, negative where the hand went on; or the bounds between which it lies
        anywhere alike; or None where it is not known.
    key : str
        Identity of the doubt about a bounded rebound.

    Returns
    -------
    EffectiveMass
        Where the rebound is unknown, mass and energy are missing and ``limits`` tell between what.

    Raises
    ------
    WrongUseError
        ``wrong-rebound`` where bounds are crossed or outside of a stop and a whole rebound.
    UnmeasurableError
        ``no-change-of-speed``, ``divisor-near-zero``.
    """
    if impulse.value <= 0.0 or speed.value <= 0.0:
        raise UnmeasurableError(
            "no-change-of-speed",
            "Impulse and speed at contact have to be above nought.",
            hint="Check which strike of the recording the film shows.",
        )
    if isinstance(rebound, Quantity):
        return _told(impulse, speed, rebound, "measured", (rebound.low, rebound.high))
    if rebound is not None:
        low, high = rebound
        if not 0.0 <= low <= high <= speed.high:
            raise WrongUseError(
                "wrong-rebound",
                f"A rebound of {low:g} to {high:g} m/s does not go with {speed.value:.2f} m/s at contact.",
                hint="It lies between 0 and the speed at contact, the lower one first.",
            )
        within = 0.5 * (high - low)
        middle = Quantity(
            low + within, "m/s", {Source(f"{key}:bounds", "rebound within bounds"): rectangular_u(within)}
        )
        return _told(impulse, speed, middle, "bounded", (low, high))
    why = "the rebound is not known, and takes a factor of two"
    given = "the rebound is not known"
    return EffectiveMass(
        mass=Missing("kg", why),
        limits=_limits(impulse, speed, (0.0, speed.value)),
        restitution=Missing("1", given),
        energy=Missing("J", why),
        energy_given=Missing("J", given),
        rebound="unknown",
    )


def _told(
    impulse: Quantity,
    speed: Quantity,
    rebound: Quantity,
    known: KnownRebound,
    bounds: tuple[float, float],
) -> EffectiveMass:
    change = speed + rebound
    if change.value <= 0.0:
        raise UnmeasurableError(
            "no-change-of-speed",
            "The hand is no slower after contact than before.",
            hint="Look at the overlay: is it the hand that is followed, and is contact where it was?",
        )
    mass = ratio(impulse, change)
    return EffectiveMass(
        mass=mass,
        limits=_limits(impulse, speed, bounds),
        restitution=rebound / speed,
        energy=0.5 * mass * speed * speed,
        energy_given=0.5 * impulse * (speed - rebound),
        rebound=known,
    )


def _limits(impulse: Quantity, speed: Quantity, bounds: tuple[float, float]) -> tuple[float, float]:
    """Return the mass for the most and for the least rebound, each at the far end of its own interval."""
    ends = [ratio(impulse, speed * (1.0 + bound / speed.value)) for bound in (bounds[1], bounds[0])]
    return ends[0].low, ends[1].high
