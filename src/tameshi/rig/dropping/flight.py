"""How a mass that bounces on the plate fell and flew: drops told apart, speeds before and after.

Between two bounces it flies freely: it leaves and comes back with g t / 2. Before the first bounce it
fell from a known height: it arrives with sqrt(2 g h). Air is neglected; what it could take away at
most is worked out for a compact body and carried as uncertainty.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from tameshi.quantity import Measured, Quantity, Source, combine, rectangular_u
from tameshi.reference import row


@dataclass(frozen=True, slots=True, kw_only=True)
class Bounce:
    """One contact of the mass with the plate, as the chain measured it.

    Parameters
    ----------
    index : int
        Number of the strike in its recording.
    onset, end : float
        Where the force crosses 5 % of its peak. [s]
    impulse : Quantity or Missing
        [N s]
    """

    index: int
    onset: float
    end: float
    impulse: Measured


@dataclass(frozen=True, slots=True, kw_only=True)
class Fall:
    """What fell, from where, and where on earth.

    Parameters
    ----------
    mass : Quantity
        [kg]
    height : Quantity or None
        From the lowest point of the mass to the plate; None where it is not known. [m]
    gravity : Quantity
        [m/s2]
    """

    mass: Quantity
    height: Quantity | None
    gravity: Quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class Flight:
    """One bounce with its speeds.

    Parameters
    ----------
    bounce : Bounce
    drop : int
        Which drop it belongs to, counted from 1.
    contact : Quantity
        [s]
    before, after : Quantity or None
        Speed towards the plate before, away from it after; None where unknown. [m/s]
    """

    bounce: Bounce
    drop: int
    contact: Quantity
    before: Quantity | None
    after: Quantity | None


def follow(bounces: Sequence[Bounce], fall: Fall, *, rate: float) -> tuple[Flight, ...]:
    """Return every bounce with its speeds, drop by drop.

    Parameters
    ----------
    bounces : sequence of Bounce
        In order of time.
    fall : Fall
    rate : float
        Of the recording. [Hz]

    Notes
    -----
    A gap longer than the fall before it allows is no flight: a new drop begins. Only bounces with
    neighbouring numbers have a flight between them.
    """
    ends = [_edges(bounce, rate) for bounce in bounces]
    flights: list[Flight] = []
    before, drop, last_gap = _from_height(fall), 1, math.inf
    for place, bounce in enumerate(bounces):
        onset, end = ends[place]
        gap = None
        if place + 1 < len(bounces) and bounces[place + 1].index == bounce.index + 1:
            gap = ends[place + 1][0] - end
        if gap is not None and gap.value > _longest(before, fall, last_gap):
            gap = None
        ends_here = gap is None
        usable = gap is not None and gap.value >= row("drops", "flight")["least"]
        after = _from_flight(gap, fall) if gap is not None and usable else None
        flights.append(Flight(bounce=bounce, drop=drop, contact=end - onset, before=before, after=after))
        before, last_gap = (after, gap.value) if gap is not None else (_from_height(fall), math.inf)
        drop += ends_here
    return tuple(flights)


def air_share(mass: float, height: float) -> float:
    """Return the most that air takes from the speed of a compact body after a fall, relative.

    Parameters
    ----------
    mass : float
        [kg]
    height : float
        [m]

    Notes
    -----
    Drag at the speeds of free fall takes rho c A h / (2 m) of the energy, half of that of the speed.
    Derived; drag coefficient of a cube, cross-section of a body no lighter than water.
    """
    air = row("drops", "air")
    section = (mass / air["least_density"]) ** (2.0 / 3.0)
    return float(air["air_density"] * air["drag"] * section * height / (4.0 * mass))


def _edges(bounce: Bounce, rate: float) -> tuple[Quantity, Quantity]:
    """Return where contact truly begins and ends, with what its shape and the sampling leave open."""
    feet, length = row("drops", "contact"), bounce.end - bounce.onset
    further = feet["value"] * length
    u = math.hypot(rectangular_u(feet["half_width"] * length), rectangular_u(0.5 / rate))
    onset, end = (Source(f"{edge}:{bounce.index}", "timing") for edge in ("onset", "end"))
    return Quantity(bounce.onset - further, "s", {onset: u}), Quantity(bounce.end + further, "s", {end: u})


def _from_height(fall: Fall) -> Quantity | None:
    if fall.height is None:
        return None
    speed = combine(lambda g, h: math.sqrt(2.0 * g * h), fall.gravity, fall.height, unit="m/s")
    return _in_air(speed, fall, fall.height.value)


def _from_flight(gap: Quantity, fall: Fall) -> Quantity:
    speed = fall.gravity * gap * 0.5
    return _in_air(speed, fall, speed.value**2 / (2.0 * fall.gravity.value))


def _in_air(speed: Quantity, fall: Fall, height: float) -> Quantity:
    taken = rectangular_u(air_share(fall.mass.value, height)) * speed.value
    return speed.with_part(Source("air drag", "air drag"), taken)


def _longest(before: Quantity | None, fall: Fall, last_gap: float) -> float:
    """Return the longest gap that can be a flight."""
    limits = row("drops", "flight")
    if before is not None:
        return float(limits["longer"] * 2.0 * before.value / fall.gravity.value)
    return float(min(limits["longest"], limits["longer"] * last_gap))
