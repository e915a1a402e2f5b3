"""Read known loads and readings from a small table."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import UnitError, UnreadableError
from tameshi.files import read_bytes
from tameshi.quantity import parse_unit, unit_of_kind
from tameshi.readers import read_columns

LARGEST = 10_000_000
_LOAD, _READING = "force", "voltage"


def read_points(path: Path) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return loads [N] and readings [V] from a delimited text file with units in its headings.

    Raises
    ------
    UnreadableError
        If there are not two columns of numbers.
    UnitError
        If one is not a force and the other not a voltage.
    """
    columns = read_columns(read_bytes(path, limit=LARGEST), path.name)
    kinds = {_LOAD: unit_of_kind(_LOAD).dimension, _READING: unit_of_kind(_READING).dimension}
    found: dict[str, NDArray[np.float64]] = {}
    for column in columns:
        unit = parse_unit(column.unit) if column.unit else None
        for kind, dimension in kinds.items():
            if unit is not None and unit.dimension == dimension and kind not in found:
                found[kind] = column.samples * unit.factor
    if len(columns) < len(kinds):
        raise UnreadableError(
            "too-few-columns",
            f"{path.name} has {len(columns)} column.",
            hint="Give loads and readings side by side.",
        )
    if len(found) < len(kinds):
        listed = ", ".join(column.label for column in columns)
        raise UnitError(
            "unit-missing",
            f"{path.name} has no column of loads and one of readings with units; it has {listed}.",
            hint='Head them like "load (N)" and "reading (V)".',
        )
    return found[_LOAD], found[_READING]
