"""From datasets in folders, with attributes, to a recording: what all tree-like forms share.

Series of one length in one folder are a table; their time is a series beside them, else what an attribute
states, else the one time series of the same length elsewhere in the file. Attributes count for everything
below them, single numbers and words in a folder count as its attributes.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import Flag, TameshiError, UnreadableError
from tameshi.readers.headings import is_index_name, is_time_name, name_and_unit, seconds_of, tidy_unit
from tameshi.readers.recording import Channel, ReadOptions, Recording, Samples
from tameshi.readers.stated import rate_of_facts
from tameshi.readers.table import Sampled, Table, numbered, on_one_clock

Facts = Mapping[str, float | str]
Lists = Mapping[str, Sequence[float | str]]
Path = tuple[str, ...]

_MOST_CHANNELS_ACROSS = 64
_FEWEST_SAMPLES = 16
_NAME_LISTS = ("columns", "column_names", "names", "channels", "channel_names", "labels")
_UNIT_FACTS = ("units", "unit", "unit_string", "einheit", "physical_unit", "y_unit")
_FACTORS = ("scale_factor", "scale", "slope", "scaling_factor")
_OFFSETS = ("add_offset", "offset", "intercept")
_SHORT = np.dtype(np.float32)
SCALING = frozenset((*_FACTORS, *_OFFSETS))


@dataclass(frozen=True, slots=True, eq=False)
class Series:
    """One dataset along time.

    Parameters
    ----------
    path : tuple of str
        Folders and name.
    values : (n,) array
    facts : mapping
        Its own attributes.
    """

    path: Path
    values: Samples
    facts: Facts = field(default_factory=dict)


def series_of(path: Path, values: NDArray[Any], facts: Facts, lists: Lists | None = None) -> list[Series]:
    """Return the series in an array: itself, its columns or its fields; none where it is no numbers.

    Parameters
    ----------
    path : tuple of str
    values : array
        One or two dimensions, or with named fields.
    facts : mapping
        Attributes; a scale factor, an offset and the value that stands for none are applied.
    lists : mapping or None
        Attributes of several words or numbers, such as names, units or factors: one for each column.
    """
    if values.dtype.names:
        fields = values.dtype.names[:_MOST_CHANNELS_ACROSS]
        told = _by_column(facts, lists, values.dtype.names)
        named = [(name, values[name], own) for name, own in zip(fields, told, strict=False)]
        return [one for name, inner, own in named for one in series_of((*path, name), inner, own)]
    flat = np.squeeze(values) if values.ndim > 1 else values
    if flat.dtype.kind not in "biufMm" or flat.ndim not in (1, 2):
        return []
    if flat.ndim == 1:
        own = {**facts, "units": "s"} if flat.dtype.kind in "Mm" else facts
        return [Series(path, _numbers(flat, facts), own)]
    if flat.shape[0] < flat.shape[1]:  # channels across, time along: the longer side is time
        flat = flat.T
    if flat.shape[1] > _MOST_CHANNELS_ACROSS:
        return []
    name = path[-1] if path else "column"
    names = [f"{name} {place + 1}" for place in range(flat.shape[1])]
    names = _listed_names(lists, len(names)) or names
    told = _by_column(facts, lists, names)
    return [
        Series((*path[:-1], one), _numbers(flat[:, place], own), own)
        for place, (one, own) in enumerate(zip(names, told, strict=True))
    ]


def _listed_names(lists: Lists | None, count: int) -> list[str] | None:
    """Return the names of columns where an attribute lists as many."""
    for key, words in (lists or {}).items():
        if key.lower() in _NAME_LISTS and len(words) == count and all(words):
            return [str(word) for word in words]
    return None


def _by_column(facts: Facts, lists: Lists | None, names: Sequence[str]) -> list[Facts]:
    """Return what is said of each column: of all, by its place in a list, or by its name (``force_unit``)."""
    spread = {key: words for key, words in (lists or {}).items() if len(words) == len(names)}
    told: list[Facts] = []
    for place, name in enumerate(names):
        own = {key: words[place] for key, words in spread.items()}
        named = {
            key: value
            for key in _UNIT_FACTS
            if (value := facts.get(f"{name}_{key}", facts.get(f"{name}.{key}"))) is not None
        }
        told.append({**facts, **own, **named})
    return told


def _numbers(values: NDArray[Any], facts: Facts) -> Samples:
    """Return stored numbers as readings, short ones as they are; times as seconds since the first."""
    if values.dtype.kind in "Mm":
        known = values[~np.isnat(values)]
        since = values - (known[0] if len(known) else values[:1])
        seconds = np.asarray(since.astype("timedelta64[ns]").astype(np.float64)) * 1e-9
        return np.where(np.isnat(values), np.nan, seconds)
    numbers: Samples = np.asarray(values, dtype=_SHORT if np.can_cast(values.dtype, _SHORT) else np.float64)
    empty = _number(facts, ("_FillValue", "missing_value"), math.nan)
    if not math.isnan(empty):
        with np.errstate(over="ignore"):  # rounded as the readings are, which it stands among
            numbers = np.where(numbers == numbers.dtype.type(empty), np.nan, numbers)
    factor, offset = _number(facts, _FACTORS, 1.0), _number(facts, _OFFSETS, 0.0)
    if offset != 0.0:  # a sum in which short numbers would lose their last digits
        return numbers.astype(np.float64) * factor + offset
    return numbers if factor == 1.0 else numbers * factor


def _number(facts: Facts, names: Sequence[str], otherwise: float) -> float:
    found = next((facts[name] for name in names if name in facts), otherwise)
    return float(found) if isinstance(found, int | float) else otherwise


def recording_of_series(
    form: str,
    series: Sequence[Series],
    facts: Mapping[Path, Facts],
    filename: str,
    options: ReadOptions,
) -> Recording:
    """Return the recording that the series of a file make up.

    Parameters
    ----------
    form : str
    series : sequence of Series
    facts : mapping of tuple to mapping
        Attributes of folders, the file's own at ``()``.
    filename : str
        For messages.
    options : ReadOptions

    Raises
    ------
    UnreadableError
        ``no-samples`` where nothing is a channel; errors of the time stamps.
    """
    groups = _groups(series, facts)
    done: list[tuple[Path, Sampled]] = []
    refused: list[TameshiError] = []
    for (folder, _, rate), members in groups.items():
        timed = rate is not None or any(_is_time(one, facts) for one in members)
        times = () if timed else _time_elsewhere(members, series, facts)
        columns = tuple(_channel(one, facts) for one in (*times, *members))
        where = f"{filename}, {'/'.join(folder)}" if folder else filename
        try:
            sampled = on_one_clock(Table(columns=columns, where=where, stated_rate=rate), options)
            done.append((folder, sampled))
        except UnreadableError as error:
            refused.append(error)
    if not done:
        if refused:
            raise refused[0]
        raise UnreadableError(
            "no-samples",
            f"{filename} holds no series of numbers.",
            hint="Export one series of numbers for each channel.",
        )
    return _joined(form, done, [error for error in refused if error.code != "no-samples"])


def _groups(
    series: Sequence[Series], facts: Mapping[Path, Facts]
) -> dict[tuple[Path, int, float | None], list[Series]]:
    """Return series that belong together: one folder, one length, one rate of their own."""
    longest = max((len(one.values) for one in series), default=0)
    groups: dict[tuple[Path, int, float | None], list[Series]] = {}
    for one in series:
        count = len(one.values)
        if count < min(longest, _FEWEST_SAMPLES):  # coefficients and the like
            continue
        groups.setdefault((one.path[:-1], count, _rate(one, facts)), []).append(one)
    if len(groups) > 1:  # a time column's own attributes do not part it from its channels
        for key in [key for key, members in groups.items() if all(_is_time(one, facts) for one in members)]:
            if any(other[1] == key[1] and other != key for other in groups):
                times = groups.pop(key)
                same = [members for other, members in groups.items() if other[:2] == key[:2]]
                for members in same:
                    members[:0] = times
    return groups


def _rate(one: Series, facts: Mapping[Path, Facts]) -> float | None:
    """Return the rate stated for a series: by itself, else by the nearest folder above. [Hz]"""
    places = [one.facts, *(facts.get(one.path[:depth], {}) for depth in range(len(one.path) - 1, -1, -1))]
    return next((rate for rate in map(rate_of_facts, places) if rate is not None), None)


def _channel(one: Series, facts: Mapping[Path, Facts]) -> Channel:
    name, unit = name_and_unit(one.path[-1] if one.path else "")
    lowered = {key.lower(): value for key, value in one.facts.items()}
    beside = facts.get(one.path[:-1], {})
    stated = [lowered.get(key) for key in _UNIT_FACTS]
    stated += [beside.get(f"{one.path[-1]}{end}") for end in ("_unit", "_units", ".unit")] if one.path else []
    stated += [beside.get(key) for key in _UNIT_FACTS] if not _is_time_like(name, unit) else []
    said = next((value.strip() for value in stated if isinstance(value, str) and value.strip()), None)
    return Channel(name, tidy_unit(said or unit), one.values)


def _is_time_like(name: str, unit: str) -> bool:
    return seconds_of(unit) is not None or is_time_name(name) or is_index_name(name)


def _is_time(one: Series, facts: Mapping[Path, Facts]) -> bool:
    channel = _channel(one, facts)
    if seconds_of(channel.unit) is not None:
        return True
    return not channel.unit and is_time_name(channel.name)


def _time_elsewhere(
    members: Sequence[Series], series: Sequence[Series], facts: Mapping[Path, Facts]
) -> tuple[Series, ...]:
    """Return the one time series of this length in another folder."""
    count = len(members[0].values)
    found = [one for one in series if len(one.values) == count and _is_time(one, facts)]
    return (found[0],) if len(found) == 1 else ()


def _joined(form: str, done: Sequence[tuple[Path, Sampled]], refused: Sequence[TameshiError]) -> Recording:
    """Return all channels as one recording; where clocks differ, each has its own."""
    left_out = tuple(
        Flag("channels-left-out", f"Some channels were left out: {error.message}") for error in refused
    )
    if len(done) == 1:
        _, only = done[0]
        return Recording(form, only.channels, only.rate, (*only.flags, *left_out))
    times_used = Counter(channel.name for _, sampled in done for channel in sampled.channels)
    names = numbered(
        "/".join((*folder, channel.name)) if times_used[channel.name] > 1 else channel.name
        for folder, sampled in done
        for channel in sampled.channels
    )
    channels = tuple(
        replace(channel, name=next(names), rate=sampled.rate, flags=(*sampled.flags, *channel.flags))
        for _, sampled in done
        for channel in sampled.channels
    )
    return Recording(form, channels, None, left_out)
