"""What a report says about recordings and their strikes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from tameshi.pressure import Detail
from tameshi.quantity import Quantity, from_record, show_both
from tameshi.report.budgets import budget
from tameshi.report.curves import force_time
from tameshi.report.frame import STRIKE_FIGURES, Frame
from tameshi.report.notation import Notation
from tameshi.report.parts import Fact, Named, RecordingPart, StrikePart
from tameshi.report.pressures import pressure_part
from tameshi.report.remarks import refusal, remarks
from tameshi.study import CURVES, Joined, Measurement, Recording, unpacked


def recording_part(
    recording: Recording,
    outcome: Measurement,
    joined: Mapping[int, tuple[Joined, Detail | None]],
    frame: Frame,
) -> RecordingPart:
    """Return what is said about a recording.

    Parameters
    ----------
    recording : Recording
    outcome : Measurement
    joined : mapping of int to (Joined, Detail or None)
        Its strikes with their pressures and what more is known of those, by index.
    frame : Frame
    """
    sha256, body = recording.original.sha256, outcome.body
    place = frame.recordings[sha256]
    facts = (*_said(recording, frame), *_found(body, frame.notation))
    if outcome.error is not None:
        return RecordingPart(place=place, facts=facts, refused=refusal(place, outcome.error))
    share = float(body["settings"]["onset_share"])
    curves = unpacked(outcome.files[CURVES])
    strikes = [
        _strike_part(*joined[strike["index"]], curve, share, frame)
        for strike, curve in zip(body["strikes"], curves, strict=True)
    ]
    return RecordingPart(place=place, facts=facts, strikes=tuple(strikes), remarks=remarks(body["flags"]))


def _strike_part(
    one: Joined, detail: Detail | None, curve: Mapping[str, Any], share: float, frame: Frame
) -> StrikePart:
    strike, notation = one.strike, frame.notation
    place = frame.strike(one.recording.original.sha256, strike["index"])
    figures = {key: from_record(strike[key]) for key in STRIKE_FIGURES}
    mean_pressure = one.pressure.mean_pressure if one.pressure else None
    return StrikePart(
        place=place,
        index=strike["index"],
        onset=float(strike["onset"]),
        figures=tuple(Named(STRIKE_FIGURES[key], notation.entry(figures[key])) for key in figures),
        loading_span=strike["loading_rate"].get("span"),
        pressure=pressure_part(one, detail, frame),
        why_no_pressure=one.why,
        curve=force_time(strike, curve, share=share, place=place, notation=notation),
        budget=budget([("Peak force", figures["peak_force"]), ("Mean pressure", mean_pressure)], place),
        remarks=remarks(strike["flags"]),
    )


def _said(recording: Recording, frame: Frame) -> tuple[Fact, ...]:
    """Return what people said about a recording."""
    said = recording.description
    facts = {
        "Technique": said.technique,
        "Athlete": said.athlete,
        "Session": said.session,
        "Side": said.side,
        "Rig": frame.rigs.get(said.rig or "", ""),
        "Force scale, as typed": said.force_scale,
        "Channel class": said.channel_class,
        "Speed at contact": _speed(said.speed, frame),
        "Note": said.note,
    }
    return tuple(Fact(name, words) for name, words in facts.items() if words)


def _found(body: Mapping[str, Any], notation: Notation) -> tuple[Fact, ...]:
    """Return what the recording itself showed."""
    if not body:
        return ()
    recording = body["recording"]
    noise = [
        f"{one:.2g}\u00a0{unit}" for one, unit in zip(*_force(recording["noise"], notation), strict=True)
    ]
    facts = {
        "Pad": recording["pad"] or "not said",
        "Channel": recording["channel"],
        "Sampling": f"{recording['rate']:g} samples a second for {recording['duration']:.3g}\u00a0s",
        "Newtons from": recording["conversion"],
        "Noise of one sample": ", ".join(noise),
    }
    return tuple(Fact(name, words) for name, words in facts.items() if words)


def _speed(speed: float | None, frame: Frame) -> str:
    return "" if speed is None else show_both(Quantity(speed, "m/s"), frame.notation.first)


def _force(newtons: float, notation: Notation) -> tuple[tuple[float, float], tuple[str, str]]:
    return notation.in_units(float(newtons), "N"), notation.units("N")
