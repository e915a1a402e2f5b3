"""Read MATLAB files of version 4 to 7: vectors, matrices and structures of them.

Version 7.3 is HDF5 and is read there. Compressed variables say at their start how large they become;
that is looked at before they are unpacked.
"""

from __future__ import annotations

import io
import math
import zlib
from typing import Any

import numpy as np

from tameshi.readers.foreign import require_bounded, while_decoding
from tameshi.readers.recording import ReadOptions, Recording
from tameshi.readers.tree import Facts, Path, Series, recording_of_series, series_of

NAME = "MATLAB"

_MARK = b"MATLAB 5.0 MAT-file"
_HEADER, _TAG = 128, 8
_COMPRESSED = 15
_READ = ("double", "single", "int8", "uint8", "int16", "uint16", "int32", "uint32", "int64", "uint64")
_ALSO_READ = ("struct", "char", "logical")
_DEEPEST, _LONGEST_WORDS = 8, 256
_VERSION_4_NAMES = (".mat",)
_VERSION_4_HEADER = 20
_VERSION_4_KINDS = 6
_VERSION_4_ORDERS = 5000


def sniff(head: bytes, filename: str) -> bool:
    """Return whether the first bytes are those of a MATLAB file that is not HDF5."""
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
    import scipy.io  # noqa: PLC0415  0.1 s that other commands need not pay

    with while_decoding(NAME, filename, NotImplementedError):
        if data.startswith(_MARK):
            _require_bounded_elements(data, filename)
        listed = scipy.io.whosmat(io.BytesIO(data))
        names = [name for name, _, kind in listed if kind in _READ or kind in _ALSO_READ]
        size = sum(
            8 * math.prod(map(int, shape)) for name, shape, kind in listed if kind in (*_READ, "logical")
        )
        require_bounded(size, len(data), filename)
        loaded = scipy.io.loadmat(
            io.BytesIO(data),
            variable_names=names,
            simplify_cells=True,
            verify_compressed_data_integrity=False,
        )
        series: list[Series] = []
        facts: dict[Path, dict[str, float | str]] = {}
        _walk({name: loaded[name] for name in names if name in loaded}, (), series, facts)
    return recording_of_series(NAME, series, facts, filename, options)


def _require_bounded_elements(data: bytes, filename: str) -> None:
    """Refuse compressed variables that would unfold too far, by what they say at their start."""
    order = "little" if data[126:128] == b"IM" else "big"
    place, total = _HEADER, 0
    while place + _TAG <= len(data):
        kind = int.from_bytes(data[place : place + 4], order)  # type: ignore[arg-type]
        size = int.from_bytes(data[place + 4 : place + _TAG], order)  # type: ignore[arg-type]
        place += _TAG
        if kind == _COMPRESSED:
            start = zlib.decompressobj().decompress(data[place : place + 1024], _TAG)
            total += int.from_bytes(start[4:_TAG], order)  # type: ignore[arg-type]
            require_bounded(total, len(data), filename)
        elif place + size > len(data):
            raise EOFError("its end is missing")
        place += size


def _walk(
    values: dict[str, Any], path: Path, series: list[Series], facts: dict[Path, dict[str, float | str]]
) -> None:
    """Note series, and single numbers and words as attributes of the structure they stand in."""
    here = facts.setdefault(path, {})
    for name, value in values.items():
        if isinstance(value, dict):
            if len(path) < _DEEPEST:
                _walk(value, (*path, str(name)), series, facts)
        elif isinstance(value, str):
            here[str(name)] = value[:_LONGEST_WORDS]
        elif isinstance(value, int | float | np.number | np.bool_):
            here[str(name)] = float(value.real if isinstance(value, np.complexfloating) else value)
        elif isinstance(value, np.ndarray):
            series += series_of((*path, str(name)), value, _facts_of(name, values))


def _facts_of(name: str, beside: dict[str, Any]) -> Facts:
    """Return the unit that a structure gives for its samples: ``unit`` beside ``data``."""
    unit = beside.get(f"{name}_unit", beside.get(f"{name}_units", ""))
    return {"units": unit} if isinstance(unit, str) and unit else {}
