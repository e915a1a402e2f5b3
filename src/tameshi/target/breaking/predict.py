"""Will it break: what a target needs, what a strike brings, and the chance that it is enough.

The two are compared as peak forces on a rigid plate, where the strike was measured: what a target needs is
the peak there whose striker, meeting the target instead, just breaks it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import Flag
from tameshi.quantity import Quantity, rectangular_u
from tameshi.reference import row
from tameshi.target.breaking import bending
from tameshi.target.breaking.coupled import contact_stiffness, passed_on
from tameshi.target.breaking.limits import doubt_width
from tameshi.target.breaking.material import Material, material_of
from tameshi.target.breaking.rate import rate_factor
from tameshi.target.breaking.shock import force_factor, half_sine_factor
from tameshi.target.breaking.stacks import speed_for_boards, stack_factors
from tameshi.target.breaking.statics import Bodies, bodies, shortest_side
from tameshi.target.breaking.strike import PlateStrike
from tameshi.target.breaking.target import Target
from tameshi.target.breaking.variables import (
    Between,
    Drawn,
    Lognormal,
    Variable,
    as_quantity,
    draw,
    shares,
)

FloatArray = NDArray[np.float64]
SURE = 0.999
"""Chances beyond this are told as bounds: the tails of no model here are known."""

_MOST_BENT = 0.5  # of a plate's thickness
_MOST_BENT_BEAM = 0.1  # of its span
_LIGHT = 0.1  # of the striker's mass


@dataclass(frozen=True, slots=True, kw_only=True)
class Needs:
    """What a target needs to break, whatever strikes it.

    Parameters
    ----------
    static_force : Quantity
        In a slow test. [N]
    force : Quantity
        In a strike: with what a short load adds to the strength. [N]
    deflection : Quantity
        Of the middle, at the break. [m]
    energy : Quantity
        Stored by then. [J]
    stiffness, mass, period : Quantity
        Of what breaks at once: of one target, or of a stack that bends together. [N/m], [kg], [s]
    """

    static_force: Quantity
    force: Quantity
    deflection: Quantity
    energy: Quantity
    stiffness: Quantity
    mass: Quantity
    period: Quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What a strike does to a target.

    Parameters
    ----------
    peak : Quantity
        Peak force of the strike on a rigid plate. [N]
    needed : Quantity
        The peak on a rigid plate that just breaks the target. [N]
    reached : Quantity
        The force that the strike builds up in the target, were it not to break; for a stack with spacers in
        its first. [N]
    speed, energy : Quantity
        Of the striker. [m/s], [J]
    chance : float
        That the target breaks, all of a stack; from 1 - :data:`SURE` to :data:`SURE`.
    by_count : tuple of float
        For a stack with spacers: that at least so many break, from one.
    shares : mapping of str to float
        What the chance hangs on: shares of the variance of the logarithm of ``peak`` over ``needed``.
    pulse_ratio : float
        Duration of the strike over the natural period of the target.
    dynamic_factor : float
        If the force stayed that on the plate: of a half-sine.
    course_factor : float or None
        The same for the recorded or skewed course.
    needed_draws, peak_draws : (n,) array
        For drawing. [N]
    """

    peak: Quantity
    needed: Quantity
    reached: Quantity
    speed: Quantity
    energy: Quantity
    chance: float
    by_count: tuple[float, ...]
    shares: Mapping[str, float]
    pulse_ratio: float
    dynamic_factor: float
    course_factor: float | None
    needed_draws: FloatArray
    peak_draws: FloatArray


@dataclass(frozen=True, slots=True, kw_only=True)
class Prediction:
    """All that is said of a target, and of a strike on it.

    Parameters
    ----------
    target : Target
    needs : Needs
    outcome : Outcome or None
        None where no strike was given.
    sources : tuple of str
        Keys of the sources it rests on.
    flags : tuple of Flag
    """

    target: Target
    needs: Needs
    outcome: Outcome | None
    sources: tuple[str, ...]
    flags: tuple[Flag, ...]


_DURATION = 0.005
"""Of a strike, for the speed of loading, where none is given. [s]"""


