"""The rows of a delimited text as columns of numbers, by a parser of columns that works on bytes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import Flag, UnreadableError
from tameshi.readers.clock import seconds_of_clock
from tameshi.readers.recording import FloatArray, is_complete
from tameshi.readers.text_bytes import with_plain_minus
from tameshi.readers.text_layout import CLOCK, DATE, NUMBER, OVERFLOW_BYTES, Layout, split_line

if TYPE_CHECKING:
    import polars as pl

_MOST_COLUMNS = 4096
_LINES_COMPARED = 20
_LONGEST_LINE = 100_000


@dataclass(frozen=True, slots=True, eq=False)
class Rows:
    """The rows of a text as columns.

    Parameters
    ----------
    columns : list of (n,) array or None
        NaN where there is no number; clock times as seconds since the first midnight [s]; None for a date
        that went into the clock time beside it.
    lines : (n,) array of int or None
        Line of each row behind the first, from 0; None where no line was passed over.
    flags : list of Flag
    """

    columns: list[FloatArray | None]
    lines: NDArray[np.intp] | None
    flags: list[Flag]


def rows_of(data: bytes, layout: Layout, filename: str) -> Rows:
    """Return the columns of a text, and what was noticed about its rows.

    Parameters
    ----------
    data : bytes
        Plain lines, see :func:`tameshi.readers.text_bytes.plain_lines`.
    layout : Layout
    filename : str
        For messages.

    Returns
    -------
    Rows

    Raises
    ------
    UnreadableError
        ``too-many-columns``, ``unreadable-text``.
    """
    if layout.columns > _MOST_COLUMNS:
        raise UnreadableError(
            "too-many-columns",
            f"{filename}, line {layout.first_row + 1}: {layout.columns} columns; at most {_MOST_COLUMNS} are "
            "read.",
            hint="Export one row for each sample, one column for each channel.",
        )
    frame = _parsed(data, layout, filename)
    if any(frame[name].null_count() for name in frame.columns[: layout.columns]):
        plain = with_plain_minus(data)  # a pass over the file that few files need
        frame = frame if plain is data else _parsed(plain, layout, filename)
    flags = []
    if _is_cut(data, layout):
        frame = frame.head(-1)
        flags.append(Flag("cut-off", "The last line of the file is cut off; it was left out."))
    columns = _columns(frame, layout)
    if all(column is None or is_complete(column) for column in columns):
        return Rows(columns, None, flags)
    flags += _overflow(data)
    return _without_empty_rows([_finite(column) for column in columns], flags)


def _parsed(data: bytes, layout: Layout, filename: str) -> pl.DataFrame:
    import polars as pl  # noqa: PLC0415  0.2 s that other commands need not pay

    data, separator = _tidied(data, layout)
    types = {NUMBER: pl.Float64, CLOCK: pl.String, DATE: pl.String}
    schema = {f"c{place}": types[kind] for place, kind in enumerate(layout.kinds)}
    schema |= {f"spare{place}": pl.String for place in range(layout.spare)}
    try:
        return pl.read_csv(
            data,
            has_header=False,
            skip_lines=layout.first_row,
            separator=separator,
            decimal_comma=layout.decimal_comma,
            schema=schema,
            ignore_errors=True,
            truncate_ragged_lines=True,
            quote_char=None,
            encoding="utf8" if all(kind == NUMBER for kind in layout.kinds) else "utf8-lossy",
        )
    except pl.exceptions.PolarsError as error:
        raise UnreadableError(
            "unreadable-text",
            f"{filename}, from line {layout.first_row + 1}: not readable as columns of numbers: {error}.",
            hint="Export it again.",
        ) from error


def _tidied(data: bytes, layout: Layout) -> tuple[bytes, str]:
    """Return the text without quotes and padding, and what separates its columns then."""
    separator = layout.separator
    if layout.is_quoted:
        if layout.decimal_comma and separator == ",":
            data, separator = data.replace(b'","', b";"), ";"
        data = data.replace(b'"', b"")
    if separator == " ":
        data = _single(data.replace(b"\t", b" ")).replace(b"\n ", b"\n")
        first = data[:1] == b" " and layout.first_row == 0
        data = data[1:] if first else data
    if layout.is_padded:
        data = _single(data) if separator != " " else data
        for mark in {separator.encode(), b"\n", b"\r"} - {b" "}:
            data = data.replace(b" " + mark, mark)
        data = data.rstrip(b" ")
    return data, separator


def _single(data: bytes) -> bytes:
    """Return the text with runs of blanks made single ones."""
    while data.find(b"  ") >= 0:
        data = data.replace(b"  ", b" ")
    return data


def _columns(frame: pl.DataFrame, layout: Layout) -> list[FloatArray | None]:
    """Return numbers as they are, clock times with the date beside them as seconds.

    Each column is taken out of the frame before its pieces are joined, so that they are freed at once.
    """
    columns: list[FloatArray | None] = []
    for place, kind in enumerate(layout.kinds):
        if kind == NUMBER:
            columns.append(_joined(frame.drop_in_place(f"c{place}")))
        elif kind == CLOCK:
            series = frame[f"c{place}"].rechunk()
            beside = layout.kinds[place - 1] == DATE if place else False
            columns.append(seconds_of_clock(frame[f"c{place - 1}"] + " " + series if beside else series))
        else:
            columns.append(None)
    return columns


def _joined(column: pl.Series) -> FloatArray:
    """Return a column of numbers in one piece: by the library that asks for large pages of memory."""
    pieces = [piece.to_numpy() for piece in column.get_chunks()]
    return pieces[0] if len(pieces) == 1 else np.concatenate(pieces or [np.zeros(0)])


def _finite(column: FloatArray | None) -> FloatArray | None:
    """Return a column with NaN for what is infinite."""
    if column is None or not np.isinf(column).any():
        return column
    return np.where(np.isfinite(column), column, np.nan)


def _without_empty_rows(columns: list[FloatArray | None], flags: list[Flag]) -> Rows:
    """Return the rows without those that hold no number at all: repeated headers, a closing summary."""
    numbers = [column for column in columns if column is not None]
    filled = ~np.all([np.isnan(column) for column in numbers], axis=0)
    if filled.all():
        return Rows(columns, None, flags)
    kept = np.flatnonzero(filled)
    if len(numbers) == 1:  # without stamps a missing sample keeps its place, save at the end
        kept = np.arange(int(kept[-1]) + 1 if len(kept) else 0)
    return Rows([None if column is None else column[kept] for column in columns], kept, flags)


def _overflow(data: bytes) -> list[Flag]:
    """Return a flag where words stand in the place of readings that were out of range."""
    count = sum(1 for _ in OVERFLOW_BYTES.finditer(data))
    if not count:
        return []
    readings = "One reading is" if count == 1 else f"{count} readings are"
    return [Flag("overflow", f"{readings} marked as beyond the range of the converter and left open.")]


def _is_cut(data: bytes, layout: Layout) -> bool:
    """Return whether the last line ends before its time: fields are missing, or digits of the last one.

    A last number with fewer decimals than all before it, in a file without a last line end, was cut.
    """
    if data.endswith((b"\n", b"\r")):
        return False
    *before, last = data[-_LONGEST_LINE:].decode("utf-8", errors="replace").split("\n")[-_LINES_COMPARED:]
    if not before:
        return False
    fields = split_line(last, layout.separator)
    if len(fields) < layout.columns:
        return True
    sign = "," if layout.decimal_comma else "."
    rows = [split_line(line.rstrip("\r"), layout.separator) for line in before if line.strip()]
    decimals = {len(row[layout.columns - 1].partition(sign)[2]) for row in rows if len(row) >= layout.columns}
    return len(decimals) == 1 and len(fields[layout.columns - 1].partition(sign)[2]) < min(decimals)
