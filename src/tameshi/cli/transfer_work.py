"""From a recording or a study to transfers: the work of the command transfer, before anything is shown."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tameshi.cli.measuring import RecordingOptions, reduce_file
from tameshi.cli.outcome import error_object
from tameshi.errors import Flag, TameshiError, UnmeasurableError, WrongUseError
from tameshi.quantity import Measured, from_record
from tameshi.target.head import NOTE
from tameshi.target.transfer import (
    SCHEMA,
    BodyPart,
    Known,
    Pad,
    Striker,
    Transfer,
    blow_of,
    cautions,
    cut_pulse,
    part_as_dict,
    published_striker,
    transfer,
    transfer_as_dict,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What was asked for, and said of striker and pad."""

    part: BodyPart
    mass: Known | None = None
    speed: Known | None = None
    technique: str | None = None
    pad: str | None = None
    pad_stiffness: Known | None = None
    strike: int | None = None

    def striker(self, technique: str | None) -> Striker:
        """Return what is known of the striker of a technique."""
        published = published_striker(self.technique or technique)
        return Striker(mass=self.mass, speed=self.speed, published=published)

    def plate(self, pad: str | None) -> Pad:
        """Return the pad: as typed, else as the rig file has it."""
        return Pad(self.pad if self.pad is not None else pad, self.pad_stiffness)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Taken:
    """A strike and its transfer, or why there is none."""

    strike: int
    found: Transfer | None = None
    error: TameshiError | None = None


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


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Struck:
    """A measured strike, wherever it comes from."""

    index: int
    onset: float
    end: float
    figure: Callable[[str], Measured]
    curve: tuple[NDArray[np.float64], float, float]
    flags: tuple[Flag, ...]


def transfers_of(source: Path, asked: Asked, options: RecordingOptions) -> Transfers:
    """Return the transfers of a recording or a study.

    Raises
    ------
    UnmeasurableError
        ``no-strike``; or what keeps the only strike there is from being taken over.
    WrongUseError
        ``unknown-strike``.
    """
    if source.is_dir():
        return _of_study(source, asked)
    reduction = reduce_file(source, options)
    struck = [
        _Struck(
            index=strike.index,
            onset=strike.onset,
            end=strike.end,
            figure=strike.figure,
            curve=(curve.force.astype(np.float64), curve.start, curve.rate),
            flags=strike.flags,
        )
        for strike, curve in zip(reduction.strikes, reduction.curves, strict=True)
    ]
    if not struck:
        raise UnmeasurableError(
            "no-strike",
            f"{reduction.origin.file} holds no strike.",
            hint="Check the recording with `tameshi strikes`.",
        )
    taken = _taken(struck, asked, None, reduction.pad, reduction.origin.sha256)
    if not taken:
        listed = ", ".join(str(one.index) for one in struck)
        raise WrongUseError(
            "unknown-strike", f"There is no strike {asked.strike}.", hint=f"Strikes: {listed}."
        )
    if all(one.error is not None for one in taken):
        assert taken[0].error is not None  # noqa: S101  just asked
        raise taken[0].error
    only = OfRecording(
        file=reduction.origin.file,
        sha256=reduction.origin.sha256,
        technique=asked.technique,
        strikes=taken,
        flags=reduction.flags,
    )
    return Transfers(part=asked.part, study=None, recordings=(only,))


def transfers_as_dict(found: Transfers) -> dict[str, Any]:
    """Return transfers as the object that --json prints."""
    return {
        "schema": SCHEMA,
        "study": found.study,
        "modelled": True,
        "onto": part_as_dict(found.part),
        "recordings": [_recording(one) for one in found.recordings],
        "head_note": NOTE if found.part.is_head else None,
        "cautions": cautions(),
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


def _of_study(folder: Path, asked: Asked) -> Transfers:
    from tameshi.cli.study_work import look_at
    from tameshi.study import CURVES, unpacked

    seen = look_at(folder)
    found = []
    for recording, outcome in seen.strikes:
        original, technique = recording.original, recording.description.technique
        known = OfRecording(
            file=original.name,
            sha256=original.sha256,
            technique=asked.technique or technique,
            error=outcome.error,
        )
        if outcome.error is not None:
            found.append(known)
            continue
        body = outcome.body
        struck = list(_stored(body, unpacked(outcome.files[CURVES])))
        taken = _taken(struck, asked, technique, body["recording"]["pad"], original.sha256)
        found.append(replace(known, strikes=taken, flags=_flags(body)))
    return Transfers(part=asked.part, study=seen.name, recordings=tuple(found))


def _stored(body: Mapping[str, Any], curves: list[dict[str, Any]]) -> Iterator[_Struck]:
    for strike, curve in zip(body["strikes"], curves, strict=True):
        yield _Struck(
            index=int(strike["index"]),
            onset=float(strike["onset"]),
            end=float(strike["end"]),
            figure=lambda name, strike=strike: from_record(strike[name]),  # type: ignore[misc]
            curve=(curve["force"], curve["start"], curve["rate"]),
            flags=_flags(strike),
        )


def _flags(entry: Mapping[str, Any]) -> tuple[Flag, ...]:
    return tuple(Flag(one["code"], one["message"], one["strike"]) for one in entry["flags"])


def _taken(
    struck: list[_Struck], asked: Asked, technique: str | None, pad: str | None, sha256: str
) -> tuple[Taken, ...]:
    """Return the strikes that were asked for, each taken over; what fails with one does not stop the rest."""
    return tuple(
        _take(one, asked, technique, pad, sha256)
        for one in struck
        if asked.strike is None or one.index == asked.strike
    )


def _take(one: _Struck, asked: Asked, technique: str | None, pad: str | None, sha256: str) -> Taken:
    # the recording seeds the draws: the same strike gives the same bands
    generator = np.random.default_rng([int(sha256[:16], 16), one.index])
    force, start, rate = one.curve
    try:
        blow = blow_of(
            index=one.index,
            peak_force=one.figure("peak_force"),
            impulse=one.figure("impulse"),
            duration=one.figure("contact_duration"),
            pad=asked.plate(pad),
            force=cut_pulse(force, start=start, rate=rate, onset=one.onset, end=one.end),
            rate=rate,
        )
        found = transfer(blow, asked.part, asked.striker(technique), generator=generator, flags=one.flags)
    except TameshiError as error:
        return Taken(strike=one.index, error=error)
    return Taken(strike=one.index, found=found)
