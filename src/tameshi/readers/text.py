"""Read delimited text: the form every logger can write."""

from __future__ import annotations

from tameshi.errors import UnreadableError
from tameshi.readers.headings import tidy_unit
from tameshi.readers.recording import Channel, FloatArray, ReadOptions, Recording
from tameshi.readers.stated import rate_of_lines
from tameshi.readers.table import Table, on_one_clock
from tameshi.readers.text_bytes import head_of, plain_lines
from tameshi.readers.text_layout import CLOCK, Layout, find_layout
from tameshi.readers.text_rows import rows_of

NAME = "delimited text"

_HEAD = 65_536
_PRINTABLE_SHARE = 0.95
_MARKS = (b"\xff\xfe", b"\xfe\xff", b"\xef\xbb\xbf")


def sniff(head: bytes, filename: str) -> bool:  # noqa: ARG001  the name says nothing that the bytes do not
    """Return whether the first bytes of a file look like text."""
    if head.startswith(_MARKS):
        return True
    text = head_of(head, _HEAD).rstrip("\0")
    if not text:
        return False
    if text.isascii() and text.translate(_NOT_PRINTED).isprintable():
        return True
    printable = sum(character.isprintable() or character in "\r\n\t" for character in text)
    return printable >= _PRINTABLE_SHARE * len(text)


_NOT_PRINTED = str.maketrans("", "", "\r\n\t")


def decode(data: bytes, filename: str, options: ReadOptions) -> Recording:
    """Return the recording in a text file.

    Parameters
    ----------
    data : bytes
        The whole file.
    filename : str
        For messages.
    options : ReadOptions

    Raises
    ------
    UnreadableError
        ``no-numbers`` where there are no rows of numbers; errors of the time stamps.
    """
    lines = plain_lines(data, _HEAD)
    layout = _layout(lines, filename)
    rows = rows_of(lines, layout, filename)
    table = Table(
        columns=_channels(layout, rows.columns),
        where=filename,
        row="line",
        first_row=layout.first_row + 1,
        row_numbers=rows.lines,
        stated_rate=rate_of_lines(layout.preamble, decimal_comma=layout.decimal_comma),
        flags=tuple(rows.flags),
    )
    sampled = on_one_clock(table, options)
    return Recording(NAME, sampled.channels, sampled.rate, sampled.flags)


def read_columns(data: bytes, filename: str) -> tuple[Channel, ...]:
    """Return the columns of a table of numbers as they stand, without looking for time.

    Parameters
    ----------
    data : bytes
        The whole file.
    filename : str
        For messages.

    Raises
    ------
    UnreadableError
        ``no-numbers`` where there are no rows of numbers.
    """
    lines = plain_lines(data, _HEAD)
    layout = _layout(lines, filename)
    rows = rows_of(lines, layout, filename)
    return tuple(
        Channel(column.name or f"column {place + 1}", tidy_unit(column.unit), column.samples)
        for place, column in enumerate(_channels(layout, rows.columns))
    )


def _layout(lines: bytes, filename: str) -> Layout:
    layout = find_layout(head_of(lines, 4 * _HEAD).split("\n"))
    if layout is None:
        raise UnreadableError(
            "no-numbers",
            f"{filename} is text, but holds no rows of numbers.",
            hint="Export samples as columns separated by commas, semicolons, tabs or spaces.",
        )
    return layout


def _channels(layout: Layout, columns: list[FloatArray | None]) -> tuple[Channel, ...]:
    """Return the columns with what the header says of them; a clock's are seconds by now."""
    return tuple(
        Channel(name, "s" if kind == CLOCK else unit, column)
        for name, unit, kind, column in zip(layout.names, layout.units, layout.kinds, columns, strict=True)
        if column is not None
    )
