"""Read HDF5, and with it MATLAB 7.3: datasets in groups, with attributes.

Only what lies in the file itself is followed: links to other files, samples stored in other files and
virtual datasets are passed over. Sizes are weighed before anything is unpacked.
"""

from __future__ import annotations

import io
import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from tameshi.readers.foreign import library, require_bounded, while_decoding
from tameshi.readers.recording import ReadOptions, Recording
from tameshi.readers.tree import Facts, Lists, Path, Series, recording_of_series, series_of

NAME = "HDF5"
PACKAGE = "h5py"

_MARK = b"\x89HDF\r\n\x1a\n"
_PLACES = (0, 512, 1024, 2048, 4096, 8192, 16_384, 32_768)
_MATLAB = b"MATLAB 7.3 MAT-file"
_MOST_OBJECTS, _DEEPEST = 4096, 16
_LONGEST_WORDS = 256
_LARGEST_ATTRIBUTE = 65_536
_ROOM_OF_A_CHUNK = 4096


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
    h5py = library(PACKAGE, form, filename)
    found = _Found(h5py, len(data), filename)
    with while_decoding(form, filename), h5py.File(io.BytesIO(data), "r") as file:
        _walk(file, (), found)
    return recording_of_series(form, found.series, found.facts, filename, options)


@dataclass(slots=True)
class _Found:
    """What a walk through a file has come upon."""

    h5py: Any
    size: int
    filename: str
    series: list[Series] = field(default_factory=list)
    facts: dict[Path, dict[str, float | str]] = field(default_factory=dict)
    seen: set[Any] = field(default_factory=set)
    unpacked: int = 0


def _walk(group: Any, path: Path, found: _Found) -> None:  # noqa: ANN401  the library is untyped
    """Note the datasets of a group and of the groups in it."""
    found.facts.setdefault(path, {}).update(_attributes(group))
    for name in group:
        if len(found.seen) >= _MOST_OBJECTS or len(path) >= _DEEPEST:
            return
        if not isinstance(name, str) or name.startswith("#"):
            continue
        if not isinstance(group.get(name, getlink=True), found.h5py.HardLink):
            continue  # a link may lead out of the file
        item = group[name]
        info = found.h5py.h5o.get_info(item.id)
        if (info.fileno, info.addr) in found.seen:  # groups can hold themselves
            continue
        found.seen.add((info.fileno, info.addr))
        if isinstance(item, found.h5py.Group):
            _walk(item, (*path, name), found)
        elif isinstance(item, found.h5py.Dataset):
            _note(item, (*path, name), found)


def _note(dataset: Any, path: Path, found: _Found) -> None:  # noqa: ANN401
    """Note a dataset: a series, or a single number or word that says something of its group."""
    if dataset.is_virtual or dataset.external or dataset.shape is None:
        return
    where = f"{found.filename}, {'/'.join(path)}"
    facts = _attributes(dataset)
    is_words = facts.get("MATLAB_class") == "char" or dataset.dtype.kind in "OSU"
    if is_words:
        if dataset.size <= _LONGEST_WORDS:
            found.facts[path[:-1]][path[-1]] = _words(dataset[()])
        return
    size = max(8, dataset.dtype.itemsize)
    found.unpacked += dataset.size * size
    require_bounded(found.unpacked, found.size, where)
    with while_decoding(NAME, where):
        _require_bounded_chunks(dataset, found.size, where)
        values = np.asarray(dataset[()])
    if values.size == 1 and values.dtype.kind in "iuf":
        found.facts[path[:-1]][path[-1]] = float(values.reshape(-1)[0])
        beside = {f"{path[-1]}_{name}": value for name, value in facts.items() if name in ("unit", "units")}
        found.facts[path[:-1]].update(beside)
    elif values.size == 1 and values.dtype.names:
        found.facts[path[:-1]].update(_settings(values.reshape(-1)[0]))
    elif values.ndim:
        found.series += series_of(path, values, facts, _lists(dataset))


def _require_bounded_chunks(dataset: Any, present: int, where: str) -> None:  # noqa: ANN401
    """Refuse compressed pieces that are larger than what they should unfold to: they would not stop there."""
    if not dataset.chunks:
        return
    unfolded = math.prod(dataset.chunks) * dataset.dtype.itemsize
    require_bounded(unfolded, present, where)
    stored: list[int] = []
    dataset.id.chunk_iter(lambda piece: stored.append(piece.size))
    if max(stored, default=0) > 2 * unfolded + _ROOM_OF_A_CHUNK:
        raise ValueError("a compressed piece is larger than its samples")


def _attributes(item: Any) -> Facts:  # noqa: ANN401
    """Return the attributes that are one number or one word."""
    facts: dict[str, float | str] = {}
    for name, value in _stored(item):
        if np.size(value) != 1:
            continue
        if np.asarray(value).dtype.kind in "SUO":
            facts[name] = _words(value)
        elif np.asarray(value).dtype.kind in "iuf":
            facts[name] = float(np.asarray(value).reshape(-1)[0])
    return facts


def _lists(item: Any) -> Lists:  # noqa: ANN401
    """Return the attributes that are several numbers or words: one for each column."""
    lists: dict[str, tuple[float | str, ...]] = {}
    for name, value in _stored(item):
        several = np.asarray(value).reshape(-1)[:_LONGEST_WORDS]
        if several.size > 1 and several.dtype.kind in "SUO":
            lists[name] = tuple(_words(word) for word in several)
        elif several.size > 1 and several.dtype.kind in "iuf":
            lists[name] = tuple(float(number) for number in several)
    return lists


def _stored(item: Any) -> Iterator[tuple[str, Any]]:  # noqa: ANN401
    """Yield the attributes that are no larger than a few words or numbers."""
    for name in item.attrs:
        if not isinstance(name, str):  # no characters of any encoding
            continue
        if item.attrs.get_id(name).get_storage_size() <= _LARGEST_ATTRIBUTE:
            yield name, item.attrs[name]


def _settings(row: Any) -> Facts:  # noqa: ANN401
    """Return the single numbers and words in a row with fields."""
    facts: dict[str, float | str] = {}
    for name in row.dtype.names:
        kind = np.asarray(row[name]).dtype.kind
        if np.size(row[name]) == 1 and kind in "iufSUO":
            facts[name] = _words(row[name]) if kind in "SUO" else float(row[name])
    return facts


def _words(value: Any) -> str:  # noqa: ANN401
    """Return stored words, characters given as numbers included."""
    if isinstance(value, np.ndarray):
        if value.dtype.kind in "ui":
            return "".join(chr(int(one)) for one in value.reshape(-1)[:_LONGEST_WORDS])
        value = value.reshape(-1)[0] if value.size else ""
    if isinstance(value, bytes):
        return value.decode("utf-8", errors="replace")[:_LONGEST_WORDS]
    return str(value)[:_LONGEST_WORDS]
