"""Read delimited text: the form every logger can write."""

from __future__ import annotations

import io
import re

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import Flag, UnitError, UnreadableError
from tameshi.quantity import parse_unit, split_quantity
from tameshi.readers.recording import Channel, ReadOptions, Recording
from tameshi.readers.text_layout import Layout, find_layout, split_line
from tameshi.readers.time_axis import even_axis, onto_axis

FloatArray = NDArray[np.float64]

NAME = "delimited text"

_HEAD = 65_536
_PRINTABLE_SHARE = 0.95
_TIME_NAMES = re.compile(r"^(t|time|zeit|temps|tiempo|tempo|elapsed|seconds|timestamp|x)\b", re.IGNORECASE)
_INDEX_NAMES = re.compile(r"^(#|n|no|nr|index|sample|samples|row|count)\.?$", re.IGNORECASE)
_STATED_RATE = re.compile(
    r"(?:sampl\w*[ _-]*(?:rate|freq\w*)|\brate|\bfs|abtastrate)\W{0,4}\s*"
    r"([\d.]+(?:[eE][+-]?\d+)?)\s*([kM]?Hz|S/s|sps)?",
    re.IGNORECASE,
)
_STATED_STEP = re.compile(
    r"(?:sampl\w*[ _-]*(?:interval|period|time|step)|\binterval|\bdelta[ _]?t|\bdt|abtastintervall)\W{0,4}\s*"
    r"([\d.]+(?:[eE][+-]?\d+)?)\s*(s|ms|us|µs|sec)?\b",
    re.IGNORECASE,
)
_UNIT_ALIASES = {
    "sec": "s",
    "secs": "s",
    "seconds": "s",
    "us": "µs",
    "volts": "V",
    "volt": "V",
    "newton": "N",
    "newtons": "N",
    "msec": "ms",
    "v": "V",
    "n": "N",
    "kn": "kN",
    "mv": "mV",
    "hz": "Hz",
}
_PLAUSIBLE_RATE = (200.0, 5e6)


def sniff(head: bytes, filename: str) -> bool:  # noqa: ARG001  the name says nothing that the bytes do not
    """Return whether the first bytes of a file look like text."""
    if head.startswith((b"\xff\xfe", b"\xfe\xff", b"\xef\xbb\xbf")):
        return True
    text = decode_text(head[:_HEAD]).rstrip("\0")
    if not text:
        return False
    printable = sum(character.isprintable() or character in "\r\n\t" for character in text)
    return printable >= _PRINTABLE_SHARE * len(text)


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
    text = _text_of(data)
    layout = _layout(text, filename)
    columns, flags = _numbers(text, layout, filename)
    time = _time_column(layout, columns)
    index = _index_columns(layout, columns, time)
    channels = [place for place in range(layout.columns) if place != time and place not in index]
    if not channels or (layout.columns == 1 and _is_time_unit(layout.units[0])):
        raise UnreadableError(
            "no-samples",
            f"{filename} holds only a time column.",
            hint="Export the force or the voltage beside the time.",
        )
    if time is None or options.count_samples:
        return _recording(layout, columns, channels, _stated_rate(layout.preamble), flags)
    return _timed(layout, columns, channels, time, flags, filename)


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
    text = _text_of(data)
    layout = _layout(text, filename)
    columns, _ = _numbers(text, layout, filename)
    return tuple(_channel(layout, place, column) for place, column in enumerate(columns))


def decode_text(data: bytes) -> str:
    """Return bytes as text: by their mark, else UTF-8, else Latin-1."""
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return data.decode("utf-16", errors="replace")
    even, odd = data[0:200:2], data[1:200:2]
    if odd and odd.count(0) > len(odd) // 2 and even.count(0) == 0:
        return data.decode("utf-16-le", errors="replace")
    if even and even.count(0) > len(even) // 2 and odd.count(0) == 0:
        return data.decode("utf-16-be", errors="replace")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        # a head cut inside a character is still UTF-8
        if error.start >= len(data) - 3:
            return data[: error.start].decode("utf-8-sig")
        return data.decode("latin-1")


