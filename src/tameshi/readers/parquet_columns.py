"""Unpack a Parquet file in a process of its own: the file on standard input, arrays on standard output.

The library that decodes Parquet ends its whole process over some damaged files. Run as a script, it is
this process that ends, and whoever started it says so in a sentence. The first line of the answer is JSON:
``refused`` with a reason, ``declared`` with a size that is too large, or the names of the columns whose
floating-point numbers follow.
"""

from __future__ import annotations

import contextlib
import io
import json
import sys
from typing import Any

import numpy as np
import polars as pl
from numpy.typing import NDArray

_MOST_COLUMNS = 4096
_ROOM = 8 * 2**30
_SECONDS = {"ns": 1e-9, "us": 1e-6, "ms": 1e-3}


def main() -> None:
    """Answer; the argument is the most bytes that may be unpacked."""
    most = int(sys.argv[1])
    with contextlib.suppress(ImportError, ValueError, OSError):  # where the system has no such limits
        import resource  # noqa: PLC0415

        resource.setrlimit(resource.RLIMIT_AS, (4 * most + _ROOM, 4 * most + _ROOM))
    arrays: list[NDArray[np.float64]] = []
    try:
        answer = unpacked(sys.stdin.buffer.read(), most, arrays)
    except (pl.exceptions.PolarsError, pl.exceptions.PanicException, ArithmeticError, ValueError) as error:
        answer = {"refused": str(error)}
    sys.stdout.buffer.write(json.dumps(answer).encode() + b"\n")
    for array in arrays:
        sys.stdout.buffer.write(np.ascontiguousarray(array).data)


def unpacked(data: bytes, most: int, arrays: list[NDArray[np.float64]]) -> dict[str, Any]:
    """Return names, which of them are times, and what the file says; the columns are put into ``arrays``."""
    lazy = pl.scan_parquet(io.BytesIO(data))
    kept = [name for name, kind in lazy.collect_schema().items() if is_read(kind)][:_MOST_COLUMNS]
    declared = lazy.select(pl.len()).collect().item() * 8 * max(1, len(kept))
    if declared > most:
        return {"declared": declared}
    frame = lazy.select(kept).collect()
    arrays += [seconds(series) if series.dtype.is_temporal() else numbers(series) for series in frame]
    facts = pl.read_parquet_metadata(io.BytesIO(data))
    return {
        "names": kept,
        "times": [series.dtype.is_temporal() for series in frame],
        "rows": len(frame),
        "facts": {key: value for key, value in facts.items() if not key.startswith("ARROW")},
    }


def is_read(kind: pl.DataType) -> bool:
    """Return whether a column of this type holds numbers or times."""
    return kind.is_numeric() or kind.is_temporal() or kind == pl.Boolean


def seconds(series: pl.Series) -> NDArray[np.float64]:
    """Return times as seconds since the first. [s]"""
    if series.dtype == pl.Date:
        return numbers(series.cast(pl.Int32)) * 86_400.0
    ticks = series.to_physical()
    first = ticks.drop_nulls().first() if ticks.null_count() < len(ticks) else 0
    return numbers(ticks - first) * _SECONDS[getattr(series.dtype, "time_unit", "ns")]


def numbers(series: pl.Series) -> NDArray[np.float64]:
    """Return numbers as floating point, NaN where there is none."""
    return np.asarray(series.cast(pl.Float64, strict=False).to_numpy(), dtype=np.float64)


if __name__ == "__main__":
    main()
