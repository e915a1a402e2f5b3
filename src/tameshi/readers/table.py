"""From columns side by side to channels on one clock: what all table-like forms share.

Which column is time, which only numbers the rows, and how stamps become an even axis is decided here
once, whatever the form: text, column stores, arrays, trees of datasets.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import Flag, UnreadableError
from tameshi.readers.axis import Axis, onto_axis, spread_of_rows
from tameshi.readers.headings import is_index_name, is_time_name, seconds_of, tidy_unit
from tameshi.readers.recording import Channel, FloatArray, ReadOptions, Samples, is_complete
from tameshi.readers.time_axis import even_axis

_PLAUSIBLE_RATE = (200.0, 5e6)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Table:
    """Columns of one length, read but not yet put onto a clock.

    Parameters
    ----------
    columns : tuple of Channel
        As they stand in the file; names may be empty.
    where : str
        File, and dataset where there is one, for messages.
    row : str
        What a row is called in messages: line, row, sample.
    first_row : int
        Number of the first row as the message counts.
    row_numbers : (n,) array of int or None
        Which row of the file each one is, from 0; None where all are here.
    stated_rate : float or None
        Rate the file states besides. [Hz]
    flags : tuple of Flag
    """

    columns: tuple[Channel, ...]
    where: str
    row: str = "row"
    first_row: int = 1
    row_numbers: NDArray[np.intp] | None = None
    stated_rate: float | None = None
    flags: tuple[Flag, ...] = field(default=())


@dataclass(frozen=True, slots=True, eq=False)
class Sampled:
    """Channels on one clock.

    Parameters
    ----------
    channels : tuple of Channel
    rate : float or None
        [Hz]
    flags : tuple of Flag
    """

    channels: tuple[Channel, ...]
    rate: float | None
    flags: tuple[Flag, ...]


def on_one_clock(table: Table, options: ReadOptions) -> Sampled:
    """Return the channels of a table, sampled evenly.

    Parameters
    ----------
    table : Table
    options : ReadOptions

    Raises
    ------
    UnreadableError
        ``no-numbers`` where there are no rows, ``no-samples`` where there is only time;
        errors of the time stamps.
    """
    columns = table.columns
    if not columns or not len(columns[0].samples):
        raise UnreadableError(
            "no-numbers", f"{table.where} holds no rows of numbers.", hint="Export the recording again."
        )
    time = _time_column(columns)
    index = _index_columns(columns, time)
    kept = [place for place in range(len(columns)) if place != time and place not in index]
    if len(kept) > 1 and time is not None:  # every channel may bring its own copy of the time
        kept = [place for place in kept if not _repeats_time(columns[place], columns[time])] or kept
    if not kept or (len(columns) == 1 and seconds_of(columns[0].unit) is not None):
        raise UnreadableError(
            "no-samples",
            f"{table.where} holds only a time column.",
            hint="Export the force or the voltage beside the time.",
        )
    named = _with_names(columns, kept)
    stamps = None if options.count_samples else _stamps(table, time, index)
    if stamps is None:
        return Sampled(named, table.stated_rate, table.flags)
    return _stamped(table, named, stamps)


def _stamped(table: Table, channels: tuple[Channel, ...], stamps: FloatArray) -> Sampled:
    """Return channels by their stamps; rows without a stamp are left out."""
    known = None if is_complete(stamps) else np.isfinite(stamps)
    if known is not None:
        if not known.any():
            raise UnreadableError(
                "no-numbers",
                f"{table.where} holds no numbers in its time column.",
                hint="Give --rate to count samples instead.",
            )
        rows = np.flatnonzero(known)
        stamps = stamps[known]
        channels = tuple(replace(channel, samples=channel.samples[known]) for channel in channels)

    def place_of(index: int) -> str:
        row = index if known is None else int(rows[index])
        row = row if table.row_numbers is None else int(table.row_numbers[row])
        return f"{table.where}, {table.row} {table.first_row + row}"

    axis = even_axis(stamps, where=table.where, place_of=place_of)
    placed = tuple(_placed(channel, axis) for channel in channels)
    return Sampled(placed, axis.rate, (*table.flags, *axis.flags))


def _placed(channel: Channel, axis: Axis) -> Channel:
    """Return a channel on the even axis; how far rows of one stamp differ is told of each channel."""
    samples = onto_axis(channel.samples, axis)
    spread = None if axis.first is None else spread_of_rows(channel.samples, axis.first)
    if spread is None:
        return replace(channel, samples=samples, spacing=axis.spacing)
    widest, single = (f"{size:.3g} {channel.unit}".rstrip() for size in spread)
    told = Flag(
        "irregular-sampling",
        f"{channel.name}: rows of one time stamp differ by up to {widest}; a single row scatters by {single} "
        "about the mean.",
    )
    return replace(channel, samples=samples, spacing=axis.spacing, flags=(*channel.flags, told))


def _stamps(table: Table, time: int | None, index: list[int]) -> FloatArray | None:
    """Return the time of every row: by its column, else by its number and the stated rate. [s]"""
    if time is not None:
        column = table.columns[time]
        factor = _time_factor(column, table.where)
        with np.errstate(over="ignore", invalid="ignore"):
            stamps = column.samples.astype(np.float64, copy=False)
            return stamps if factor == 1.0 else stamps * factor
    if index and table.stated_rate is not None:
        numbers = table.columns[index[0]].samples.astype(np.float64, copy=False)
        return numbers / table.stated_rate if _leaves_out(numbers) else None
    return None


def _time_column(columns: Sequence[Channel]) -> int | None:
    """Return which column is time: by its unit, by its name, or by rising evenly without either."""
    if len(columns) < 2:  # noqa: PLR2004  a single column is the signal
        return None
    for fits in (
        [place for place, column in enumerate(columns) if seconds_of(column.unit) is not None],
        [place for place, column in enumerate(columns) if not column.unit and is_time_name(column.name)],
    ):
        if len(fits) == 1:
            return fits[0]
        if fits:  # a clock in whole seconds beside the time that elapsed: the finer one tells
            return min(fits, key=lambda place: _standing_still(columns[place].samples))
    if any(column.name for column in columns):
        return None
    first = columns[0].samples[np.isfinite(columns[0].samples)]
    steps = np.diff(first)
    rises = len(steps) > 0 and bool(np.all(steps >= 0.0)) and first[-1] > first[0]
    even = rises and float(np.std(steps)) <= float(np.mean(steps))
    return 0 if even and not _counts(first) else None


def _standing_still(samples: Samples) -> int:
    return int(np.count_nonzero(~(np.diff(samples) > 0.0)))


def _repeats_time(column: Channel, time: Channel) -> bool:
    return column.unit == time.unit and is_time_name(column.name) and seconds_of(column.unit) is not None


def _index_columns(columns: Sequence[Channel], time: int | None) -> list[int]:
    """Return columns that only number the rows."""
    if len(columns) < 2:  # noqa: PLR2004
        return []
    found = [place for place, column in enumerate(columns) if not column.unit and is_index_name(column.name)]
    if time is None and not found and not any(column.name for column in columns):
        found = [0]
    return [place for place in found if place != time and _counts(columns[place].samples)]


def _counts(column: Samples) -> bool:
    """Return whether a column counts rows, some of them perhaps left out."""
    steps = np.diff(column[np.isfinite(column)])
    return len(steps) > 0 and bool(np.all(steps >= 1.0)) and float(np.median(steps)) == 1.0


def _leaves_out(numbers: FloatArray) -> bool:
    return bool(np.any(np.diff(numbers[np.isfinite(numbers)]) > 1.0))


def _time_factor(column: Channel, where: str) -> float:
    """Return how many seconds one unit of the time column is."""
    factor = seconds_of(column.unit)
    if factor is not None:
        return factor
    stamps = column.samples[np.isfinite(column.samples)]
    if len(stamps) < 2 or stamps[-1] <= stamps[0]:  # noqa: PLR2004  the axis will refuse it
        return 1.0
    step = float(np.median(np.diff(stamps))) or float((stamps[-1] - stamps[0]) / (len(stamps) - 1))
    low, high = _PLAUSIBLE_RATE
    if low <= 1.0 / step <= high:
        return 1.0
    raise UnreadableError(
        "time-unit-unclear",
        f"The time column of {where} has no unit; taken as seconds it would mean {1.0 / step:.4g} "
        "samples a second.",
        hint='Put the unit into its heading, as in "time (ms)", or give --rate.',
    )


def _with_names(columns: Sequence[Channel], kept: list[int]) -> tuple[Channel, ...]:
    """Return channels with a name each, of which no two are the same."""
    names = numbered(columns[place].name or f"column {place + 1}" for place in kept)
    return tuple(
        replace(columns[place], name=name, unit=tidy_unit(columns[place].unit))
        for place, name in zip(kept, names, strict=True)
    )


def numbered(names: Iterable[str]) -> Iterator[str]:
    """Yield names of which no two are the same: the second "force" is "force (2)".

    Parameters
    ----------
    names : iterable of str
    """
    taken: set[str] = set()
    for name in names:
        unique, times = name, 1
        while unique in taken:
            times += 1
            unique = f"{name} ({times})"
        taken.add(unique)
        yield unique
