"""Take measured strikes over to free parts of the body; a study's are stored by their recipe.

One strike that cannot be taken over never stops the rest: what is wrong with it stands in its place.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import Flag, StudyError, TameshiError
from tameshi.quantity import Measured, from_record
from tameshi.study.describe import Recording
from tameshi.study.folder import Study
from tameshi.study.measure import CURVES, Measurement, strikes_recipe, unpacked
from tameshi.study.questions import TransferQuestion
from tameshi.study.results import Recipe, find_result, store_result
from tameshi.target.transfer import (
    DRAWS,
    SCHEMA,
    Transfer,
    blow_of,
    body_part,
    cut_pulse,
    transfer,
    transfer_from_record,
    transfer_to_record,
)

_SEED_DIGITS = 16


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class OnPlate:
    """A measured strike, wherever it comes from.

    Parameters
    ----------
    recording : str
        SHA-256 of its recording.
    index : int
    onset, end : float
        [s]
    figure : callable
        Gives a measured figure by its name.
    curve : (array, float, float)
        Force [N], start [s] and rate [Hz] of its recorded force.
    pad : str or None
        As the rig file has it.
    technique : str or None
    flags : tuple of Flag
    """

    recording: str
    index: int
    onset: float
    end: float
    figure: Callable[[str], Measured]
    curve: tuple[NDArray[np.float64], float, float]
    pad: str | None
    technique: str | None
    flags: tuple[Flag, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Taken:
    """A strike and its transfer, or why there is none."""

    strike: int
    found: Transfer | None = None
    error: TameshiError | None = None


def take_over(struck: OnPlate, question: TransferQuestion) -> Taken:
    """Return a strike taken over to a part of the body.

    Parameters
    ----------
    struck : OnPlate
        Its recording seeds the draws: the same strike gives the same bands.
    question : TransferQuestion
    """
    generator = np.random.default_rng([int(struck.recording[:_SEED_DIGITS], 16), struck.index])
    force, start, rate = struck.curve
    try:
        blow = blow_of(
            index=struck.index,
            peak_force=struck.figure("peak_force"),
            impulse=struck.figure("impulse"),
            duration=struck.figure("contact_duration"),
            pad=question.plate(struck.pad),
            force=cut_pulse(force, start=start, rate=rate, onset=struck.onset, end=struck.end),
            rate=rate,
        )
        striker = question.striker(struck.technique)
        found = transfer(blow, body_part(question.part), striker, generator=generator, flags=struck.flags)
    except TameshiError as error:
        return Taken(strike=struck.index, error=error)
    return Taken(strike=struck.index, found=found)


def transfer_recording(
    study: Study,
    recording: Recording,
    outcome: Measurement,
    question: TransferQuestion,
    *,
    at: datetime,
    only: Sequence[int] | None = None,
) -> tuple[Taken, ...]:
    """Return the strikes of a recording taken over to a part of the body, now or before.

    Parameters
    ----------
    study : Study
    recording : Recording
    outcome : Measurement
        Of the recording; without an error.
    question : TransferQuestion
    at : datetime
        Now, with its time zone.
    only : sequence of int or None
        Indices of the strikes that are wanted; all where None.

    Raises
    ------
    StudyError
        Where the study itself is at fault.
    """
    curves = unpacked(outcome.files[CURVES])
    return tuple(
        _kept(study, recording, _struck(recording, outcome.body, strike, curve), question, at)
        for strike, curve in zip(outcome.body["strikes"], curves, strict=True)
        if only is None or int(strike["index"]) in only
    )


def _kept(
    study: Study, recording: Recording, struck: OnPlate, question: TransferQuestion, at: datetime
) -> Taken:
    """Return a transfer from the catalogue, or make it and, where that is possible, store it."""
    strikes = strikes_recipe(recording)
    recipe = replace(
        strikes,
        kind="transfer",
        schema=SCHEMA,
        settings={
            "strikes": strikes.key,
            "strike": struck.index,
            "draws": DRAWS,
            # of those it asks about, only what is said of this strike decides
            "question": {**question.as_dict(), "technique": struck.technique or ""},
        },
    )
    known = _read_back(study, recipe)
    if known is not None:
        return Taken(strike=struck.index, found=known)
    taken = take_over(struck, question)
    if taken.found is not None and not study.read_only:
        store_result(study, recipe, transfer_to_record(taken.found), at=at)
    return taken


def _read_back(study: Study, recipe: Recipe) -> Transfer | None:
    known = find_result(study, recipe)
    if known is None:
        return None
    try:
        return transfer_from_record(known.body)
    except (TameshiError, LookupError, TypeError, ValueError) as error:
        raise StudyError(
            "study-damaged",
            f"A stored transfer cannot be read: {error}.",
            hint="Check the study with: tameshi study check",
        ) from error


def _struck(
    recording: Recording, body: Mapping[str, Any], strike: Mapping[str, Any], curve: Mapping[str, Any]
) -> OnPlate:
    return OnPlate(
        recording=recording.original.sha256,
        index=int(strike["index"]),
        onset=float(strike["onset"]),
        end=float(strike["end"]),
        figure=lambda name: from_record(strike[name]),
        curve=(curve["force"], curve["start"], curve["rate"]),
        pad=body["recording"]["pad"],
        technique=recording.description.technique,
        flags=tuple(Flag(one["code"], one["message"], one["strike"]) for one in strike["flags"]),
    )
