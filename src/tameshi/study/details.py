"""Pressure over time, by patch, and what limits it, for every strike of a study."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from tameshi.pressure import Detail, Pulse, contact_pulse, detail_of
from tameshi.study.chosen import chosen_patches
from tameshi.study.describe import Print, Recording
from tameshi.study.join import Joined
from tameshi.study.measure import CURVES, Measurement, unpacked


def details_of(
    strikes: Sequence[tuple[Recording, Measurement]],
    areas: Sequence[tuple[Print, Measurement]],
    joined: Sequence[Joined],
) -> list[Detail | None]:
    """Return what can be said of each pressure beyond its mean; None where there is no pressure.

    Parameters
    ----------
    strikes, areas
        As :func:`tameshi.study.measure_all` returns them.
    joined
        As :func:`tameshi.study.join_study` returns them.
    """
    measured = {recording.original.sha256: outcome for recording, outcome in strikes}
    prints = {contact_print.original.sha256: outcome.body for contact_print, outcome in areas}
    curves = {
        sha256: unpacked(outcome.files[CURVES])
        for sha256, outcome in measured.items()
        if CURVES in outcome.files
    }
    return [_detail(one, measured, prints, curves) for one in joined]


def _detail(
    one: Joined,
    measured: Mapping[str, Measurement],
    prints: Mapping[str, Mapping[str, Any]],
    curves: Mapping[str, Sequence[Mapping[str, Any]]],
) -> Detail | None:
    if one.pressure is None:
        return None
    sha256 = one.recording.original.sha256
    body = measured[sha256].body
    patches = [
        area
        for contact_print in (one.prints if one.pressure.own_print else ())
        for area in chosen_patches(contact_print, prints[contact_print.original.sha256])
    ]
    place = [strike["index"] for strike in body["strikes"]].index(one.strike["index"])
    drawn = curves.get(sha256, ())
    pulse = _pulse(one, drawn[place], float(body["recording"]["noise"])) if place < len(drawn) else None
    return detail_of(one.pressure, pulse=pulse, patches=patches, law=one.law)


def _pulse(one: Joined, curve: Mapping[str, Any], noise: float) -> Pulse | None:
    if one.pressure is None:
        return None
    return contact_pulse(
        curve["force"],
        start=float(curve["start"]),
        rate=float(curve["rate"]),
        within=(float(one.strike["onset"]), float(one.strike["end"])),
        peak=one.pressure.force,
        noise=noise,
        key=f"{one.recording.original.sha256}:{one.strike['index']}",
    )
