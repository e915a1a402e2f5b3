"""Join the strikes and prints of a study into pressures.

A strike with a print of its own is joined with it. Any other is joined with the typical print of its
technique: that of the same athlete where there are such prints, else that of all athletes.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from tameshi.errors import Flag, TameshiError
from tameshi.pressure import Pressure, join, join_typical
from tameshi.quantity import Missing, Quantity, from_record
from tameshi.study.chosen import chosen_area
from tameshi.study.describe import Print, Recording
from tameshi.study.measure import Measurement


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Joined:
    """A strike of a study with the pressure it made, or why there is none.

    Parameters
    ----------
    recording : Recording
    strike : mapping
        The strike as stored.
    pressure : Pressure or None
    prints : tuple of Print
        The prints its area comes from.
    why : str
        Why there is no pressure; empty where there is one.
    """

    recording: Recording
    strike: Mapping[str, Any]
    pressure: Pressure | None
    prints: tuple[Print, ...] = ()
    why: str = ""


def join_study(
    strikes: Sequence[tuple[Recording, Measurement]], areas: Sequence[tuple[Print, Measurement]]
) -> list[Joined]:
    """Return every strike of a study with its pressure.

    Parameters
    ----------
    strikes : sequence of (Recording, Measurement)
    areas : sequence of (Print, Measurement)
        As :func:`tameshi.study.measure_all` returns them.
    """
    measured = [(contact_print, outcome.body) for contact_print, outcome in areas if outcome.error is None]
    return [
        _joined(recording, strike, measured, outcome.body["flags"])
        for recording, outcome in strikes
        for strike in outcome.body.get("strikes", ())
    ]


def _joined(
    recording: Recording,
    strike: Mapping[str, Any],
    measured: Sequence[tuple[Print, Mapping[str, Any]]],
    of_recording: Sequence[Mapping[str, Any]],
) -> Joined:
    own = [pair for pair in measured if _is_of(pair[0], recording, strike)]
    chosen = own[-1:] or _typical(recording, measured)
    if not chosen:
        technique = recording.description.technique
        why = f"there is no print of {technique}" if technique else "the recording names no technique"
        return Joined(recording=recording, strike=strike, pressure=None, why=f"{why} to take an area from")
    known = [pair for pair in chosen if isinstance(chosen_area(*pair), Quantity)]
    prints = tuple(contact_print for contact_print, _ in known or chosen)
    if not known:
        area = chosen_area(*chosen[0])
        why = area.why if isinstance(area, Missing) else ""
        return Joined(recording=recording, strike=strike, pressure=None, prints=prints, why=why)
    try:
        pressure = _pressure(strike, known, of_recording, own=bool(own))
    except TameshiError as error:
        return Joined(recording=recording, strike=strike, pressure=None, prints=prints, why=error.message)
    return Joined(recording=recording, strike=strike, pressure=pressure, prints=prints)


def _is_of(contact_print: Print, recording: Recording, strike: Mapping[str, Any]) -> bool:
    said = contact_print.description
    return said.recording == recording.original.sha256 and said.strike == strike["index"]


def _typical(
    recording: Recording, measured: Sequence[tuple[Print, Mapping[str, Any]]]
) -> list[tuple[Print, Mapping[str, Any]]]:
    """Return the prints of a recording's technique, of its athlete where there are any."""
    said = recording.description
    if said.technique is None:
        return []
    same = [pair for pair in measured if pair[0].description.technique == said.technique]
    athletes = [pair for pair in same if said.athlete and pair[0].description.athlete == said.athlete]
    return athletes or same


def _pressure(
    strike: Mapping[str, Any],
    chosen: Sequence[tuple[Print, Mapping[str, Any]]],
    of_recording: Sequence[Mapping[str, Any]],
    *,
    own: bool,
) -> Pressure:
    force = from_record(strike["peak_force"])
    areas = [area for one, body in chosen if isinstance(area := chosen_area(one, body), Quantity)]
    index = int(strike["index"])
    flags = [Flag(flag["code"], flag["message"], index) for flag in (*of_recording, *strike["flags"])]
    flags += [
        Flag(flag["code"], f"{contact_print.original.name}: {flag['message']}", index)
        for contact_print, body in chosen
        for flag in body["flags"]
    ]
    if own:
        return join(force, areas[0], flags=flags, strike=index)
    return join_typical(force, areas, flags=flags, strike=index)
