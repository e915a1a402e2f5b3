"""Measured quantities as columns and cells of a table: value, uncertainty, interval, why there is none."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from tameshi.study import Cell, DataColumn

_UNITS = {
    "peak_force": "N",
    "impulse": "N s",
    "impulse_to_peak": "N s",
    "loading_rate": "N/s",
    "mean_force": "N",
    "force": "N",
    "area": "m2",
    "contact_area": "m2",
    "inked_area": "m2",
    "mean_pressure": "Pa",
    "major_axis": "m",
    "minor_axis": "m",
    "direction": "rad",
    "static_force": "N",
    "breaking_force": "N",
    "deflection": "m",
    "breaking_energy": "J",
    "peak": "N",
    "needed": "N",
    "reached": "N",
    "striker_speed": "m/s",
    "striker_energy": "J",
    "speed_at_contact": "m/s",
    "peak_speed": "m/s",
    "peak_acceleration": "m/s2",
    "reach": "m",
    "impact_right": "m",
    "impact_up": "m",
    "rebound_speed": "m/s",
    "effective_mass": "kg",
    "kinetic_energy": "J",
    "energy_given": "J",
    "restitution": "1",
}
_WITH_BOUND = ("peak_force", "impulse")


def columns_of(named: Mapping[str, str]) -> list[DataColumn]:
    """Return the columns of measured quantities: value, uncertainty, interval, and why there is none."""
    columns: list[DataColumn] = []
    for key, name in named.items():
        unit = _UNITS.get(key, "s")
        columns += [
            DataColumn(key, unit, f"{name}."),
            DataColumn(f"{key}_u", unit, f"{name}: standard uncertainty."),
            DataColumn(f"{key}_low", unit, f"{name}: lower end of the 95 % interval."),
            DataColumn(f"{key}_high", unit, f"{name}: upper end of the 95 % interval."),
            DataColumn(
                f"{key}_dof", "", f"{name}: effective degrees of freedom; empty if nothing limits them."
            ),
        ]
        if key in _WITH_BOUND:
            columns.append(DataColumn(f"{key}_at_least", unit, f"{name}: lower bound where it is missing."))
        columns.append(DataColumn(f"{key}_why", "", f"{name}: why it is missing."))
    return columns


def cells_of(named: Mapping[str, str], records: Mapping[str, Any]) -> list[Cell]:
    """Return the cells of measured quantities, in the order of their columns."""
    cells: list[Cell] = []
    for key in named:
        record = records[key]
        cells += [_number(record.get(part)) for part in ("value", "u", "low", "high", "dof")]
        if key in _WITH_BOUND:
            cells.append(_number(record.get("at_least")))
        cells.append(record.get("why"))
    return cells


def _number(stored: float | None) -> float | None:
    """Return a stored number; a whole one comes back from the catalogue without its point."""
    return None if stored is None else float(stored)


def codes_of(flags: Iterable[Mapping[str, Any]]) -> str:
    """Return the codes of flags, each once, parted by spaces."""
    return " ".join(dict.fromkeys(str(flag["code"]) for flag in flags))
