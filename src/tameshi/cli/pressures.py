"""Show the pressure under every strike of a study, for a person and for a program."""

from __future__ import annotations

from typing import Any

from tameshi.cli.pressure_detail import given
from tameshi.cli.shown import both_units, print_table, say
from tameshi.cli.study_work import Seen
from tameshi.pressure import Detail, detail_as_dict, pressure_as_dict
from tameshi.quantity import System
from tameshi.study import Joined, details_of

_HEADINGS = ("strike", "technique", "mean pressure (95 %)", "area from", "above half for", "integral")
_SHOWN_LIMITS = 2


def pressures_as_list(seen: Seen) -> list[dict[str, Any]]:
    """Return the pressure under every strike, over time, by patch and with what limits it."""
    details = details_of(seen.strikes, seen.areas, seen.joined)
    return [
        {
            "recording": one.recording.original.name,
            "strike": one.strike["index"],
            "technique": one.recording.description.technique,
            **_found(one, detail),
        }
        for one, detail in zip(seen.joined, details, strict=True)
    ]


def show_pressures(seen: Seen, system: System) -> None:
    """Print the pressure under every strike, and what limits those of each technique."""
    details = details_of(seen.strikes, seen.areas, seen.joined)
    rows = [_row(one, detail, system) for one, detail in zip(seen.joined, details, strict=True)]
    print_table("pressure", _HEADINGS, rows)
    told = set()
    for one, detail in zip(seen.joined, details, strict=True):
        if detail is None or one.pressure is None:
            continue
        kind = (one.recording.description.technique, one.pressure.area_from)
        if kind not in told and detail.improvements:
            told.add(kind)
            say(f"  {kind[0]}, area from {kind[1]}, limited by:")
            say(*(f"    {each.words}" for each in detail.improvements[:_SHOWN_LIMITS]))


def _found(one: Joined, detail: Detail | None) -> dict[str, Any]:
    if one.pressure is None or detail is None:
        return {"why": one.why}
    return {"result": {**pressure_as_dict(one.pressure), **detail_as_dict(detail)}}


def _row(one: Joined, detail: Detail | None, system: System) -> tuple[str, ...]:
    name = f"{one.recording.original.name}:{one.strike['index']}"
    technique = one.recording.description.technique or "-"
    if one.pressure is None or detail is None:
        return name, technique, f"not given: {one.why}", "", "", ""
    course = detail.course
    over_time = ("-", "-")
    if course is not None:
        over_time = (given(course.half_duration, system)[0], given(course.pressure_impulse, system)[0])
    mean = both_units(one.pressure.mean_pressure, system)[0]
    return name, technique, mean, one.pressure.area_from, *over_time
