"""Show a study: for a person as tables, for a program as one object."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from tameshi.cli.breaking_study import broken_as_list, show_broken
from tameshi.cli.clip_strike import mass_as_dict
from tameshi.cli.contact import contacts_as_list
from tameshi.cli.outcome import error_object
from tameshi.cli.shown import both_units, print_table, say
from tameshi.cli.study_work import Seen
from tameshi.pressure import pressure_as_dict
from tameshi.quantity import System, as_dict, from_record
from tameshi.study import Filmed, chosen_area, companions_of, pairing_of

STUDY_SCHEMA = "tameshi.study/1"


def show_study(seen: Seen, system: System) -> None:
    """Print a study for a person."""
    say(f"{seen.name}: {len(seen.strikes)} recordings, {len(seen.areas)} prints, {len(seen.rigs)} rig files")
    if seen.strikes:
        print_table(
            "recordings",
            ("recording", "technique", "athlete", "strikes", "remark"),
            map(_recording_row, seen.strikes),
        )
    if seen.areas:
        rows = [_print_row(pair, system) for pair in seen.areas]
        print_table("prints", ("print", "technique", "athlete", "contact area (95 %)", "also"), rows)
    if seen.joined:
        rows = [_pressure_row(joined, system) for joined in seen.joined]
        headings = ("strike", "technique", "peak force (95 %)", "mean pressure (95 %)", "also")
        print_table("strikes", headings, rows)
    if seen.films:
        rows = [_film_row(one, system) for one in seen.films]
        headings = ("film", "technique", "speed at contact (95 %)", "effective mass (95 %)", "remark")
        print_table("films", headings, rows)
    if seen.broken:
        show_broken(seen.broken, system)
        say("  A chance is no promise: see tameshi breaking for what it rests on, and for the cautions.")
    for line in _missing(seen):
        say(f"  - {line}")
    alone = pairing_of(seen.strikes, seen.areas, companions_of(one.film for one in seen.films)).alone
    if alone:
        say("unpaired", *(f"  - {one.words}" for one in alone))


def study_as_dict(seen: Seen) -> dict[str, Any]:
    """Return a study as the object that --json prints."""
    return {
        "schema": STUDY_SCHEMA,
        "name": seen.name,
        "recordings": [
            {
                "file": recording.original.name,
                "sha256": recording.original.sha256,
                "technique": recording.description.technique,
                "athlete": recording.description.athlete,
                "session": recording.description.session,
                "side": recording.description.side,
                **({"error": error_object(found.error)} if found.error else {"result": public(found.body)}),
            }
            for recording, found in seen.strikes
        ],
        "prints": [
            {
                "file": contact_print.original.name,
                "sha256": contact_print.original.sha256,
                "technique": contact_print.description.technique,
                "athlete": contact_print.description.athlete,
                **({"error": error_object(found.error)} if found.error else {"result": public(found.body)}),
            }
            for contact_print, found in seen.areas
        ],
        "pressures": [
            {
                "recording": joined.recording.original.name,
                "strike": joined.strike["index"],
                "technique": joined.recording.description.technique,
                **(
                    {"why": joined.why}
                    if joined.pressure is None
                    else {"result": pressure_as_dict(joined.pressure)}
                ),
            }
            for joined in seen.joined
        ],
        "contacts": contacts_as_list(seen.contacts),
        "films": [_film(one) for one in seen.films],
        "pairing": _pairing(seen),
        "targets": broken_as_list(seen.broken),
        "missing": _missing(seen),
    }


def _film(one: Filmed) -> dict[str, Any]:
    """Return a film, its figures and the mass behind its strike as JSON holds them."""
    said, found = one.film.description, one.measured
    strike = {"recording": one.recording.original.name, "strike": said.strike} if one.recording else None
    return {
        "file": one.film.original.name,
        "sha256": one.film.original.sha256,
        "technique": said.technique,
        "athlete": said.athlete,
        "of": strike,
        **({"error": error_object(found.error)} if found.error else {"result": public(found.body)}),
        **(mass_as_dict(one.mass) if one.mass else {"why": one.why}),
    }


def _film_row(one: Filmed, system: System) -> tuple[str, ...]:
    said, found = one.film.description, one.measured
    name = (one.film.original.name, said.technique or "-")
    if found.error is not None:
        return (*name, found.error.message, "-", "")
    speed = both_units(one.figure("speed_at_contact"), system)[0]
    mass = both_units(one.mass.mass, system)[0] if one.mass else f"not given: {one.why}"
    return (*name, speed, mass, ", ".join(flag["code"] for flag in found.body["flags"]))


def _pairing(seen: Seen) -> dict[str, Any]:
    found = pairing_of(seen.strikes, seen.areas, companions_of(one.film for one in seen.films))
    return {
        "strikes": [
            {
                "recording": one.recording,
                "strike": one.strike,
                "technique": one.technique,
                "athlete": one.athlete,
                "session": one.session,
                "prints": list(one.prints),
                "clips": list(one.clips),
            }
            for one in found.strikes
        ],
        "alone": [
            {"code": one.code, "file": one.name, "strikes": list(one.strikes), "words": one.words}
            for one in found.alone
        ],
    }


def public(record: Any) -> Any:  # noqa: ANN401  JSON is anything
    """Return a stored result in its public form: quantities without the sources behind them."""
    if isinstance(record, Mapping):
        if "symmetric" in record and "parts" in record:
            extra = {key: record[key] for key in ("span",) if key in record}
            return {**as_dict(from_record(record)), **extra}
        return {key: public(value) for key, value in record.items() if key != "settings"}
    if isinstance(record, list | tuple):
        return [public(item) for item in record]
    return record


def _recording_row(pair: tuple[Any, Any]) -> tuple[str, ...]:
    recording, found = pair
    said = recording.description
    remark = found.error.message if found.error else ", ".join(flag["code"] for flag in found.body["flags"])
    count = "-" if found.error else str(len(found.body["strikes"]))
    return recording.original.name, said.technique or "-", said.athlete or "-", count, remark


def _print_row(pair: tuple[Any, Any], system: System) -> tuple[str, ...]:
    contact_print, found = pair
    said = contact_print.description
    area = (
        (found.error.message, "")
        if found.error
        else both_units(chosen_area(contact_print, found.body), system)
    )
    return contact_print.original.name, said.technique or "-", said.athlete or "-", *area


def _pressure_row(joined: Any, system: System) -> tuple[str, ...]:  # noqa: ANN401
    name = f"{joined.recording.original.name}:{joined.strike['index']}"
    force = both_units(from_record(joined.strike["peak_force"]), system)[0]
    pressure = (
        (f"not given: {joined.why}", "")
        if joined.pressure is None
        else both_units(joined.pressure.mean_pressure, system)
    )
    return name, joined.recording.description.technique or "-", force, *pressure


def _missing(seen: Seen) -> list[str]:
    """Return what the study lacks, each with what to do next."""
    lines = []
    if not seen.strikes:
        lines.append("No recordings yet: tameshi study add FOLDER RECORDING --technique ...")
    if not seen.areas:
        lines.append("No prints yet: tameshi study add FOLDER PHOTO --technique ... --bar ...")
    if seen.strikes and not seen.rigs:
        lines.append("No rig file: volts cannot become newtons without one.")
    printed = {contact_print.description.technique for contact_print, _ in seen.areas}
    struck = {recording.description.technique for recording, _ in seen.strikes}
    lines += [
        f"No print of {technique}: its pressure cannot be given."
        for technique in sorted(filter(None, struck - printed))
    ]
    lines += [f"No recording of {technique}." for technique in sorted(filter(None, printed - struck))]
    if None in struck:
        lines.append("A recording names no technique: add it again with --technique.")
    return lines
