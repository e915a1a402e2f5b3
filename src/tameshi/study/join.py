"""Join the strikes and prints of a study into pressures.

A strike with a print of its own is joined with it. Any other gets the area that the law of its technique,
athlete and pad gives at its force, where there is such a law near that force; else the typical print of its
technique: that of the same athlete where there are such prints, else that of all athletes.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from tameshi.errors import Flag, TameshiError
from tameshi.pressure import AreaLaw, Pressure, join, join_by_law, join_typical
from tameshi.quantity import Missing, Quantity, from_record
from tameshi.study.chosen import chosen_area
from tameshi.study.contact import Contact, contacts_of, pads_of, whose
from tameshi.study.describe import Print, Recording
from tameshi.study.laws import AgainstForce
from tameshi.study.measure import Measurement

_Chosen = Sequence[tuple[Print, Mapping[str, Any]]]


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
    law : AreaLaw or None
        Area against force of its technique, athlete and pad, where there is one.
    why : str
        Why there is no pressure; empty where there is one.
    """

    recording: Recording
    strike: Mapping[str, Any]
    pressure: Pressure | None
    prints: tuple[Print, ...] = ()
    law: AreaLaw | None = None
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
    contacts, pads = contacts_of(strikes, areas), pads_of(strikes)
    known = {recording.original.sha256: recording for recording, _ in strikes}
    return [
        _joined(
            recording,
            strike,
            measured,
            outcome.body["flags"],
            against=_against(recording, contacts, pads),
            known=known,
        )
        for recording, outcome in strikes
        for strike in outcome.body.get("strikes", ())
    ]


def _against(
    recording: Recording, contacts: Sequence[Contact], pads: Mapping[str, str | None]
) -> AgainstForce | None:
    """Return area against force of a recording's technique, athlete and pad."""
    said, pad = recording.description, pads.get(recording.original.sha256)
    for one in contacts:
        if (one.technique, one.athlete) == (said.technique, said.athlete):
            return next((found for found in one.against_force if found.pad == pad), None)
    return None


def _joined(
    recording: Recording,
    strike: Mapping[str, Any],
    measured: _Chosen,
    of_recording: Sequence[Mapping[str, Any]],
    *,
    against: AgainstForce | None,
    known: Mapping[str, Recording],
) -> Joined:
    own = [pair for pair in measured if _is_of(pair[0], recording, strike)][-1:]
    law = against.law if against else None
    force = from_record(strike["peak_force"])
    by_law = not own and law is not None and isinstance(force, Quantity) and law.reaches(force.value)
    if by_law and against is not None:
        fitted = {pair.contact_print.original.sha256 for pair in against.pairs}
        chosen = [pair for pair in measured if pair[0].original.sha256 in fitted]
    else:
        chosen = own or _typical(recording, measured, known)
    if not chosen:
        technique = recording.description.technique
        why = f"there is no print of {technique}" if technique else "the recording names no technique"
        return Joined(recording=recording, strike=strike, pressure=None, why=f"{why} to take an area from")
    sure = [pair for pair in chosen if isinstance(chosen_area(*pair), Quantity)]
    prints = tuple(contact_print for contact_print, _ in sure or chosen)
    if not sure:
        area = chosen_area(*chosen[0])
        why = area.why if isinstance(area, Missing) else ""
        return Joined(recording=recording, strike=strike, pressure=None, prints=prints, why=why)
    flags = _flags(strike, sure, of_recording)
    try:
        pressure = _pressure(strike, sure, flags, own=bool(own), law=law if by_law else None)
    except TameshiError as error:
        return Joined(recording=recording, strike=strike, pressure=None, prints=prints, why=error.message)
    return Joined(recording=recording, strike=strike, pressure=pressure, prints=prints, law=law)


def _is_of(contact_print: Print, recording: Recording, strike: Mapping[str, Any]) -> bool:
    said = contact_print.description
    return said.recording == recording.original.sha256 and said.strike == strike["index"]


def _typical(
    recording: Recording, measured: _Chosen, known: Mapping[str, Recording]
) -> list[tuple[Print, Mapping[str, Any]]]:
    """Return the prints of a recording's technique, of its athlete where there are any."""
    said = recording.description
    if said.technique is None:
        return []
    told = [(pair, whose(pair[0], known.get(pair[0].description.recording or ""))) for pair in measured]
    same = [(pair, athlete) for pair, (technique, athlete) in told if technique == said.technique]
    athletes = [pair for pair, athlete in same if said.athlete and athlete == said.athlete]
    return athletes or [pair for pair, _ in same]


def _flags(
    strike: Mapping[str, Any], chosen: _Chosen, of_recording: Sequence[Mapping[str, Any]]
) -> list[Flag]:
    index = int(strike["index"])
    flags = [Flag(flag["code"], flag["message"], index) for flag in (*of_recording, *strike["flags"])]
    return flags + [
        Flag(flag["code"], f"{contact_print.original.name}: {flag['message']}", index)
        for contact_print, body in chosen
        for flag in body["flags"]
    ]


def _pressure(
    strike: Mapping[str, Any], chosen: _Chosen, flags: Sequence[Flag], *, own: bool, law: AreaLaw | None
) -> Pressure:
    force, index = from_record(strike["peak_force"]), int(strike["index"])
    if law is not None:
        return join_by_law(force, law, flags=flags, strike=index)
    areas = [area for one, body in chosen if isinstance(area := chosen_area(one, body), Quantity)]
    if own:
        return join(force, areas[0], flags=flags, strike=index)
    return join_typical(force, areas, flags=flags, strike=index)
