"""The strikes that the command tolerance sets beside published values: typed, or of a study."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from tameshi.cli.shown import note
from tameshi.cli.transfer import typed_range
from tameshi.errors import WrongUseError
from tameshi.quantity import Quantity, Source, parse_quantity, parse_unit, split_quantity, unit_of_kind
from tameshi.study import TransferQuestion, modelled_of
from tameshi.target.transfer import blow_of, body_part, transfer
from tameshi.tolerance import Case, Modelled, surfaces_of

if TYPE_CHECKING:
    from collections.abc import Sequence

_SEED = 0
"""Of the draws for a typed strike: the same figures give the same bands."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedStrike:
    """A strike by its figures, as they were typed."""

    force: str | None
    force_u: str | None
    area: str | None
    area_u: str | None
    duration: str | None
    impulse: str | None


def carried_over(
    onto: str | None,
    *,
    mass: str | None,
    speed: str | None,
    like: str | None,
    technique: str | None,
    pad: str | None,
) -> TransferQuestion | None:
    """Return what is to be carried over to a part of the body, None where nothing is.

    Raises
    ------
    WrongUseError
        ``unknown-part``, ``no-part``, and those of units.
    """
    if onto is None:
        if mass or speed or like:
            raise WrongUseError(
                "no-part", "Mass and speed serve to carry a strike over to a body part.", hint="Give --onto."
            )
        return None
    return TransferQuestion(
        part=onto,
        technique=technique,
        mass=typed_range(mass, "mass"),
        speed=typed_range(speed, "speed"),
        like=like,
        pad=pad,
    )


def typed_case(
    typed: TypedStrike, asked: TransferQuestion | None, *, technique: str | None, pad: str | None
) -> Case:
    """Return the strike that was typed.

    Raises
    ------
    WrongUseError
        ``no-force``, ``no-impulse``, ``no-duration``, ``not-positive``, and those of units.
    UnmeasurableError
        As :func:`tameshi.target.transfer.transfer`.
    """
    if typed.force is None:
        raise WrongUseError(
            "no-force", "A strike without its peak force cannot be set beside anything.", hint="Give --force."
        )
    force = _typed(typed.force, typed.force_u, "force", "force")
    duration = None if typed.duration is None else _typed(typed.duration, None, "time", "duration")
    return Case(
        label=technique or "the strike",
        force=force,
        area=None if typed.area is None else _typed(typed.area, typed.area_u, "area", "area"),
        duration=duration,
        pad=pad,
        surfaces=surfaces_of(technique),
        modelled=() if asked is None else _modelled(force, duration, typed.impulse, asked),
    )


def cases_of_study(folder: Path, asked: TransferQuestion | None) -> tuple[str, tuple[Case, ...]]:
    """Return a study's name and what is typical and greatest of each technique.

    Parameters
    ----------
    folder : Path
    asked : TransferQuestion or None
        What is to be carried over besides what the study keeps.
    """
    from tameshi.cli.study_work import look_at
    from tameshi.report.carried import carry
    from tameshi.report.techniques import groups_of
    from tameshi.report.tolerance_cases import cases_of
    from tameshi.study import open_study, questions

    seen = look_at(folder)
    groups = groups_of(seen.strikes, seen.areas, seen.joined)
    with open_study(folder) as study:
        kept = [one for one in questions(study) if asked is None or one.part != asked.part]
        wanted = [*kept, *([] if asked is None else [asked])]
        carried = carry(study, seen.strikes, groups, wanted, at=datetime.now(UTC))
    if asked is not None and not any(one.question is asked for one in carried):
        known = ", ".join(group.technique for group in groups if group.forces)
        raise WrongUseError(
            "unknown-technique",
            f"The study has no strike of {asked.technique!r}.",
            hint=f"Techniques: {known or 'none'}.",
        )
    for one in carried:
        for taken in (one.typical, one.greatest):
            if taken is not None and taken.error is not None:
                note(f"{one.technique}, not carried over to the {one.question.part}: {taken.error.message}")
    found = cases_of(groups, carried)
    return seen.name, tuple(case for technique in found for case in technique.cases)


def assumptions_of(cases: Sequence[Case]) -> dict[str, tuple[str, ...]]:
    """Return what the models behind strikes take for granted, each sentence once, by model."""
    told: dict[str, dict[str, None]] = {}
    for case in cases:
        for one in case.modelled:
            told.setdefault(one.model, {}).update(dict.fromkeys(one.assumptions))
    return {model: tuple(sentences) for model, sentences in told.items()}


def _modelled(
    force: Quantity, duration: Quantity | None, impulse: str | None, asked: TransferQuestion
) -> tuple[Modelled, ...]:
    if impulse is None or duration is None:
        missing = "impulse" if impulse is None else "duration"
        raise WrongUseError(
            f"no-{missing}",
            f"Without its {missing} a strike cannot be carried over to a body part.",
            hint=f"Give --{missing}, or a study.",
        )
    blow = blow_of(
        index=1,
        peak_force=force,
        impulse=_typed(impulse, None, "impulse", "impulse"),
        duration=duration,
        pad=asked.plate(None),
    )
    generator = np.random.default_rng(_SEED)
    return modelled_of(transfer(blow, body_part(asked.part), asked.striker(None), generator=generator))


def _typed(text: str, uncertainty: str | None, kind: str, what: str) -> Quantity:
    value = parse_quantity(text, kind)
    if value <= 0.0:
        raise WrongUseError(
            "not-positive", f"A {what} of {text.strip()} cannot be.", hint="Give what was read."
        )
    unit = unit_of_kind(kind).symbol
    if uncertainty is None:
        return Quantity(value, unit)
    _, expression = split_quantity(uncertainty, kind)
    relative = bool(expression) and parse_unit(expression).dimension == parse_unit("%").dimension
    u = value * parse_quantity(uncertainty, "ratio") if relative else parse_quantity(uncertainty, kind)
    if u < 0.0:
        raise WrongUseError("not-positive", f"An uncertainty of {uncertainty.strip()} cannot be.", hint="")
    return Quantity(value, unit, {Source(f"typed:{what}", "stated uncertainty"): u})
