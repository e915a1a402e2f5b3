"""Read Parquet: a column for each channel, units in the names, the rate by a time column or in words."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np

from tameshi.readers.aside import unpacked_aside
from tameshi.readers.foreign import require_bounded, while_decoding
from tameshi.readers.headings import name_and_unit, tidy_unit
from tameshi.readers.recording import Channel, FloatArray, ReadOptions, Recording
from tameshi.readers.stated import rate_of_facts
from tameshi.readers.table import Table, on_one_clock

NAME = "Parquet"

_MARK = b"PAR1"
_SCRIPT = Path(__file__).with_name("parquet_columns.py")


def sniff(head: bytes, filename: str) -> bool:  # noqa: ARG001  the name says nothing that the bytes do not
    """Return whether the first bytes of a file are those of a Parquet file."""
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
    with while_decoding(NAME, filename):
        if not data.endswith(_MARK):
            raise ValueError("its end is missing")
        answer, arrays = _unpacked(data, filename)
    columns = tuple(
        Channel(name, "s" if is_time else tidy_unit(unit), samples)
        for (name, unit), is_time, samples in zip(
            map(name_and_unit, answer["names"]), answer["times"], arrays, strict=True
        )
    )
    table = Table(columns=columns, where=filename, stated_rate=rate_of_facts(answer["facts"]))
    sampled = on_one_clock(table, options)
    return Recording(NAME, sampled.channels, sampled.rate, sampled.flags)


def _unpacked(data: bytes, filename: str) -> tuple[dict[str, Any], list[FloatArray]]:
    """Return what the script answers: its words and the columns."""
    answer, room = unpacked_aside(_SCRIPT, data)
    require_bounded(answer.get("declared", 0), len(data), filename)
    rows = answer["rows"]
    arrays = [
        np.frombuffer(room, np.float64, count=rows, offset=8 * rows * place)
        for place in range(len(answer["names"]))
    ]
    return answer, arrays
