"""Tables for other people: rows under a header with units, as CSV that no spreadsheet obeys.

A cell of text that a spreadsheet would take for a formula gets an apostrophe in front. Numbers are
written in full, whatever is not known is an empty cell.
"""

import csv
import io
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

Cell = str | float | int | bool | None

_STARTS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")


@dataclass(frozen=True, slots=True)
class DataColumn:
    """A column of a table.

    Parameters
    ----------
    name : str
    unit : str
        Unit of its numbers, empty where it has none.
    meaning : str
        For the data dictionary.
    """

    name: str
    unit: str
    meaning: str

    @property
    def header(self) -> str:
        """Name and unit as they stand over the column: ``peak_force [N]``."""
        return f"{self.name} [{self.unit}]" if self.unit else self.name


@dataclass(frozen=True, slots=True)
class DataTable:
    """A table to hand on.

    Parameters
    ----------
    name : str
        Lower-case word, the name of its file: ``strikes``.
    columns : sequence of DataColumn
    rows : iterable of sequences of cells
        Each as long as the columns.
    """

    name: str
    columns: Sequence[DataColumn]
    rows: Iterable[Sequence[Cell]]


def as_csv(table: DataTable) -> bytes:
    """Return a table as CSV in UTF-8.

    Notes
    -----
    Source: IETF, 2005, RFC 4180, for quotes and line ends. The list of characters that start a
    formula is common practice, no source.
    """
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow([guarded(column.header) for column in table.columns])
    for row in table.rows:
        writer.writerow([_written(cell) for cell in row])
    return text.getvalue().encode("utf-8", errors="replace")


def guarded(text: str) -> str:
    """Return text that no spreadsheet takes for a formula."""
    return f"'{text}" if text.lstrip(" ").startswith(_STARTS_A_FORMULA) else text


def _written(cell: Cell) -> str:
    match cell:
        case None:
            return ""
        case bool():
            return "true" if cell else "false"
        case str():
            return guarded(cell)
    return repr(float(cell)) if isinstance(cell, float) else str(cell)
