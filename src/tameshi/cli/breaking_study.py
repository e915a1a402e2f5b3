"""tameshi breaking on a study: every target with every technique, or one target file with one of them."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from tameshi.cli.measuring import load_target
from tameshi.cli.outcome import error_object
from tameshi.cli.shown import both_units, note, print_table, say
from tameshi.errors import WrongUseError
from tameshi.files import read_bytes, sha256_of
from tameshi.quantity import System
from tameshi.report.targets import chance_told, dominated_by
from tameshi.study import (
    LARGEST,
    OnTarget,
    Struck,
    ToBreak,
    break_targets,
    measure_all,
    open_study,
    predict_of_study,
    strike_of_technique,
    targets,
)
from tameshi.target.breaking import Prediction, predict, prediction_as_dict

SCHEMA = "tameshi.breakings/1"


def predict_with(target: Path, folder: Path, technique: str | None, said: Struck) -> Prediction:
    """Return what strikes of a study do to a target file; kept where the study holds that very file."""
    wanted = load_target(target)
    now = datetime.now(UTC)
    with open_study(folder) as study:
        strikes, _ = measure_all(study, at=now)
        digest = sha256_of(read_bytes(target, limit=LARGEST))
        held = next((one for one in targets(study) if one.sha256 == digest), None)
        if held is not None:
            return predict_of_study(study, held, strikes, technique, at=now, said=said)
    note(f"Not kept: the study does not hold {target.name}. Add it with: tameshi study add")
    return predict(wanted, strike_of_technique(strikes, technique, mass=said.mass, speed=said.speed))


def break_study(folder: Path, technique: str | None, said: Struck) -> tuple[str, tuple[ToBreak, ...]]:
    """Return the name of a study, and its targets with what its techniques do to them.

    Raises
    ------
    WrongUseError
        ``no-target`` where the study holds none.
    """
    now = datetime.now(UTC)
    with open_study(folder) as study:
        if not targets(study):
            raise WrongUseError(
                "no-target", "The study holds no target file.", hint="Add one: tameshi study add"
            )
        strikes, _ = measure_all(study, at=now)
        return study.name, break_targets(study, strikes, at=now, technique=technique, said=said)


def show_broken(broken: tuple[ToBreak, ...], system: System) -> None:
    """Print the targets of a study with the chance of each technique."""
    rows = [row for one in broken for row in _rows(one, system)]
    headings = ("target", "technique", "breaks at a peak of (95 %)", "also", "chance", "the doubt comes from")
    print_table("targets: peak on a rigid plate that just breaks them", headings, rows)
    seen = {
        f"{one.original.name}: {flag.message} [{flag.code}]": None
        for one in broken
        for prediction in (one.alone, *(each.prediction for each in one.techniques))
        if prediction is not None
        for flag in prediction.flags
    }
    say(*(f"  ! {line}" for line in seen))


def broken_as_list(broken: tuple[ToBreak, ...]) -> list[dict[str, Any]]:
    """Return the targets of a study as --json prints them."""
    return [
        {
            "file": one.original.name,
            "sha256": one.original.sha256,
            **(
                {"error": error_object(one.error)}
                if one.error is not None
                else {"result": None if one.alone is None else prediction_as_dict(one.alone)}
            ),
            "techniques": [
                {
                    "technique": each.technique,
                    **(
                        {"error": error_object(each.error)}
                        if each.error is not None
                        else {"result": each.prediction and prediction_as_dict(each.prediction)}
                    ),
                }
                for each in one.techniques
            ],
        }
        for one in broken
    ]


def _rows(one: ToBreak, system: System) -> list[tuple[str, ...]]:
    name = one.original.name
    if one.error is not None or one.alone is None:
        return [(name, "-", one.error.message if one.error else "-", "", "-", "")]
    if not one.techniques:
        force = both_units(one.alone.needs.force, system)
        return [(name, "any: force in the target", *force, "no strike yet", "")]
    return [(name, *_row(each, system)) for each in one.techniques]


def _row(each: OnTarget, system: System) -> tuple[str, ...]:
    outcome = each.prediction.outcome if each.prediction else None
    if outcome is None:
        return each.technique, each.error.message if each.error else "-", "", "-", ""
    return (
        each.technique,
        *both_units(outcome.needed, system),
        chance_told(outcome),
        dominated_by(outcome),
    )
