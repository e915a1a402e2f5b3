"""From a recording or a study to transfers: the work of the command transfer, before anything is shown."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import numpy as np

from tameshi.cli.measuring import RecordingOptions, reduce_file
from tameshi.cli.outcome import error_object
from tameshi.errors import Flag, TameshiError, UnmeasurableError, WrongUseError
from tameshi.force import Reduction
from tameshi.study import OnPlate, Taken, TransferQuestion, cautions_onto, take_over
from tameshi.target.head import NOTE
from tameshi.target.transfer import (
    SCHEMA,
    BodyPart,
    body_part,
    part_as_dict,
    transfer_as_dict,
)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class OfRecording:
    """The transfers of one recording."""

    file: str
    sha256: str
    technique: str | None
    strikes: tuple[Taken, ...] = ()
    flags: tuple[Flag, ...] = ()
    error: TameshiError | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Transfers:
    """All that was taken over."""

    part: BodyPart
    study: str | None
    recordings: tuple[OfRecording, ...]


def transfers_of(
    source: Path, question: TransferQuestion, options: RecordingOptions, *, strike: int | None = None
) -> Transfers:
    """Return the transfers of a recording or a study; of one strike of each recording where it is named.

    Raises
    ------
    UnmeasurableError
        ``no-strike``; or what keeps the only strike there is from being taken over.
    WrongUseError
        ``unknown-strike``, ``unknown-technique``.
    """
    part = body_part(question.part)
    if source.is_dir():
        return _of_study(source, question, part, strike)
    reduction = reduce_file(source, options)
    struck = _struck(reduction, question.technique)
    if not struck:
        raise UnmeasurableError(
            "no-strike",
            f"{reduction.origin.file} holds no strike.",
            hint="Check the recording with `tameshi strikes`.",
        )
    wanted = [one for one in struck if strike is None or one.index == strike]
    if not wanted:
        raise _unknown_strike(strike, (one.index for one in struck))
    taken = tuple(take_over(one, question) for one in wanted)
    if all(one.error is not None for one in taken):
        assert taken[0].error is not None  # noqa: S101  just asked
        raise taken[0].error
    only = OfRecording(
        file=reduction.origin.file,
        sha256=reduction.origin.sha256,
        technique=question.technique,
        strikes=taken,
        flags=reduction.flags,
    )
    return Transfers(part=part, study=None, recordings=(only,))


def keep(folder: Path, question: TransferQuestion) -> str:
    """Keep a question with a study and return what became of it."""
    from tameshi.study import keep_question, open_study

    with open_study(folder) as study:
        return keep_question(study, question)


def forget(folder: Path, question: TransferQuestion) -> None:
    """Take back a question that a study keeps."""
    from tameshi.study import forget_question, open_study

    with open_study(folder) as study:
        forget_question(study, question.part, question.technique)


def transfers_as_dict(found: Transfers) -> dict[str, Any]:
    """Return transfers as the object that --json prints."""
    return {
        "schema": SCHEMA,
        "study": found.study,
        "modelled": True,
        "onto": part_as_dict(found.part),
        "recordings": [_recording(one) for one in found.recordings],
        "head_note": NOTE if found.part.is_head else None,
        "cautions": [
            {"code": one.key, "lead": one.lead, "text": one.words}
            for one in cautions_onto((found.part.name,))
        ],
    }


def _recording(one: OfRecording) -> dict[str, Any]:
    entry: dict[str, Any] = {"file": one.file, "sha256": one.sha256, "technique": one.technique}
    if one.error is not None:
        return {**entry, "error": error_object(one.error)}
    return {
        **entry,
        "strikes": [
            transfer_as_dict(taken.found)
            if taken.found is not None
            else {"strike": taken.strike, "error": error_object(taken.error or TameshiError("unknown", ""))}
            for taken in one.strikes
        ],
        "flags": [flag.as_dict() for flag in one.flags],
    }


def _struck(reduction: Reduction, technique: str | None) -> list[OnPlate]:
    return [
        OnPlate(
            recording=reduction.origin.sha256,
            index=strike.index,
            onset=strike.onset,
            end=strike.end,
            figure=strike.figure,
            curve=(curve.force.astype(np.float64), curve.start, curve.rate),
            pad=reduction.pad,
            technique=technique,
            flags=strike.flags,
        )
        for strike, curve in zip(reduction.strikes, reduction.curves, strict=True)
    ]


def _of_study(folder: Path, question: TransferQuestion, part: BodyPart, strike: int | None) -> Transfers:
    from tameshi.cli.study_work import look_at
    from tameshi.study import open_study, transfer_recording

    seen, now = look_at(folder), datetime.now(UTC)
    about = [pair for pair in seen.strikes if question.is_about(pair[0].description.technique)]
    if not about:
        known = sorted({one.description.technique or "none named" for one, _ in seen.strikes})
        raise WrongUseError(
            "unknown-technique",
            f"The study has no recording of {question.technique!r}.",
            hint=f"Techniques: {', '.join(known) or 'none'}.",
        )
    only = None if strike is None else (strike,)
    found = []
    with open_study(folder) as study:
        for recording, outcome in about:
            known_of = OfRecording(
                file=recording.original.name,
                sha256=recording.original.sha256,
                technique=recording.description.technique,
                error=outcome.error,
            )
            if outcome.error is None:
                taken = transfer_recording(study, recording, outcome, question, at=now, only=only)
                known_of = replace(known_of, strikes=taken, flags=_flags(outcome.body))
            found.append(known_of)
    if strike is not None and not any(one.strikes for one in found):
        indices = {int(one["index"]) for _, outcome in about for one in outcome.body.get("strikes", ())}
        raise _unknown_strike(strike, sorted(indices))
    return Transfers(part=part, study=seen.name, recordings=tuple(found))


def _flags(entry: Mapping[str, Any]) -> tuple[Flag, ...]:
    return tuple(Flag(one["code"], one["message"], one["strike"]) for one in entry["flags"])


def _unknown_strike(strike: int | None, known: Iterable[int]) -> WrongUseError:
    listed = ", ".join(str(one) for one in known)
    return WrongUseError("unknown-strike", f"There is no strike {strike}.", hint=f"Strikes: {listed}.")
