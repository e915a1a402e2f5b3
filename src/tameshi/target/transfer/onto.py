"""From a strike on a plate to the same strike on a free part of the body: bands."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import Flag
from tameshi.reference import row
from tameshi.target.transfer.band import AT_LEAST, AT_MOST, BOTH, Band, band_of
from tameshi.target.transfer.blow import Blow
from tameshi.target.transfer.draws import Passed, draw_passed
from tameshi.target.transfer.extremes import Limits, transfer_limits
from tameshi.target.transfer.head_bands import HeadBands, head_bands
from tameshi.target.transfer.part import BodyPart
from tameshi.target.transfer.recorded import scaled_pulse
from tameshi.target.transfer.striker import Striker

FloatArray = NDArray[np.float64]
DRAWS = 10_000
DOUBTS = ("odd-pulse", "pad-unknown", "unlike-published")
"""Codes of the flags that say that the model may not hold for a strike."""

OUTSIDE = ("long-push", "striker-too-fast")
"""Codes of the flags that say that it does not: its bands are shown, and set beside nothing."""

_SHAPES = (0.35, 0.75)
"""Mean over peak force of contacts that the model knows: from sharply lost energy to hardly rounded."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrival:
    """Bands of what arrives at a part.

    Parameters
    ----------
    name : str
        Of the statement about the part; the part's own name for all of them together.
    peak_force : Band [N]
    duration : Band [s]
    impulse : Band [N s]
    acceleration : Band
        Greatest, of the whole part as one mass. [m/s2]
    mean_acceleration : Band
        Over the contact. [m/s2]
    speed : Band
        Of the part afterwards. [m/s]
    """

    name: str
    peak_force: Band
    duration: Band
    impulse: Band
    acceleration: Band
    mean_acceleration: Band
    speed: Band


@dataclass(frozen=True, slots=True, kw_only=True)
class Transfer:
    """A strike taken over to a part of the body. Nothing in it is measured on a body.

    Parameters
    ----------
    blow : Blow
    part : BodyPart
    striker : Striker
    arrival : Arrival or None
        With all statements about the part drawn equally often; None where nothing is known of the striker.
    by_model : tuple of Arrival
        With each statement alone.
    striker_mass, striker_speed, striker_stiffness : Band or None
        What the plate tells of the striker, with what was said. [kg], [m/s], [N/m]
    limits : Limits
        What holds whatever struck.
    head : HeadBands or None
        For a head with a recorded pulse.
    flags : tuple of Flag
    """

    blow: Blow
    part: BodyPart
    striker: Striker
    arrival: Arrival | None
    by_model: tuple[Arrival, ...]
    striker_mass: Band | None
    striker_speed: Band | None
    striker_stiffness: Band | None
    limits: Limits
    head: HeadBands | None
    flags: tuple[Flag, ...]


