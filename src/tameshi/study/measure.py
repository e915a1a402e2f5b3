"""Measure what a study holds: strikes, prints, and the pressure they make together.

Results already made by this version with these settings are taken from the catalogue; others are
made and stored, unless the study cannot be written, in which case they are made and handed on. One
file that cannot be measured never stops the rest: what is wrong with it stands in its place.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass, field, replace
from datetime import datetime
from typing import Any

import numpy as np

from tameshi.errors import StudyError, TameshiError, WrongUseError
from tameshi.force import Origin, Reduction, Settings, reduce_trace, strikes_to_record
from tameshi.readers import Asked, ReadOptions, prepare, read_recording
from tameshi.rig import Rig, parse_rig
from tameshi.study.describe import Print, Recording, prints, recordings
from tameshi.study.folder import Study
from tameshi.study.originals import Kind, Original, originals, read_original
from tameshi.study.results import Recipe, find_result, read_result_file, store_result

CURVES = "curves.npz"
OVERLAY = "overlay.png"

RIG_READ_AS = 2
"""How a rig file is understood; results of an older way stay and are made anew. Since 2 a file that says
nothing of a pad no longer stands for a bare plate."""

Progress = Callable[[str], None]
Made = tuple[Mapping[str, Any], Mapping[str, bytes]]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Measurement:
    """What measuring one original gave.

    Parameters
    ----------
    original : Original
    body : mapping
        The result as stored; empty where there is none.
    files : mapping of str to bytes
        Pictures and curves that go with it.
    made_at : datetime or None
        When it was made.
    error : TameshiError or None
        Why there is no result.
    """

    original: Original
    body: Mapping[str, Any] = field(default_factory=dict)
    files: Mapping[str, bytes] = field(default_factory=dict)
    made_at: datetime | None = None
    error: TameshiError | None = None


def measure_recording(study: Study, recording: Recording, *, at: datetime) -> Measurement:
    """Return the strikes of a recording, measured now or before.

    Parameters
    ----------
    study : Study
    recording : Recording
    at : datetime
        Now, with its time zone.
    """
    try:
        settings = Settings(channel_class=_channel_class(recording.description.channel_class))
    except TameshiError as error:
        return Measurement(original=recording.original, error=error)
    recipe = strikes_recipe(recording, settings)

    def make() -> Made:
        reduction = _reduce(study, recording, settings)
        return strikes_to_record(reduction), {CURVES: _packed(reduction)}

    return made(study, recording.original, recipe, make, at)


def strikes_recipe(recording: Recording, settings: Settings | None = None) -> Recipe:
    """Return everything that the strikes of a recording depend on.

    Raises
    ------
    WrongUseError
        ``unknown-class``.
    """
    said = recording.description
    used = settings or Settings(channel_class=_channel_class(said.channel_class))
    inputs = {"recording": recording.original.sha256}
    read = {}
    if said.rig:
        inputs["rig"] = said.rig
        read = {"rig_read_as": RIG_READ_AS}
    return Recipe(
        kind="strikes",
        schema="tameshi.strikes/1",
        inputs=inputs,
        settings={
            "channel": said.channel,
            "force_scale": said.force_scale,
            "rate": said.rate,
            "reduction": asdict(used),
            **read,
        },
    )


def measure_print(study: Study, contact_print: Print, *, at: datetime) -> Measurement:
    """Return the areas of a print, measured now or before.

    Parameters
    ----------
    study : Study
    contact_print : Print
    at : datetime
        Now, with its time zone.
    """
    # pictures need heavy libraries, and most of what is done with a study needs no picture
    from tameshi.footprint import (  # noqa: PLC0415
        FootprintSettings,
        corrections_from,
        measure_footprint,
        parse_lens,
        picked_from,
        to_record,
    )
    from tameshi.footprint.results.png import overlay_png  # noqa: PLC0415
    from tameshi.readers.image import read_image  # noqa: PLC0415

    said, original = contact_print.description, contact_print.original
    settings = FootprintSettings()
    recipe = Recipe(
        kind="footprint",
        schema="tameshi.footprint/1",
        inputs={"print": original.sha256, **({"lens": said.lens} if said.lens else {})},
        settings={
            "reference": said.reference,
            "bar": said.bar_length,
            "paper": said.paper,
            "footprint": settings.as_dict(),
            # named only where there are any: what was measured without them keeps its key
            **({"points": said.points} if said.points else {}),
            **({"corrections": said.corrections} if said.corrections else {}),
        },
    )

    def make() -> Made:
        lens = _kept(study, "lens", said.lens)
        photo = read_image(read_original(study, original))
        footprint = measure_footprint(
            photo.pixels,
            reference=picked_from(said.points) if said.points else said.reference or "auto",
            bar=said.bar_length,
            paper=said.paper,
            dpi=photo.dpi,
            focal=photo.focal,
            lens=parse_lens(_text(study, lens), where=lens.name) if lens else None,
            key=original.sha256,
            settings=settings,
            corrections=corrections_from(said.corrections or {}),
        )
        footprint = replace(footprint, flags=(*photo.flags, *footprint.flags))
        size = (photo.width, photo.height)
        record = to_record(footprint, file=original.name, sha256=original.sha256, size=size)
        record = {**record, "image": {**record["image"], **photo.facts}}
        if lens is not None:
            record["lens"] = {"file": lens.name, "sha256": lens.sha256}
        return record, {OVERLAY: overlay_png(footprint)}

    return made(study, original, recipe, make, at)


def measure_all(
    study: Study, *, at: datetime, progress: Progress | None = None
) -> tuple[list[tuple[Recording, Measurement]], list[tuple[Print, Measurement]]]:
    """Return every recording and every print with what measuring it gave.

    Parameters
    ----------
    study : Study
    at : datetime
        Now, with its time zone.
    progress : callable or None
        Told the name of each file when it is done.
    """
    tell = progress or (lambda _name: None)
    strikes, areas = [], []
    for recording in recordings(study):
        strikes.append((recording, measure_recording(study, recording, at=at)))
        tell(recording.original.name)
    for contact_print in prints(study):
        areas.append((contact_print, measure_print(study, contact_print, at=at)))
        tell(contact_print.original.name)
    return strikes, areas


def unpacked(curves: bytes) -> list[dict[str, Any]]:
    """Return the curves that go with a result: start [s], rate [Hz], force and reading [N] of each strike."""
    with np.load(io.BytesIO(curves)) as arrays:
        count = int(arrays["count"])
        return [
            {
                "start": float(arrays[f"start{place}"]),
                "rate": float(arrays["rate"]),
                "force": arrays[f"force{place}"].astype(np.float64),
                "reading": arrays[f"reading{place}"].astype(np.float64),
            }
            for place in range(count)
        ]


def made(
    study: Study, original: Original, recipe: Recipe, make: Callable[[], Made], at: datetime
) -> Measurement:
    """Return a result from the catalogue, or make it and, where that is possible, store it.

    Parameters
    ----------
    study : Study
    original : Original
        What it is mainly about.
    recipe : Recipe
    make : callable
        Works it out: body, and files by name.
    at : datetime
        Now, with its time zone.

    Raises
    ------
    StudyError
        Where the study itself is at fault; what the original is at fault for stands in the result.
    """
    try:
        known = find_result(study, recipe)
        if known is not None:
            kept = {name: read_result_file(study, known, name) for name in known.files}
            return Measurement(original=original, body=known.body, files=kept, made_at=known.made_at)
        body, files = make()
    except StudyError:
        raise  # the study itself is at fault, not this file
    except TameshiError as error:
        return Measurement(original=original, error=error)
    if not study.read_only:
        store_result(study, recipe, body, at=at, files=files)
    return Measurement(original=original, body=body, files=files, made_at=at)


def _reduce(study: Study, recording: Recording, settings: Settings) -> Reduction:
    said, original = recording.description, recording.original
    rig = _rig(study, said.rig)
    options = ReadOptions(count_samples=said.rate is not None)
    read = read_recording(read_original(study, original), original.name, options)
    asked = Asked(rig=rig, channel=said.channel, force_scale=said.force_scale, rate=said.rate)
    trace, conversion = prepare(read, Origin(original.name, original.sha256), asked)
    return reduce_trace(trace, conversion, rig=rig, settings=settings)


def _channel_class(said: str | None) -> int | None:
    """Return the class a person named; whether there is such a class is for the filter to say."""
    if said is None:
        return None
    if not (said.isascii() and said.isdecimal()):
        raise WrongUseError(
            "unknown-class", f"{said!r} is no channel class.", hint="Give its number, such as 600."
        )
    return int(said)


def _rig(study: Study, sha256: str | None) -> Rig | None:
    found = _kept(study, "rig", sha256)
    return parse_rig(_text(study, found), where=found.name) if found else None


def _kept(study: Study, kind: Kind, sha256: str | None) -> Original | None:
    """Return the original of one kind that a description names, None where it names none."""
    if not sha256:
        return None
    return next(original for original in originals(study, kind) if original.sha256 == sha256)


def _text(study: Study, original: Original) -> str:
    return read_original(study, original).decode("utf-8-sig", errors="replace")


def _packed(reduction: Reduction) -> bytes:
    """Return the curves of a reduction as bytes."""
    arrays: dict[str, Any] = {"count": len(reduction.curves), "rate": reduction.rate}
    for place, curve in enumerate(reduction.curves):
        arrays[f"start{place}"] = curve.start
        arrays[f"force{place}"] = curve.force
        arrays[f"reading{place}"] = curve.reading
    packed = io.BytesIO()
    np.savez(packed, **arrays)
    return packed.getvalue()
