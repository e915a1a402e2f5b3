"""A film and the recording of the same strike: clocks set by contact, effective mass and energy."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tameshi.cli.measuring import RecordingOptions, reduce_file
from tameshi.cli.pressure import pick_strike
from tameshi.cli.shown import both_units, print_table, say
from tameshi.errors import WrongUseError
from tameshi.quantity import Quantity, Source, as_dict, parse_quantity, show

if TYPE_CHECKING:
    from tameshi.force import Reduction, Strike
    from tameshi.motion import EffectiveMass, StrikeMotion
    from tameshi.quantity import System

CAUTION = (
    "Muscles that push during contact count as mass: an effective mass is that of the strike, not of the arm."
)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Struck:
    """A strike of a recording beside its film."""

    reduction: Reduction
    strike: Strike
    clock_offset: Quantity | None
    found: EffectiveMass | None


def strike_of(recording: Path, number: int | None, options: RecordingOptions) -> Struck:
    """Return the strike of a recording that a film shows, before the film is measured."""
    reduction = reduce_file(recording, options)
    return Struck(
        reduction=reduction, strike=pick_strike(reduction, number, of="film"), clock_offset=None, found=None
    )


def lasts(struck: Struck | None) -> float | None:
    """Return how long contact was, where the recording tells."""
    duration = struck.strike.contact_duration if struck else None
    return duration.value if isinstance(duration, Quantity) else None


def joined(struck: Struck, motion: StrikeMotion, rebound: str | None, key: str) -> Struck:
    """Return the strike with clocks set and the mass behind it."""
    from tameshi.motion import effective_mass

    speed, impulse = motion.speed_at_contact, struck.strike.impulse
    found = None
    if isinstance(speed, Quantity) and isinstance(impulse, Quantity):
        found = effective_mass(impulse, speed, _rebound(motion, rebound), key=key)
    offset = Quantity(
        motion.contact.time - struck.strike.onset,
        "s",
        {Source(f"{key}:contact", "time of contact"): motion.contact.u},
    )
    return Struck(reduction=struck.reduction, strike=struck.strike, clock_offset=offset, found=found)


def _rebound(motion: StrikeMotion, typed: str | None) -> Quantity | tuple[float, float] | None:
    if typed == "unknown":
        return None
    if typed is not None:
        low, _, high = typed.partition(" to ")
        if not high:
            raise WrongUseError(
                "wrong-rebound",
                f"{typed!r} is no range of speeds.",
                hint='Write --rebound "0 m/s to 2 m/s", or unknown; left out, the film is asked.',
            )
        return parse_quantity(low, "speed"), parse_quantity(high, "speed")
    seen = motion.rebound_speed
    return seen if isinstance(seen, Quantity) else None


def struck_as_dict(struck: Struck | None) -> dict[str, Any]:
    """Return what the recording adds as JSON holds it; nothing where there is none."""
    if struck is None or struck.clock_offset is None:
        return {}
    origin, found = struck.reduction.origin, struck.found
    told: dict[str, Any] = {
        "recording": {
            "file": origin.file,
            "sha256": origin.sha256,
            "strike": struck.strike.index,
            "onset": struck.strike.onset,
            "clock_offset": as_dict(struck.clock_offset),
        },
        "impulse": as_dict(struck.strike.impulse),
        "peak_force": as_dict(struck.strike.peak_force),
    }
    return {**told, **mass_as_dict(found)}


def mass_as_dict(found: EffectiveMass | None) -> dict[str, Any]:
    """Return mass, energy and restitution as JSON holds them."""
    if found is None:
        return {}
    return {
        "effective_mass": as_dict(found.mass),
        "effective_mass_limits": {"low": found.limits[0], "high": found.limits[1], "unit": "kg"},
        "kinetic_energy": as_dict(found.energy),
        "energy_given": as_dict(found.energy_given),
        "restitution": as_dict(found.restitution),
        "rebound": found.rebound,
    }


def show_struck(struck: Struck | None, system: System) -> None:
    """Print what the recording adds for a person."""
    if struck is None or struck.found is None:
        return
    found, strike = struck.found, struck.strike
    rows = [
        ("peak force", *both_units(strike.peak_force, system)),
        ("impulse", *both_units(strike.impulse, system)),
        ("effective mass", *both_units(found.mass, system)),
        ("kinetic energy at contact", *both_units(found.energy, system)),
        ("energy given in contact", *both_units(found.energy_given, system)),
        ("restitution", *both_units(found.restitution, system)),
    ]
    title = f"with strike {strike.index} of {struck.reduction.origin.file}; rebound {found.rebound}"
    print_table(title, ("figure", "value (95 % interval)", "also"), rows)
    low, high = (show(Quantity(end, "kg"), system) for end in found.limits)
    if found.rebound != "measured":
        say(f"  effective mass between {low} and {high}, as the hand came back or not.")
    say(f"  {CAUTION}")
