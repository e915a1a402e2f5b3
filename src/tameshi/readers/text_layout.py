"""Find out how a delimited text file is laid out, from its first lines.

Separator, decimal sign, preamble, header, row of units and the time column are found by trying what
loggers write and keeping what makes most of the lines numbers. Everything found is kept in a
:class:`Layout`, so that it can be told.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

_SEPARATORS = ("\t", ";", ",", "|", " ")
_LINES_LOOKED_AT = 400
_MISSING = {
    "",
    "nan",
    "-nan",
    "na",
    "n/a",
    "#n/a",
    "null",
    "none",
    "inf",
    "-inf",
    "+inf",
    "ovf",
    "----",
    "---",
    "--",
    "-",
}
_POINT = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?$")
_COMMA = re.compile(r"[+-]?(\d+,?\d*|,\d+)([eE][+-]?\d+)?$")
_NAME_AND_UNIT = re.compile(r"(.*?)\s*[\[(]\s*([^\])]*?)\s*[\])]\s*$")
_NAME_SLASH_UNIT = re.compile(r"([A-Za-z ]+)\s*/\s*([A-Za-zµ%0-9/]+)$")
_NAME_SUFFIX = re.compile(r"(.+?)[_ ](s|ms|us|µs|sec|N|kN|lbf|kgf|V|mV|mV/V|volts)$")
_SPEAKING_NAMES = {"volts": "V", "volt": "V", "millivolts": "mV", "newtons": "N", "newton": "N"}
_LEADING_ZERO = re.compile(r"0\d")


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
    """

    separator: str
    decimal_comma: bool
    first_row: int
    columns: int
    names: tuple[str, ...]
    units: tuple[str, ...]
    preamble: tuple[str, ...]


def find_layout(lines: list[str]) -> Layout | None:
    """Return the layout of a text, None where it holds no rows of numbers.

    Parameters
    ----------
    lines : list of str
        The first few hundred lines, without their ends.
    """
    lines = lines[:_LINES_LOOKED_AT]
    best: tuple[tuple[float, ...], str, bool, int, int] | None = None
    for rank, separator in enumerate(_SEPARATORS):
        for decimal_comma in (False, True) if separator != "," else (False,):
            run = _longest_run(lines, separator, decimal_comma=decimal_comma)
            if run is None:
                continue
            start, length, columns = run
            score = (float(length), float(min(columns, 2)), float(not decimal_comma), float(-rank))
            if best is None or score > best[0]:
                best = (score, separator, decimal_comma, start, columns)
    if best is None:
        return None
    _, separator, decimal_comma, start, columns = best
    if separator == "," and columns == 2 and _is_one_decimal_comma_column(lines[start:]):  # noqa: PLR2004
        separator, decimal_comma, columns = ";", True, 1
    names, units, header_lines = _header(lines, start, separator, columns)
    return Layout(
        separator=separator,
        decimal_comma=decimal_comma,
        first_row=start,
        columns=columns,
        names=names,
        units=units,
        preamble=tuple(lines[: start - header_lines]),
    )


def split_line(line: str, separator: str) -> list[str]:
    """Return the fields of a line, quotes and blanks taken off."""
    fields = line.split() if separator == " " else line.split(separator)
    stripped = [field.strip().strip('"').strip() for field in fields]
    while len(stripped) > 1 and stripped[-1] == "":  # a separator at the end of every line
        stripped.pop()
    return stripped


def _longest_run(lines: list[str], separator: str, *, decimal_comma: bool) -> tuple[int, int, int] | None:
    """Return start, length and columns of the longest run of numeric lines of one width."""
    best: tuple[int, int, int] | None = None
    start, width = 0, 0
    for index, line in enumerate([*lines, "end"]):
        fields = split_line(line, separator)
        numeric = _is_numeric(fields, decimal_comma=decimal_comma)
        if numeric and width == len(fields):
            continue
        if width and (best is None or index - start > best[1]):
            best = (start, index - start, width)
        start, width = index, len(fields) if numeric else 0
    return best


def _is_numeric(fields: list[str], *, decimal_comma: bool) -> bool:
    """Return whether fields are numbers, the odd missing one allowed."""
    pattern = _COMMA if decimal_comma else _POINT
    numbers = sum(bool(pattern.match(field.replace("−", "-"))) for field in fields)
    missing = sum(field.lower() in _MISSING for field in fields)
    return numbers > 0 and numbers + missing == len(fields)


def _is_one_decimal_comma_column(lines: list[str]) -> bool:
    """Return whether "0,0125" lines are one column with decimal comma rather than two of integers."""
    seconds = [line.partition(",")[2].strip() for line in lines if "," in line]
    return any(_LEADING_ZERO.match(field) for field in seconds) and all("," not in field for field in seconds)


def _header(
    lines: list[str], start: int, separator: str, columns: int
) -> tuple[tuple[str, ...], tuple[str, ...], int]:
    """Return column names and units, and how many lines above the numbers they take."""
    above = [split_line(line, separator) for line in lines[max(0, start - 2) : start]]
    nearest = above[-1] if above and len(above[-1]) == columns else None
    if nearest is None:
        return ("",) * columns, ("",) * columns, 0
    if len(above) > 1 and len(above[0]) == columns and all(_is_bare_unit(field) for field in nearest):
        return tuple(above[0]), tuple(field.strip("[]() ") for field in nearest), 2
    pairs = [name_and_unit(field) for field in nearest]
    return tuple(name for name, _ in pairs), tuple(unit for _, unit in pairs), 1


def name_and_unit(heading: str) -> tuple[str, str]:
    """Return the name and unit of a heading such as ``Force (N)``, ``t [ms]``, ``force_N``, ``F/kN``."""
    for pattern in (_NAME_AND_UNIT, _NAME_SUFFIX, _NAME_SLASH_UNIT):
        match = pattern.match(heading)
        if match and match.group(1):
            return match.group(1).strip(), match.group(2).strip()
    return heading, _SPEAKING_NAMES.get(heading.strip().lower(), "")


def _is_bare_unit(field: str) -> bool:
    """Return whether a field is a unit in a row of units, or blank in it."""
    inner = field.strip("[]() ").replace("μ", "µ")
    return inner in _BARE_UNITS


_BARE_UNITS = {
    "",
    "-",
    "s",
    "ms",
    "us",
    "µs",
    "sec",
    "N",
    "kN",
    "lbf",
    "kgf",
    "kg",
    "lb",
    "V",
    "mV",
    "mV/V",
    "volts",
    "volt",
    "g",
    "m/s2",
    "m/s²",
    "mm",
    "°C",
    "C",
    "%",
    "Hz",
    "A",
    "mA",
    "#",
}