def transfer(
    blow: Blow,
    part: BodyPart,
    striker: Striker,
    *,
    generator: np.random.Generator,
    draws: int = DRAWS,
    flags: Sequence[Flag] = (),
) -> Transfer:
    """Return what of a strike on a plate would arrive at a free part of the body.

    Parameters
    ----------
    blow : Blow
    part : BodyPart
    striker : Striker
    generator : numpy Generator
        Randomness is given, never taken.
    draws : int
        Over all statements about the part together.
    flags : sequence of Flag
        Those of the strike, carried along.

    Raises
    ------
    UnmeasurableError
        ``too-uncertain``, ``striker-contradicts``, ``unlike-published``, ``pad-contradicts``.

    Notes
    -----
    Two free masses on two springs in series, one of them hardening or not, with loss. Mass, speed, stiffness
    and restitution are drawn, the measured figures from their budgets (JCGM 101:2008).
    """
    noted = [*flags, *remarks(blow, striker)]
    limits = transfer_limits(blow, part)
    if not striker.is_known:
        return _without_striker(blow, part, striker, limits, tuple(noted))
    each = max(1, draws // len(part.models))
    passed = [draw_passed(blow, model, striker, draws=each, generator=generator) for model in part.models]
    if any(one.likeness_is_low for one in passed):
        noted.append(_unlike(blow, striker))
    noted += _too_fast(blow, _all(passed, "striker_speed"))
    return Transfer(
        blow=blow,
        part=part,
        striker=striker,
        arrival=_arrival(part.name, passed, blow),
        by_model=tuple(
            _arrival(model.name, [one], blow) for model, one in zip(part.models, passed, strict=True)
        ),
        striker_mass=band_of(_all(passed, "striker_mass"), "kg"),
        striker_speed=band_of(_all(passed, "striker_speed"), "m/s"),
        striker_stiffness=band_of(
            _all(passed, "striker_stiffness"), "N/m", known=BOTH if blow.pad.is_known else AT_LEAST
        ),
        limits=limits,
        head=_head(blow, part, passed),
        flags=tuple(noted),
    )


def remarks(blow: Blow, striker: Striker) -> list[Flag]:
    """Return what limits a transfer."""
    found = []
    longest = float(row("transfer_limits", "longest")["value"])
    if blow.duration.value > longest:
        found.append(
            Flag(
                "long-push",
                f"The contact lasts {1e3 * blow.duration.value:.0f} ms. Beyond {1e3 * longest:.0f} ms "
                "muscles push during the contact, which the model of two masses does not know.",
                blow.index,
            )
        )
    if not _SHAPES[0] <= blow.shape <= _SHAPES[1]:
        found.append(
            Flag(
                "odd-pulse",
                f"Mean force is {blow.shape:.0%} of peak force; of a single blow the model knows "
                f"{_SHAPES[0]:.0%} to {_SHAPES[1]:.0%}.",
                blow.index,
            )
        )
    if not blow.pad.is_known:
        named = "Nobody said what pad was on the plate"
        if blow.pad.name is not None:
            named = f"Nobody said how stiff the pad on the plate ({blow.pad.name}) is"
        found.append(
            Flag(
                "pad-unknown",
                f"{named}. A pad on the plate softens the strike and does not lie on the body, so that force "
                "and acceleration there have a lower bound only.",
                blow.index,
            )
        )
    if not striker.is_known:
        found.append(
            Flag(
                "striker-unknown",
                "Neither speed nor effective mass is known: only two limits can be told.",
                blow.index,
            )
        )
    elif striker.mass is None and striker.speed is None:
        meaning = row("strikers", str(striker.published))["meaning"]
        found.append(
            Flag(
                "striker-published", f"Mass and speed are those of published strikes: {meaning}.", blow.index
            )
        )
    return found


def _unlike(blow: Blow, striker: Striker) -> Flag:
    return Flag(
        "unlike-published",
        f"Hardly any published {striker.published} makes {blow.impulse.value:.3g} N s.",
        blow.index,
    )


def _too_fast(blow: Blow, speed: FloatArray) -> list[Flag]:
    fastest, median = float(row("transfer_limits", "fastest")["value"]), float(np.median(speed))
    if median <= fastest:
        return []
    return [
        Flag(
            "striker-too-fast",
            f"With what was said of the striker it must have come at {median:.2g} m/s; the fastest published "
            f"strikes reach {fastest:g} m/s.",
            blow.index,
        )
    ]


def _without_striker(
    blow: Blow, part: BodyPart, striker: Striker, limits: Limits, flags: tuple[Flag, ...]
) -> Transfer:
    return Transfer(
        blow=blow,
        part=part,
        striker=striker,
        arrival=None,
        by_model=(),
        striker_mass=None,
        striker_speed=None,
        striker_stiffness=None,
        limits=limits,
        head=None,
        flags=flags,
    )


def _all(passed: Sequence[Passed], name: str) -> FloatArray:
    return np.concatenate([getattr(one, name) for one in passed])


def _arrival(name: str, passed: Sequence[Passed], blow: Blow) -> Arrival:
    """Return bands of draws; a pad that nobody can take back leaves force and duration one side only."""
    force, mass = _all(passed, "force"), _all(passed, "mass")
    impulse = _all(passed, "impulse")
    known = blow.pad.is_known
    return Arrival(
        name=name,
        peak_force=band_of(force, "N", known=BOTH if known else AT_LEAST),
        duration=band_of(_all(passed, "duration"), "s", known=BOTH if known else AT_MOST),
        impulse=band_of(impulse, "N s"),
        acceleration=band_of(force / mass, "m/s2", known=BOTH if known else AT_LEAST),
        # that of the recorded pulse scaled to each draw, as the measures of a head have it
        mean_acceleration=band_of(blow.shape * force / mass, "m/s2", known=BOTH if known else AT_LEAST),
        speed=band_of(impulse / mass, "m/s"),
    )


def _head(blow: Blow, part: BodyPart, passed: Sequence[Passed]) -> HeadBands | None:
    if blow.force is None or not part.is_head:
        return None
    shape = scaled_pulse(blow.force, blow.rate, force_ratio=1.0, time_ratio=1.0, mass=1.0)
    return head_bands(
        shape,
        _all(passed, "force_ratio") / _all(passed, "mass"),
        _all(passed, "time_ratio"),
        known=BOTH if blow.pad.is_known else AT_LEAST,
    )
