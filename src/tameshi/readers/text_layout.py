"""Find out how a delimited text file is laid out, from its first lines.

Separator, decimal sign, preamble, header, row of units and clock times are found by trying what loggers
write and keeping what makes most of the lines numbers. Everything found is kept in a :class:`Layout`,
so that it can be told.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import pairwise

from tameshi.readers.clock import is_clock, is_date
from tameshi.readers.headings import is_bare_unit, name_and_unit, seconds_of

NUMBER, CLOCK, DATE = "number", "clock", "date"

_SEPARATORS = ("\t", ";", ",", "|", " ")
_LINES_LOOKED_AT = 400
_LINES_OF_KINDS = 50
_CLEAR_SHARE = 0.8
_LINES_ABOVE = 4
_ROWS_OF_A_START = 3
_LINES_OF_A_HEADER = 3
_OVERFLOW = (
    r"[+-]?(?:ovl|ovfl?|ovr|ovrflw|overflow|overload|overrange|over|o\.?l\.?|(?:\d\.)?#inf\d*|inf(?:inity)?)"
)
_MISSING = re.compile(
    rf"(?:|[-*?]+|[+-]?nan(?:\(ind\))?|n/?a|#n/a|#div/0!|null|none|err(?:or)?|invalid|ufl|underflow"
    rf"|[+-]?\d\.#(?:qnan|snan|ind)\d*|{_OVERFLOW})$",
    re.IGNORECASE,
)
OVERFLOW_BYTES = re.compile(rb"(?<![a-z])(?:" + _OVERFLOW.encode() + rb")(?![a-z])", re.IGNORECASE)
_POINT = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?$", re.ASCII)
_COMMA = re.compile(r"[+-]?(\d+,?\d*|,\d+)([eE][+-]?\d+)?$", re.ASCII)
_LEADING_ZERO = re.compile(r"0\d")
_COMMENT_SIGN = re.compile(r"\s*[#%]+\s*(?=[^\W\d])")
_RULE = re.compile(r"[-=_*+\s;,|\"]*$")
_HEADING_WORD = re.compile(r"[^\s(\[]+\s?[(\[][^)\]]*[)\]]|\S+")
_PADDING = re.compile(r"[^\S\n\t]+(?:[;,|\t]|$)")


@dataclass(frozen=True, slots=True)
class Layout:
    """How a text file is laid out.

    Parameters
    ----------
    separator : str
        A space stands for any run of spaces.
    decimal_comma : bool
    first_row : int
        Line of the first row of numbers, from 0.
    columns : int
    names, units : tuple of str
        One for each column; empty where the file gives none.
    preamble : tuple of str
        Lines before the header.
    kinds : tuple of str
        ``number``, ``clock`` or ``date``, one for each column.
    is_quoted : bool
        Quotes stand around fields.
    is_padded : bool
        Blanks stand behind fields.
    spare : int
        Empty columns at the end: a separator ends every line.
    """

    separator: str
    decimal_comma: bool
    first_row: int
    columns: int
    names: tuple[str, ...]
    units: tuple[str, ...]
    preamble: tuple[str, ...]
    kinds: tuple[str, ...]
    is_quoted: bool
    is_padded: bool
    spare: int


@dataclass(frozen=True, slots=True)
class _Run:
    """A stretch of lines that are numbers if they are split in one way."""

    separator: str
    decimal_comma: bool
    starts: tuple[int, ...]
    rows: tuple[tuple[str, ...], ...]
    spare: int

    @property
    def columns(self) -> int:
        return len(self.rows[0])


def find_layout(lines: list[str]) -> Layout | None:
    """Return the layout of a text, None where it holds no rows of numbers.

    Parameters
    ----------
    lines : list of str
        The first few hundred lines, without their ends.
    """
    lines = [line.rstrip("\r").replace("−", "-") for line in lines[:_LINES_LOOKED_AT]]
    run = _best_run(lines)
    if run is None:
        return None
    headers = [(start, *_header(lines, start, run.separator, run.columns)) for start in run.starts]
    named = (header for header in headers if any(header[1]))  # numbers may stand in the preamble, too
    start, names, units, first_of_header = next(named, headers[0])
    sample = lines[start:]
    return Layout(
        separator=run.separator,
        decimal_comma=run.decimal_comma,
        first_row=start,
        columns=run.columns,
        names=names,
        units=units,
        preamble=tuple(lines[:first_of_header]),
        kinds=tuple(_kind(column) for column in zip(*run.rows[:_LINES_OF_KINDS], strict=True)),
        is_quoted=any('"' in line for line in sample),
        is_padded=any(_PADDING.search(line) for line in sample),
        spare=run.spare,
    )


def split_line(line: str, separator: str) -> list[str]:
    """Return the fields of a line, quotes and blanks taken off."""
    if separator == " ":
        fields = line.split()
    elif '"' in line:
        try:
            fields = next(csv.reader([line], delimiter=separator, skipinitialspace=True), [])
        except csv.Error:  # a field longer than any number, or a stray line end
            fields = line.split(separator)
    else:
        fields = line.split(separator)
    return [field.strip().strip('"').strip() for field in fields]


def _best_run(lines: list[str]) -> _Run | None:
    """Return the longest run of numeric lines over all ways to split them."""
    best: tuple[tuple[int, int, bool, int], _Run] | None = None
    for separator, decimal_comma in _ways("\n".join(lines)):
        run = _longest_run(lines, separator, decimal_comma=decimal_comma)
        if run is None:
            continue
        rank = _SEPARATORS.index(separator)
        score = (len(run.rows), min(run.columns, 2), not decimal_comma, -rank)
        if best is None or score > best[0]:
            best = (score, run)
        if run.columns > 1 and len(run.rows) > _CLEAR_SHARE * len(lines):
            break  # no other way to split them could be better
    if best is None:
        return None
    run = best[1]
    if run.separator == "," and run.columns == 2 and _is_one_decimal_comma_column(run):  # noqa: PLR2004
        return _longest_run(lines, ";", decimal_comma=True)
    return run


def _ways(text: str) -> Iterator[tuple[str, bool]]:
    """Yield the ways in which lines could be split: separator, and whether the comma is a decimal sign."""
    there = [separator for separator in _SEPARATORS if separator in text]
    for separator in there if ";" in there else [*there, ";"]:  # the semicolon stands for one column as well
        yield separator, False
        if "," in text and (separator != "," or '"' in text):
            yield separator, True


def _longest_run(lines: list[str], separator: str, *, decimal_comma: bool) -> _Run | None:
    """Return the longest run of numeric lines of one width, from the first run of that width on."""
    runs: list[tuple[int, list[tuple[str, ...]]]] = []
    is_numeric = _numeric_test(decimal_comma=decimal_comma)
    width = 0
    for index, line in enumerate(lines):
        fields = tuple(split_line(line, separator))
        if not is_numeric(fields):
            width = 0
            continue
        if len(fields) != width:
            runs.append((index, []))
            width = len(fields)
        runs[-1][1].append(fields)
    if not runs:
        return None
    _, longest = max(runs, key=lambda run: len(run[1]))
    enough = min(_ROWS_OF_A_START, len(longest))  # a remark between the rows does not end the header's reach
    alike = [at for at, rows in runs if len(rows) >= enough and len(rows[0]) == len(longest[0])]
    filled = max(_filled_width(row) for row in longest)  # a separator may end every line
    rows = tuple(row[:filled] for row in longest)
    return _Run(separator, decimal_comma, tuple(alike), rows, len(longest[0]) - filled)


def _filled_width(row: tuple[str, ...]) -> int:
    width = len(row)
    while width > 1 and not row[width - 1]:
        width -= 1
    return width


def _numeric_test(*, decimal_comma: bool) -> Callable[[tuple[str, ...]], bool]:
    """Return the test whether fields are numbers or clock times, the odd missing one allowed."""
    pattern = _COMMA if decimal_comma else _POINT

    def is_numeric(fields: tuple[str, ...]) -> bool:
        numbers = 0
        for field in fields:
            if pattern.match(field) or (field[:1].isdigit() and (is_clock(field) or is_date(field))):
                numbers += 1
            elif not _MISSING.match(field):
                return False
        return numbers > 0

    return is_numeric


def _kind(column: tuple[str, ...]) -> str:
    if any(is_clock(field) for field in column):
        return CLOCK
    return DATE if any(is_date(field) for field in column) else NUMBER


def _is_one_decimal_comma_column(run: _Run) -> bool:
    """Return whether "0,0125" lines are one column with decimal comma rather than two of integers."""
    seconds = [row[1] for row in run.rows]
    return any(_LEADING_ZERO.match(field) for field in seconds)


def _header(
    lines: list[str], start: int, separator: str, columns: int
) -> tuple[tuple[str, ...], tuple[str, ...], int]:
    """Return column names and units, and the line on which the header begins."""
    unnamed = ("",) * columns
    above = _heading_lines(lines, start, separator, columns)
    if not above:
        return unnamed, unnamed, start
    for (_, units), (place, names) in pairwise(above):
        if _are_units(units) and not any(_POINT.match(field) for field in names):
            return names, tuple(field.strip("[]() ") for field in units), place
    place, nearest = above[0]
    if _are_units(nearest):  # units alone are a header where one of them is a time; else they are names
        timed = any(seconds_of(field) is not None for field in nearest)
        return nearest, tuple(field.strip("[]() ") for field in nearest) if timed else unnamed, place
    pairs = [name_and_unit(field) for field in nearest]
    return tuple(name for name, _ in pairs), tuple(unit for _, unit in pairs), place


def _are_units(fields: tuple[str, ...]) -> bool:
    return any(fields) and all(is_bare_unit(field) for field in fields)


def _heading_lines(
    lines: list[str], start: int, separator: str, columns: int
) -> list[tuple[int, tuple[str, ...]]]:
    """Return the lines above the numbers that have as many fields, the nearest first."""
    found: list[tuple[int, tuple[str, ...]]] = []
    place = start
    while len(found) < _LINES_OF_A_HEADER:
        place = _line_above(lines, place)
        fields = _headings(lines, place, separator, columns)
        if fields is None:
            break
        found.append((place, fields))
    return found


def _line_above(lines: list[str], start: int) -> int:
    """Return the next line above that is neither blank nor a rule; -1 where there is none."""
    for place in range(start - 1, max(-1, start - 1 - _LINES_ABOVE), -1):
        if not _RULE.match(lines[place]):
            return place
    return -1


def _headings(lines: list[str], place: int, separator: str, columns: int) -> tuple[str, ...] | None:
    """Return the fields of a line where they are as many as there are columns."""
    if place < 0:
        return None
    line = _COMMENT_SIGN.sub("", lines[place], count=1)
    fields = _HEADING_WORD.findall(line) if separator == " " else split_line(line, separator)
    while len(fields) > columns and not fields[-1]:
        fields.pop()
    return tuple(fields) if len(fields) == columns else None
