"""Read array files: one array (.npy) or several in an archive (.npz). Pickled objects are never loaded."""

from __future__ import annotations

import io
import math
import tokenize
import zipfile
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import Flag, UnreadableError
from tameshi.readers.foreign import cut_off, require_bounded, while_decoding
from tameshi.readers.recording import ReadOptions, Recording
from tameshi.readers.tree import Facts, Path, Series, recording_of_series, series_of

NAME = "NumPy"

_ARRAY, _ARCHIVE = b"\x93NUMPY", b"PK\x03\x04"
_NAME_LENGTH, _NAME_PLACE = slice(26, 28), 30
_MOST_MEMBERS = 1000
_LONGEST_WORD = 256


def sniff(head: bytes, filename: str) -> bool:  # noqa: ARG001  the name says nothing that the bytes do not
    """Return whether the first bytes are those of an array file or of an archive of them."""
    if head.startswith(_ARCHIVE):
        length = int.from_bytes(head[_NAME_LENGTH], "little")
        return head[_NAME_PLACE : _NAME_PLACE + length].endswith(b".npy")
    return head.startswith(_ARRAY)


def decode(data: bytes, filename: str, options: ReadOptions) -> Recording:
    """Return the recording in an array file.

    One or two dimensions, the longer one along time, or named fields. In an archive single numbers such as
    ``fs`` and ``dt`` state the rate.

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
        ``unreadable-recording``, ``too-large``, ``objects-refused``, ``cut-off``; errors of the time stamps.
    """
    with while_decoding(NAME, filename, zipfile.BadZipFile, tokenize.TokenError):
        facts: dict[Path, Facts] = {}
        if data.startswith(_ARRAY):
            values, flags = _array(data, filename, options)
            series = series_of(("column",), values, {})
            if not values.dtype.names and values.ndim > 1:
                series = [Series(("",), one.values) for one in series]
        else:
            series, facts, flags = _archive(data, filename, options)
    recording = recording_of_series(NAME, series, facts, filename, options)
    return Recording(recording.form, recording.channels, recording.rate, (*flags, *recording.flags))


def _archive(
    data: bytes, filename: str, options: ReadOptions
) -> tuple[list[Series], dict[Path, Facts], tuple[Flag, ...]]:
    """Return the arrays of an archive; single numbers and words count as attributes of the file."""
    series: list[Series] = []
    facts: dict[str, float | str] = {}
    flags: list[Flag] = []
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        members = [one for one in archive.infolist() if one.filename.endswith(".npy")][:_MOST_MEMBERS]
        require_bounded(sum(one.file_size for one in members), len(data), filename)
        for member in members:
            name = member.filename.removesuffix(".npy")
            with archive.open(member) as opened:
                content = opened.read(member.file_size)
            values, noticed = _array(content, f"{filename}, {name}", options)
            flags += noticed
            if values.size == 1 and values.dtype.kind in "iufU":
                one = values.reshape(-1)[0]
                facts[name] = str(one)[:_LONGEST_WORD] if values.dtype.kind == "U" else float(one)
            else:
                series += series_of((name,), values, {})
    return series, {(): facts}, tuple(flags)


def _array(data: bytes, where: str, options: ReadOptions) -> tuple[NDArray[Any], tuple[Flag, ...]]:
    """Return the array in the bytes of a file, as a view of them."""
    stream = io.BytesIO(data)
    version = np.lib.format.read_magic(stream)
    read = np.lib.format.read_array_header_1_0 if version == (1, 0) else np.lib.format.read_array_header_2_0
    shape, by_columns, dtype = read(stream)
    if dtype.hasobject:
        raise UnreadableError(
            "objects-refused",
            f"{where} holds pickled objects, which could run code when they are loaded.",
            hint="Save the samples as an array of numbers.",
        )
    if dtype.itemsize == 0:
        raise ValueError("its items have no size")
    present, promised = len(data) - stream.tell(), math.prod(shape) * dtype.itemsize
    flags: tuple[Flag, ...] = ()
    if promised > present:
        message = cut_off(where, promised, present)
        if not options.accept_cut_off or by_columns or not shape:
            raise UnreadableError(
                "cut-off", message, hint="Copy it again, or give --accept-cut-off to measure what there is."
            )
        row = math.prod(shape[1:]) * dtype.itemsize
        shape, flags = (present // row if row else 0, *shape[1:]), (Flag("cut-off", message),)
    values = np.frombuffer(data, dtype, count=math.prod(shape), offset=stream.tell())
    return values.reshape(shape, order="F" if by_columns else "C"), flags
