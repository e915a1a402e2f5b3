"""Read Parquet: a column for each channel, units in the names, the rate by a time column or in words."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

import numpy as np

from tameshi.readers.foreign import require_bounded, while_decoding
from tameshi.readers.headings import name_and_unit, tidy_unit
from tameshi.readers.recording import Channel, FloatArray, ReadOptions, Recording
from tameshi.readers.stated import rate_of_facts
from tameshi.readers.table import Table, on_one_clock

if TYPE_CHECKING:
    import polars as pl

NAME = "Parquet"

_MARK = b"PAR1"
_MOST_COLUMNS = 4096
_SECONDS = {"ns": 1e-9, "us": 1e-6, "ms": 1e-3}


def sniff(head: bytes, filename: str) -> bool:  # noqa: ARG001  the name says nothing that the bytes do not
    """Return whether the first bytes are those of a Parquet file."""
    return head.startswith(_MARK)


def decode(data: bytes, filename: str, options: ReadOptions) -> Recording:
    """Return the recording in a Parquet file.

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
        ``unreadable-recording``, ``too-large``, ``no-samples``; errors of the time stamps.
    """
    import polars as pl  # noqa: PLC0415  0.2 s that other commands need not pay

    with while_decoding(NAME, filename, pl.exceptions.PolarsError, pl.exceptions.PanicException):
        if not data.endswith(_MARK):
            raise ValueError("its end is missing")
        frame, facts = _frame(data, filename)
        columns = tuple(_channel(series) for series in frame)
    table = Table(columns=columns, where=filename, stated_rate=rate_of_facts(facts))
    sampled = on_one_clock(table, options)
    return Recording(NAME, sampled.channels, sampled.rate, sampled.flags)


def _frame(data: bytes, filename: str) -> tuple[pl.DataFrame, dict[str, str]]:
    """Return the columns of numbers and times, and the words the file carries about itself."""
    import polars as pl  # noqa: PLC0415

    lazy = pl.scan_parquet(io.BytesIO(data))
    schema = lazy.collect_schema()
    kept = [
        name for name, kind in schema.items() if kind.is_numeric() or kind.is_temporal() or kind == pl.Boolean
    ][:_MOST_COLUMNS]
    rows = lazy.select(pl.len()).collect().item()
    require_bounded(rows * 8 * max(1, len(kept)), len(data), filename)
    return lazy.select(kept).collect(), pl.read_parquet_metadata(io.BytesIO(data))


def _channel(series: pl.Series) -> Channel:
    """Return a column as numbers; times as seconds since the first."""
    name, unit = name_and_unit(series.name)
    if series.dtype.is_temporal():
        return Channel(name, "s", _seconds(series))
    return Channel(name, tidy_unit(unit), _finite_or_nan(series))


def _seconds(series: pl.Series) -> FloatArray:
    import polars as pl  # noqa: PLC0415

    kind = series.dtype
    if kind == pl.Date:
        return _finite_or_nan(series.cast(pl.Int32)) * 86_400.0
    resolution = getattr(kind, "time_unit", None) or "ns"
    ticks = series.to_physical()
    first = ticks.drop_nulls().first() if ticks.null_count() < len(ticks) else 0
    return _finite_or_nan(ticks - first) * _SECONDS[resolution]


def _finite_or_nan(series: pl.Series) -> FloatArray:
    import polars as pl  # noqa: PLC0415

    return np.asarray(series.cast(pl.Float64, strict=False).to_numpy(), dtype=np.float64)
