"""Read known loads and readings from a small table: units in the headings, lines kept for messages."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from pathlib import Path

from tameshi.errors import UnitError, UnreadableError, WrongUseError
from tameshi.files import read_bytes
from tameshi.quantity import Unit, parse_unit, unit_of_kind
from tameshi.rig import LoadSeries, Rig, load_series

LARGEST = 10_000_000
_SEPARATORS = ("\t", ";", ",", "|")
_HEADING = re.compile(r"\s*(?P<name>.*?)\s*(?:[\[(]\s*(?P<unit>[^\])]*?)\s*[\])]|/\s*(?P<after>\S+))\s*$")
_SUFFIX = re.compile(r"\s*(?P<name>.+?)[_ ](?P<unit>N|kN|kgf|kg|lbf|lb|V|mV|mV/V)\s*$")
_RUN = re.compile(r"run|series|cycle", re.IGNORECASE)
_DIRECTION = re.compile(r"dir|way", re.IGNORECASE)
_UP = ("up", "u", "+", "1", "rising", "ascending", "loading", "increasing")
_DOWN = ("down", "d", "-", "-1", "falling", "descending", "unloading", "decreasing")


@dataclass(frozen=True, slots=True)
class Points:
    """Known loads from a table.

    Parameters
    ----------
    series : LoadSeries
        Loads in newtons, readings in volts.
    are_masses : bool
        Loads were given as masses, and newtons follow from local gravity.
    """

    series: LoadSeries
    are_masses: bool


@dataclass(frozen=True, slots=True)
class _Table:
    """Cells of a table with the line each row stands on."""

    headings: list[str]
    rows: list[tuple[int, list[str]]]
    decimal_comma: bool


def read_points(path: Path, *, gravity: float, rig: Rig | None = None) -> Points:
    """Return loads [N] and readings [V] from a delimited text file with units in its headings.

    Parameters
    ----------
    path : Path
    gravity : float
        What a kilogram weighs. [N/kg]
    rig : Rig or None
        Turns mV/V into volts at the converter by its excitation and gain.

    Raises
    ------
    UnreadableError
        If there are not two columns of numbers.
    UnitError
        If one is not a load and the other not a reading.
    """
    table = _cells(_decoded(read_bytes(path, limit=LARGEST)), path.name)
    load, reading, factors = _columns(table, path.name, gravity=gravity, rig=rig)
    rows = [
        (line, cells)
        for line, cells in table.rows
        if all(math.isfinite(_number(cells, at, table)) for at in (load[0], reading))
    ]
    if not rows:
        raise UnreadableError("no-numbers", f"{path.name} holds no rows of loads and readings.")
    series = load_series(
        [_number(cells, load[0], table) * factors[0] for _, cells in rows],
        [_number(cells, reading, table) * factors[1] for _, cells in rows],
        runs=_run_column(table, rows, path.name),
        rising=_direction_column(table, rows, path.name),
        lines=tuple(line for line, _ in rows),
    )
    return Points(series, are_masses=load[1])


def _decoded(data: bytes) -> str:
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return data.decode("utf-16", errors="replace")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("latin-1")


def _cells(text: str, name: str) -> _Table:
    """Return the table: the line above the first row of numbers is its heading."""
    lines = text.splitlines()
    if not any(re.search(r"\d", line) for line in lines):
        raise UnreadableError(
            "no-numbers", f"{name} is text, but holds no rows of numbers.", hint="Give loads and readings."
        )
    separator = max(_SEPARATORS, key=lambda sign: (sum(sign in line for line in lines), sign != ","))
    comma = separator != "," and any(re.search(r"\d,\d", line) for line in lines)
    split = [(place, [cell.strip() for cell in line.split(separator)]) for place, line in enumerate(lines, 1)]
    split = [(place, cells) for place, cells in split if any(cells)]
    numbers = [place for place, (_, cells) in enumerate(split) if _is_row(cells, comma=comma)]
    if not numbers:
        raise UnreadableError(
            "no-numbers", f"{name} is text, but holds no rows of numbers.", hint="Give loads and readings."
        )
    first = numbers[0]
    headings = split[first - 1][1] if first > 0 else []
    return _Table(headings, split[first:], comma)


def _is_row(cells: list[str], *, comma: bool) -> bool:
    return any(math.isfinite(_plain(cell, comma=comma)) for cell in cells)


def _plain(cell: str, *, comma: bool) -> float:
    try:
        return float(cell.replace(",", ".") if comma else cell)
    except ValueError:
        return math.nan


def _number(cells: list[str], place: int, table: _Table) -> float:
    return _plain(cells[place], comma=table.decimal_comma) if place < len(cells) else math.nan


def _columns(
    table: _Table, name: str, *, gravity: float, rig: Rig | None
) -> tuple[tuple[int, bool], int, tuple[float, float]]:
    """Return where loads (and whether as masses) and readings stand, and their factors to N and V."""
    units = [_unit_of(heading) for heading in table.headings]
    width = max(len(cells) for _, cells in table.rows)
    if width < 2:  # noqa: PLR2004  a load and a reading
        raise UnreadableError(
            "too-few-columns", f"{name} has {width} column.", hint="Give loads and readings side by side."
        )
    of_force, of_mass, of_volts, of_ratio = (
        _first(units, kind) for kind in ("force", "mass", "voltage", "ratio")
    )
    load, reading = of_force or of_mass, of_volts or of_ratio
    if load is None or reading is None:
        raise UnitError(
            "unit-missing",
            f"{name} has no column of loads and one of readings with units; it has "
            f"{', '.join(table.headings) or 'no headings'}.",
            hint='Head them like "load (N)" and "reading (V)"; loads in N, kN, kgf, lbf, kg or lb, '
            "readings in V, mV or mV/V.",
        )
    masses = of_force is None
    load_factor = load[1].factor * (gravity if masses else 1.0)
    reading_factor = reading[1].factor
    if of_volts is None:
        if rig is None:
            raise WrongUseError(
                "scale-unknown",
                f"{name} gives readings in {reading[1].symbol}, and a rig file keeps volts at the converter.",
                hint="Give the rig with --rig: its excitation and gain turn one into the other.",
            )
        reading_factor *= rig.amplifier.excitation * rig.amplifier.gain
    return (load[0], masses), reading[0], (load_factor, reading_factor)


def _unit_of(heading: str) -> Unit | None:
    match = _HEADING.match(heading) or _SUFFIX.match(heading)
    if match is None:
        return None
    groups = match.groupdict()
    try:
        return parse_unit(groups.get("unit") or groups.get("after") or "")
    except UnitError:
        return None


def _first(units: list[Unit | None], kind: str) -> tuple[int, Unit] | None:
    dimension = unit_of_kind(kind).dimension
    for place, unit in enumerate(units):
        if unit is not None and unit.dimension == dimension and unit.symbol != "1":
            return place, unit
    return None


def _run_column(table: _Table, rows: list[tuple[int, list[str]]], name: str) -> list[int] | None:
    at = _named(table, _RUN)
    if at is None:
        return None
    given = [cells[at] if at < len(cells) else "" for _, cells in rows]
    if not all(given):
        line = next(line for (line, _), run in zip(rows, given, strict=True) if not run)
        raise UnreadableError("run-missing", f"Line {line} of {name} names no run.", hint="Fill the column.")
    order = {run: place for place, run in enumerate(dict.fromkeys(given), start=1)}
    return [order[run] for run in given]


def _direction_column(table: _Table, rows: list[tuple[int, list[str]]], name: str) -> list[bool] | None:
    at = _named(table, _DIRECTION)
    if at is None:
        return None
    rising = []
    for line, cells in rows:
        word = cells[at].lower() if at < len(cells) else ""
        if word not in (*_UP, *_DOWN):
            raise UnreadableError(
                "direction-unclear",
                f"Line {line} of {name} has the direction {word!r}.",
                hint="Write up or down.",
            )
        rising.append(word in _UP)
    return rising


def _named(table: _Table, pattern: re.Pattern[str]) -> int | None:
    """Return the column whose heading is of this kind; a heading with a unit is none."""
    for place, heading in enumerate(table.headings):
        if pattern.search(heading) and _unit_of(heading) is None:
            return place
    return None