def _text_of(data: bytes) -> str:
    return decode_text(data).rstrip("\0").replace("\r\n", "\n").replace("\r", "\n")


def _layout(text: str, filename: str) -> Layout:
    layout = find_layout(text[: 4 * _HEAD].split("\n"))
    if layout is None:
        raise UnreadableError(
            "no-numbers",
            f"{filename} is text, but holds no rows of numbers.",
            hint="Export samples as columns separated by commas, semicolons, tabs or spaces.",
        )
    return layout


def _channel(layout: Layout, place: int, column: FloatArray) -> Channel:
    return Channel(layout.names[place] or f"column {place + 1}", tidy_unit(layout.units[place]), column)


def _numbers(text: str, layout: Layout, filename: str) -> tuple[list[FloatArray], list[Flag]]:
    """Return the columns of numbers, and what was noticed about the end of the file."""
    import polars as pl  # noqa: PLC0415  0.2 s that other commands need not pay

    start = _start_of_line(text, layout.first_row)
    body = text[start:].rstrip("\n")
    separator = layout.separator
    if separator == " ":
        body = re.sub(r"[^\S\n]+", "\t", re.sub(r"(?m)^[^\S\n]+|[^\S\n]+$", "", body))
        separator = "\t"
    elif body[: body.find("\n")].rstrip().endswith(separator):  # a separator at the end of every line
        body = re.sub(rf"(?m){re.escape(separator)}[^\S\n]*$", "", body)
    body, flags = _without_cut_line(body.replace("−", "-"), layout, ended=text.endswith("\n"))
    names = [f"c{place}" for place in range(layout.columns)]
    try:
        frame = pl.read_csv(
            io.BytesIO(body.encode("utf-8")),
            has_header=False,
            separator=separator,
            decimal_comma=layout.decimal_comma,
            schema=dict.fromkeys(names, pl.Float64),
            ignore_errors=True,
            truncate_ragged_lines=True,
            quote_char='"',
        )
    except pl.exceptions.PolarsError as error:
        raise UnreadableError(
            "unreadable-text",
            f"{filename} could not be read as columns of numbers: {error}.",
            hint="Export it again.",
        ) from error
    columns = [np.array(frame[name].fill_null(float("nan")).to_numpy(), dtype=np.float64) for name in names]
    return _without_empty_rows(columns), flags


def _start_of_line(text: str, line: int) -> int:
    place = 0
    for _ in range(line):
        place = text.index("\n", place) + 1
    return place


def _without_cut_line(body: str, layout: Layout, *, ended: bool) -> tuple[str, list[Flag]]:
    """Return the rows without a last one that was cut off."""
    place = body.rfind("\n")
    last = body[place + 1 :]
    separator = "\t" if layout.separator == " " else layout.separator
    if ended or place < 0 or len(split_line(last, separator)) >= layout.columns:
        return body, []
    return body[:place], [Flag("cut-off", "The last line of the file is cut off; it was left out.")]


def _without_empty_rows(columns: list[FloatArray]) -> list[FloatArray]:
    """Return the columns without rows that hold no number at all: repeated headers, a closing summary."""
    filled = ~np.all([np.isnan(column) for column in columns], axis=0)
    if filled.all():
        return columns
    if len(columns) == 1:  # without stamps a missing sample keeps its place, save at the end
        last = int(np.flatnonzero(filled)[-1]) + 1 if filled.any() else 0
        return [columns[0][:last]]
    return [column[filled] for column in columns]


def _time_column(layout: Layout, columns: list[FloatArray]) -> int | None:
    """Return which column is time: by its unit, by its name, or by rising evenly without either."""
    if layout.columns < 2:  # noqa: PLR2004  a single column is the signal
        return None
    for place, unit in enumerate(layout.units):
        if _is_time_unit(unit):
            return place
    for place, name in enumerate(layout.names):
        if _TIME_NAMES.match(name):
            return place
    if any(layout.names):
        return None
    first = columns[0][np.isfinite(columns[0])]
    steps = np.diff(first)
    rises = len(steps) > 0 and bool(np.all(steps >= 0.0)) and first[-1] > first[0]
    even = rises and float(np.std(steps)) <= float(np.mean(steps))
    return 0 if even and not _counts_up(first) else None


