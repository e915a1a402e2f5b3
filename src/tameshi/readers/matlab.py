"""Read MATLAB files of version 4 to 7: vectors, matrices and structures of them.

Version 7.3 is HDF5 and is read there. Single numbers such as ``fs`` or ``dt`` state the rate, words such as
``force_unit`` the unit.
"""

from __future__ import annotations

import io
import math
from typing import Any

import numpy as np

from tameshi.readers.foreign import require_bounded, while_decoding
from tameshi.readers.matlab_elements import variables
from tameshi.readers.recording import ReadOptions, Recording
from tameshi.readers.tree import Facts, Path, Series, recording_of_series, series_of

NAME = "MATLAB"

_MARK = b"MATLAB 5.0 MAT-file"
_LONGEST_WORDS = 256
_VERSION_4_NAMES = (".mat",)
_VERSION_4_HEADER, _VERSION_4_KINDS, _VERSION_4_ORDERS = 20, 6, 5000


def sniff(head: bytes, filename: str) -> bool:
    """Return whether the first bytes of a file are those of a MATLAB file that is not HDF5."""
    if head.startswith(_MARK):
        return True
    if not filename.lower().endswith(_VERSION_4_NAMES) or len(head) < _VERSION_4_HEADER:
        return False
    kind = int.from_bytes(head[:4], "little")  # version 4 has no mark: the first number says how to read
    return kind < _VERSION_4_ORDERS and kind % 10 < 3 and kind // 10 % 10 < _VERSION_4_KINDS  # noqa: PLR2004


def decode(data: bytes, filename: str, options: ReadOptions) -> Recording:
    """Return the recording in a MATLAB file of version 4 to 7.

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
    series: list[Series] = []
    facts: dict[Path, dict[str, float | str]] = {}
    with while_decoding(NAME, filename, StopIteration):
        found = variables(data, filename) if data.startswith(_MARK) else _version_4(data, filename)
        _walk(found, (), series, facts)
    return recording_of_series(NAME, series, facts, filename, options)


def _version_4(data: bytes, filename: str) -> dict[str, Any]:
    """Return the variables of a file of version 4, by the library."""
    import scipy.io  # noqa: PLC0415  0.1 s that other commands need not pay

    with while_decoding(NAME, filename, scipy.io.matlab.MatReadError):
        listed = scipy.io.whosmat(io.BytesIO(data))
        size = sum(8 * math.prod(map(int, shape)) for _, shape, _ in listed)
        require_bounded(size, len(data), filename)
        loaded = scipy.io.loadmat(io.BytesIO(data))
    return {name: value for name, value in loaded.items() if not name.startswith("__")}


def _walk(
    values: dict[str, Any], path: Path, series: list[Series], facts: dict[Path, dict[str, float | str]]
) -> None:
    """Note series, and single numbers and words as attributes of the structure they stand in."""
    here = facts.setdefault(path, {})
    for name, value in values.items():
        if isinstance(value, dict):
            _walk(value, (*path, name), series, facts)
        elif isinstance(value, str):
            here[name] = value[:_LONGEST_WORDS]
        elif isinstance(value, np.ndarray) and value.size == 1 and value.dtype.kind in "iuf":
            here[name] = float(value.reshape(-1)[0])
        elif isinstance(value, np.ndarray) and value.size:
            series += series_of((*path, name), value, _facts_of(name, values))


def _facts_of(name: str, beside: dict[str, Any]) -> Facts:
    """Return the unit that stands beside samples: ``force_unit`` beside ``force``."""
    unit = beside.get(f"{name}_unit", beside.get(f"{name}_units", ""))
    return {"units": unit} if isinstance(unit, str) and unit else {}