def predict(target: Target, strike: PlateStrike | None = None) -> Prediction:
    """Return what a target needs to break, and the chance that a strike breaks it.

    Parameters
    ----------
    target : Target
    strike : PlateStrike or None

    Raises
    ------
    UnmeasurableError, WrongUseError
        See :func:`tameshi.target.breaking.material.material_of`.
    """
    material = material_of(target)
    drawn = draw(_variables(target, material, strike))
    values = drawn.values
    one = bodies(target, values)
    force_times, stiffness_times = stack_factors(target.stack.count, target.stack.between)
    mass_times = 1.0 if target.stack.between == "spaced" else float(target.stack.count)
    whole = Bodies(
        force=force_times * one.force,
        stiffness=stiffness_times * one.stiffness,
        moving_mass=mass_times * one.moving_mass,
        mass=mass_times * one.mass,
    )
    breaks_at = whole.force * values["rate of loading"]
    needs = _needs(whole, breaks_at, drawn)
    outcome = None if strike is None else _outcome(target, strike, whole, breaks_at, drawn)
    flags = [*material.flags, *_target_flags(target, needs), *(strike.flags if strike else ())]
    if outcome is not None and strike is not None:
        flags += _outcome_flags(needs, strike)
    sources = dict.fromkeys(
        (*material.sources, *(() if strike is None else ("walilko-2005",) * _assumes(strike)))
    )
    return Prediction(target=target, needs=needs, outcome=outcome, sources=tuple(sources), flags=tuple(flags))


def _variables(target: Target, material: Material, strike: PlateStrike | None) -> dict[str, Variable]:
    """Return all uncertain inputs by the names they have in budgets."""
    size, support = target.size, target.support
    modulus = material.modulus
    duration = strike.duration.median if strike else _DURATION
    middle = modulus.median if isinstance(modulus, Lognormal) else 1.0
    strain = _median(material.strength) / middle
    variables: dict[str, Variable] = {
        "strength": material.strength,
        "piece to piece": material.piece,
        "rate of loading": rate_factor(material.rate, 0.5 * duration, strain),
        "thickness": _length("thickness", size.thickness, size.thickness_tolerance),
        "modulus": material.modulus,
        "density": material.density,
    }
    if target.is_beam:
        variables["span"] = _length("span", support.span or 0.0, support.span_tolerance)
    if strike is not None:
        own = strike.course is not None and strike.is_measured
        variables |= {
            "peak force": strike.peak,
            "duration": strike.duration,
            "striker mass": strike.mass,
            "model": Lognormal(1.0, float(row("breaking_choices", "model")["value"])),
            "pulse shape": Lognormal(
                1.0, 0.0 if own else float(row("breaking_choices", "pulse shape")["value"])
            ),
            "holding": _holding(target),
        }
    return variables


def _length(name: str, value: float, tolerance: float | None) -> Lognormal:
    spread = float(row("breaking_choices", name)["value"]) if tolerance is None else rectangular_u(tolerance)
    return Lognormal(value, spread / value)


def _holding(target: Target) -> Variable:
    if target.support.how != "held by hand":
        return Lognormal(1.0, 0.0)
    held = row("breaking_choices", "held by hand")
    return Between(float(held["low"]), float(held["high"]))


def _median(variable: Variable) -> float:
    return math.sqrt(variable.low * variable.high) if isinstance(variable, Between) else variable.median


def _needs(whole: Bodies, breaks_at: FloatArray, drawn: Drawn) -> Needs:
    energy = bending.energy_to_break(breaks_at, whole.stiffness)
    return Needs(
        static_force=as_quantity(whole.force, "N", drawn),
        force=as_quantity(breaks_at, "N", drawn),
        deflection=as_quantity(breaks_at / whole.stiffness, "m", drawn),
        energy=as_quantity(energy, "J", drawn),
        stiffness=as_quantity(whole.stiffness, "N/m", drawn),
        mass=as_quantity(whole.mass, "kg", drawn),
        period=as_quantity(bending.period(whole.stiffness, whole.moving_mass), "s", drawn),
    )


