"""Read HDF5, and with it MATLAB 7.3: datasets in groups, with attributes."""

from __future__ import annotations

import math
from pathlib import Path as FilePath
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tameshi.readers.aside import unpacked_aside
from tameshi.readers.foreign import require_bounded, require_package, while_decoding
from tameshi.readers.recording import ReadOptions, Recording
from tameshi.readers.tree import Facts, Path, Series, recording_of_series, series_of

NAME = "HDF5"
PACKAGE = "h5py"

_MARK = b"\x89HDF\r\n\x1a\n"
_PLACES = (0, 512, 1024, 2048, 4096, 8192, 16_384, 32_768)
_MATLAB = b"MATLAB 7.3 MAT-file"
_SCRIPT = FilePath(__file__).with_name("hdf5_datasets.py")
_ALIGNED = 64


def sniff(head: bytes, filename: str) -> bool:  # noqa: ARG001  the name says nothing that the bytes do not
    """Return whether the first bytes are those of an HDF5 file, behind a preface or not."""
    return any(head.startswith(_MARK, place) for place in _PLACES)


def decode(data: bytes, filename: str, options: ReadOptions) -> Recording:
    """Return the recording in an HDF5 or MATLAB 7.3 file.

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
        ``needs-extra``, ``unreadable-recording``, ``too-large``, ``no-samples``; errors of the time stamps.
    """
    form = "MATLAB 7.3" if data.startswith(_MATLAB) else NAME
    require_package(PACKAGE, form, filename)
    with while_decoding(form, filename):
        answer, room = unpacked_aside(_SCRIPT, data)
        if "declared" in answer:
            require_bounded(answer["declared"], len(data), f"{filename}, {'/'.join(answer['at'])}")
        facts: dict[Path, Facts] = {tuple(path): said for path, said in answer["facts"]}
        series = _series(answer["datasets"], room)
    return recording_of_series(form, series, facts, filename, options)


def _series(datasets: list[dict[str, Any]], room: memoryview) -> list[Series]:
    """Return the series in the datasets that the script has laid out one after the other."""
    series: list[Series] = []
    place = 0
    for told in datasets:
        kind = np.lib.format.descr_to_dtype(_as_descr(told["kind"]))
        count = math.prod(told["shape"])
        values: NDArray[Any] = np.frombuffer(room, kind, count=count, offset=place)
        place += values.nbytes + -values.nbytes % _ALIGNED
        series += series_of(tuple(told["path"]), values.reshape(told["shape"]), told["facts"], told["lists"])
    return series


def _as_descr(kind: str | list[Any]) -> Any:  # noqa: ANN401  as the array format nests it
    """Return the description of a type as it was before it became JSON, which has lists for tuples."""
    if isinstance(kind, str):
        return kind
    return [(name, _as_descr(inner), *map(tuple, shape)) for name, inner, *shape in kind]
