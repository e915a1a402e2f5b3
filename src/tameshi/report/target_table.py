"""Targets to break as a table: one row a target and technique, with what each needs and the chance."""

from __future__ import annotations

from collections.abc import Sequence

from tameshi.quantity import as_dict
from tameshi.report.columns import cells_of, codes_of, columns_of
from tameshi.study import Cell, DataColumn, DataTable, OnTarget, ToBreak
from tameshi.target.breaking import Prediction, bound_of

_NEEDS = {
    "static_force": "Force that breaks it slowly",
    "breaking_force": "Force that breaks it in a strike",
    "deflection": "Deflection at the break",
    "breaking_energy": "Energy stored at the break",
}
_OF_NEEDS = {"breaking_force": "force", "breaking_energy": "energy"}
_STRIKE = {
    "peak": "Peak force of the next such strike on a rigid plate",
    "needed": "Peak there that just breaks the target",
    "reached": "Force it builds up in the target",
    "striker_speed": "Speed of the striker",
    "striker_energy": "Energy of the striker",
}
_OF_STRIKE = {"striker_speed": "speed", "striker_energy": "energy"}


def target_table(broken: Sequence[ToBreak]) -> DataTable:
    """Return one row for each target and technique; a target without strikes has one row."""
    columns = (
        DataColumn("target", "", "File name of the target."),
        DataColumn("target_sha256", "", "SHA-256 of the target file."),
        DataColumn("technique", "", "What strikes it; empty where nothing does."),
        *columns_of(_NEEDS),
        *columns_of(_STRIKE),
        DataColumn("chance", "", "Chance that it breaks, all of a stack: from 0.001 to 0.999."),
        DataColumn("chance_bound", "", "Whether the chance is a bound only: at least, at most."),
        DataColumn("chance_by_count", "", "Of a stack with spacers: that at least one, two, ... break."),
        DataColumn("hangs_on", "", "What the chance hangs on: shares of the variance, greatest first."),
        DataColumn("sources", "", "Keys of the sources it rests on, parted by spaces."),
        DataColumn("flags", "", "Codes of its flags, parted by spaces."),
        DataColumn("why", "", "Why there is no result; empty where there is one."),
    )
    return DataTable("targets", columns, [row for one in broken for row in _rows(one, len(columns))])


def _rows(one: ToBreak, width: int) -> list[list[Cell]]:
    about: list[Cell] = [one.original.name, one.original.sha256]
    if one.error is not None or one.alone is None:
        return [[*about, *[None] * (width - 3), one.error.message if one.error else ""]]
    if not one.techniques:
        return [[*about, None, *_cells(one.alone, width - 4), ""]]
    return [_row(about, one.alone, each, width) for each in one.techniques]


def _row(about: list[Cell], alone: Prediction, each: OnTarget, width: int) -> list[Cell]:
    if each.prediction is None:
        return [*about, each.technique, *_cells(alone, width - 4), each.error.message if each.error else ""]
    return [*about, each.technique, *_cells(each.prediction, width - 4), ""]


def _cells(prediction: Prediction, width: int) -> list[Cell]:
    needs, outcome = prediction.needs, prediction.outcome
    cells = cells_of(_NEEDS, {key: as_dict(getattr(needs, _OF_NEEDS.get(key, key))) for key in _NEEDS})
    if outcome is not None:
        cells += cells_of(
            _STRIKE, {key: as_dict(getattr(outcome, _OF_STRIKE.get(key, key))) for key in _STRIKE}
        )
        cells += [outcome.chance, bound_of(outcome.chance)]
        cells.append("; ".join(f"{chance:.4g}" for chance in outcome.by_count))
        cells.append("; ".join(f"{name} {share:.3f}" for name, share in outcome.shares.items()))
    tail = [" ".join(prediction.sources), codes_of([flag.as_dict() for flag in prediction.flags])]
    return [*cells, *[None] * (width - len(cells) - len(tail)), *tail]