def _outcome(
    target: Target, strike: PlateStrike, whole: Bodies, breaks_at: FloatArray, drawn: Drawn
) -> Outcome:
    values = drawn.values
    peak, duration, mass = values["peak force"], values["duration"], values["striker mass"]
    contact = contact_stiffness(mass, duration)
    period = float(np.median(bending.period(whole.stiffness, whole.moving_mass)))
    factor = half_sine_factor(strike.duration.median / period)
    own = None if strike.course is None else force_factor(strike.course.time, strike.course.force, period)
    share = passed_on(whole.moving_mass / mass, whole.stiffness / contact)
    share = share * values["model"] * values["pulse shape"] * values["holding"]
    if own is not None and strike.is_measured:
        share = share * own / factor
    needed = breaks_at / share
    by_count: tuple[float, ...] = ()
    if target.stack.between == "spaced":
        energy = bending.energy_to_break(breaks_at, whole.stiffness) / (
            values["model"] * values["pulse shape"] * values["holding"]
        )
        peaks = [
            np.maximum(
                needed, speed_for_boards(count, mass, whole.moving_mass, energy) * math.pi * mass / duration
            )
            for count in range(1, target.stack.count + 1)
        ]
        by_count = tuple(_chance(peak, each) for each in peaks)
        needed = peaks[-1]
    speed = peak * duration / (math.pi * mass)
    return Outcome(
        peak=as_quantity(peak, "N", drawn),
        needed=as_quantity(needed, "N", drawn),
        reached=as_quantity(peak * share, "N", drawn),
        speed=as_quantity(speed, "m/s", drawn),
        energy=as_quantity(0.5 * mass * speed * speed, "J", drawn),
        chance=_chance(peak, needed),
        by_count=by_count,
        shares=shares(np.log(peak / needed), drawn),
        pulse_ratio=strike.duration.median / period,
        dynamic_factor=factor,
        course_factor=own,
        needed_draws=needed,
        peak_draws=peak,
    )


def _chance(peak: FloatArray, needed: FloatArray) -> float:
    return min(max(float(np.mean(peak >= needed)), 1.0 - SURE), SURE)


def _assumes(strike: PlateStrike) -> int:
    return int(any(flag.code == "mass-assumed" for flag in strike.flags))


def _target_flags(target: Target, needs: Needs) -> list[Flag]:
    flags = []
    slender = target.size.thickness / shortest_side(target)
    limit = float(row("breaking_choices", "plate rigidity")["value"])
    if slender > limit:
        told = (
            f"The target is {slender:.2g} times as thick as it spans; the formulas hold up to {limit:g}, "
            "beyond it "
            "shear and crushing count."
        )
        flags.append(Flag("too-thick", told))
    flags += doubt_width(target)
    bent = needs.deflection.value / target.size.thickness
    if not target.is_beam and bent > _MOST_BENT:
        told = (
            f"At the break it would be bent by {bent:.2g} of its thickness: it then stretches like a skin "
            "and bears "
            "more than linear theory says."
        )
        flags.append(Flag("bends-far", told))
    if target.is_beam and needs.deflection.value > _MOST_BENT_BEAM * shortest_side(target):
        share = needs.deflection.value / shortest_side(target)
        told = (
            f"At the break it would be bent by {share:.2g} of its span: it then slides on its supports and "
            "bends more easily than linear theory says."
        )
        flags.append(Flag("bends-far", told))
    if target.support.how == "held by hand":
        flags.append(
            Flag(
                "held-by-hand",
                "Hands give way: half to all of the force was taken to build up, and how firmly it is held "
                "decides.",
            )
        )
    if target.stack.count > 1:
        flags.append(
            Flag(
                "stack-alike",
                "All of the stack were taken to be alike; no friction, no help by falling pieces.",
            )
        )
    return flags


def _outcome_flags(needs: Needs, strike: PlateStrike) -> list[Flag]:
    if needs.mass.value < _LIGHT * strike.mass.median:
        return []
    return [
        Flag(
            "heavy-target",
            f"The target weighs {needs.mass.value:.2g} kg against {strike.mass.median:.2g} kg behind the "
            "strike: much of "
            "the speed goes into moving it, which a mass on a spring describes only roughly.",
        )
    ]