def _index_columns(layout: Layout, columns: list[FloatArray], time: int | None) -> set[int]:
    """Return columns that only number the rows."""
    if layout.columns < 2:  # noqa: PLR2004
        return set()
    named = {place for place, name in enumerate(layout.names) if _INDEX_NAMES.match(name)}
    if time is None and not any(layout.names) and _counts_up(columns[0]):
        named.add(0)
    return {place for place in named if place != time and _counts_up(columns[place])}


def _counts_up(column: FloatArray) -> bool:
    steps = np.diff(column[np.isfinite(column)])
    return len(steps) > 0 and bool(np.all(steps == 1.0))


def _is_time_unit(unit: str) -> bool:
    try:
        return parse_unit(tidy_unit(unit)).dimension == parse_unit("s").dimension
    except UnitError:
        return False


def tidy_unit(unit: str) -> str:
    """Return a unit as loggers write it in the form that is parsed here."""
    bare = unit.strip().strip("[]()").strip()
    return _UNIT_ALIASES.get(bare.lower(), bare) if bare not in ("N", "V", "mV", "kN") else bare


def _timed(
    layout: Layout,
    columns: list[FloatArray],
    channels: list[int],
    time: int,
    flags: list[Flag],
    filename: str,
) -> Recording:
    known = np.isfinite(columns[time])
    if not known.any():
        raise UnreadableError(
            "no-numbers", f"{filename} holds no numbers in its time column.", hint="Give --rate."
        )
    rows = [column[known] for column in columns]
    stamps = rows[time] * _time_factor(layout, rows[time], time, filename)
    axis = even_axis(stamps, where=filename, first_line=layout.first_row + 1)
    placed = {place: onto_axis(rows[place], axis) for place in channels}
    return _recording(layout, placed, channels, axis.rate, [*flags, *axis.flags])


def _time_factor(layout: Layout, stamps: FloatArray, time: int, filename: str) -> float:
    """Return how many seconds one unit of the time column is."""
    if _is_time_unit(layout.units[time]):
        return parse_unit(tidy_unit(layout.units[time])).factor
    if len(stamps) < 2 or stamps[-1] <= stamps[0]:  # noqa: PLR2004  the axis will refuse it
        return 1.0
    step = float(np.median(np.diff(stamps))) or float((stamps[-1] - stamps[0]) / (len(stamps) - 1))
    low, high = _PLAUSIBLE_RATE
    if low <= 1.0 / step <= high:
        return 1.0
    raise UnreadableError(
        "time-unit-unclear",
        f"The time column of {filename} has no unit; taken as seconds it would mean {1.0 / step:.4g} "
        "samples a second.",
        hint='Put the unit into its heading, as in "time (ms)", or give --rate.',
    )


def _stated_rate(preamble: tuple[str, ...]) -> float | None:
    """Return the rate or interval that lines before the header state."""
    for line in preamble:
        for pattern, kind in ((_STATED_RATE, "frequency"), (_STATED_STEP, "time")):
            match = pattern.search(line)
            if match and float(match.group(1) or 0.0) > 0.0:
                number, _ = split_quantity(match.group(1), kind)
                unit = match.group(2)
                if kind == "frequency":
                    return number * (parse_unit(unit).factor if unit and unit.endswith("Hz") else 1.0)
                return 1.0 / (number * parse_unit(tidy_unit(unit or "s")).factor)
    return None


def _recording(
    layout: Layout,
    columns: list[FloatArray] | dict[int, FloatArray],
    channels: list[int],
    rate: float | None,
    flags: list[Flag],
) -> Recording:
    made = tuple(_channel(layout, place, columns[place]) for place in channels)
    return Recording(NAME, made, rate, tuple(flags))
