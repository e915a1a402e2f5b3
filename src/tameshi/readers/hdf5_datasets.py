"""Unpack an HDF5 file in a process of its own: the file on standard input, datasets on standard output.

Damaged files can make the library write past the end of memory, or not come back. Run as a script, it is
this process that ends, and whoever started it says so in a sentence. The first line of the answer is JSON:
``refused`` with a reason, ``declared`` with a size that is too large, or what is said of folders and
datasets, whose bytes follow, each at a multiple of 64.

Only what lies in the file itself is followed: links to other files, samples stored in other files and virtual
datasets are passed over. Sizes are weighed before anything is unpacked.
"""

from __future__ import annotations

import contextlib
import io
import json
import math
import sys
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

import h5py
import numpy as np
from numpy.typing import NDArray

Facts = dict[str, float | str]
Path = tuple[str, ...]

_MOST_OBJECTS, _DEEPEST = 4096, 16
_LONGEST_WORDS = 256
_LARGEST_ATTRIBUTE = 65_536
_ROOM_OF_A_CHUNK = 4096
_ROOM = 8 * 2**30
_ALIGNED = 64


class TooLargeError(Exception):
    """More than may be unpacked: how many bytes, and which dataset."""


@dataclass(slots=True)
class Found:
    """What a walk through a file has come upon."""

    most: int
    datasets: list[tuple[dict[str, Any], NDArray[Any]]] = field(default_factory=list)
    facts: dict[Path, Facts] = field(default_factory=dict)
    seen: set[Any] = field(default_factory=set)
    unpacked: int = 0


def main() -> None:
    """Answer; the argument is the most bytes that may be unpacked."""
    most = int(sys.argv[1])
    with contextlib.suppress(ImportError, ValueError, OSError):  # where the system has no such limits
        import resource  # noqa: PLC0415

        resource.setrlimit(resource.RLIMIT_AS, (4 * most + _ROOM, 4 * most + _ROOM))
    found, answer = Found(most), {}
    try:
        with h5py.File(io.BytesIO(sys.stdin.buffer.read()), "r") as file:
            walk(file, (), found)
    except TooLargeError as error:
        answer = {"declared": error.args[0], "at": error.args[1]}
    except Exception as error:  # noqa: BLE001  the library may raise anything over a damaged file
        answer = {"refused": str(error) or type(error).__name__}
    if not answer:
        answer = {"facts": list(found.facts.items()), "datasets": [told for told, _ in found.datasets]}
    line = json.dumps(answer).encode()
    out = sys.stdout.buffer
    out.write(line + b" " * (-(len(line) + 1) % _ALIGNED) + b"\n")
    for _, values in found.datasets:
        out.write(np.ascontiguousarray(values).tobytes())
        out.write(bytes(-values.nbytes % _ALIGNED))


def walk(group: Any, path: Path, found: Found) -> None:  # noqa: ANN401  the library is untyped
    """Note the datasets of a group and of the groups in it."""
    found.facts.setdefault(path, {}).update(attributes(group))
    for name in group:
        if len(found.seen) >= _MOST_OBJECTS or len(path) >= _DEEPEST:
            return
        if not isinstance(name, str) or name.startswith("#"):
            continue
        if not isinstance(group.get(name, getlink=True), h5py.HardLink):
            continue  # a link may lead out of the file
        item = group[name]
        info = h5py.h5o.get_info(item.id)
        if (info.fileno, info.addr) in found.seen:  # groups can hold themselves
            continue
        found.seen.add((info.fileno, info.addr))
        if isinstance(item, h5py.Group):
            walk(item, (*path, name), found)
        elif isinstance(item, h5py.Dataset):
            note(item, (*path, name), found)


def note(dataset: Any, path: Path, found: Found) -> None:  # noqa: ANN401
    """Note a dataset: a series, or a single number or word that says something of its group."""
    if dataset.is_virtual or dataset.external or dataset.shape is None:
        return
    facts = attributes(dataset)
    if facts.get("MATLAB_class") == "char" or dataset.dtype.kind in "OSU":
        if dataset.size <= _LONGEST_WORDS:
            found.facts[path[:-1]][path[-1]] = words(dataset[()])
        return
    found.unpacked += dataset.size * max(8, dataset.dtype.itemsize)
    require_bounded(found.unpacked, path, found)
    require_fields_apart(dataset.dtype)
    require_bounded_chunks(dataset, path, found)
    values = np.asarray(dataset[()])
    if values.size == 1 and values.dtype.kind in "iuf":
        found.facts[path[:-1]][path[-1]] = float(values.reshape(-1)[0])
        beside = {f"{path[-1]}_{name}": value for name, value in facts.items() if name in ("unit", "units")}
        found.facts[path[:-1]].update(beside)
    elif values.size == 1 and values.dtype.names:
        found.facts[path[:-1]].update(settings(values.reshape(-1)[0]))
    elif values.ndim and (values.dtype.names or values.dtype.kind in "biuf"):
        plain = plain_numbers(values)
        told = {
            "path": path,
            "kind": np.lib.format.dtype_to_descr(plain.dtype),
            "shape": plain.shape,
            "facts": facts,
            "lists": lists(dataset),
        }
        found.datasets.append((told, plain))


def require_bounded(declared: int, path: Path, found: Found) -> None:
    """Refuse to unpack more than may be."""
    if not 0 <= declared <= found.most:
        raise TooLargeError(declared, path)


def require_fields_apart(kind: np.dtype[Any]) -> None:
    """Refuse rows whose fields overlap: reading them writes past the end of memory, found by fuzzing."""
    if not kind.names or kind.fields is None:
        return
    end = 0
    for inner, offset, *_ in sorted(kind.fields.values(), key=lambda placed: placed[1]):
        if offset < end:
            raise ValueError("the fields of a row overlap")
        end = offset + inner.itemsize
        require_fields_apart(inner.base)
    if end > kind.itemsize:
        raise ValueError("the fields of a row are longer than the row")


def require_bounded_chunks(dataset: Any, path: Path, found: Found) -> None:  # noqa: ANN401
    """Refuse compressed pieces that are larger than what they should unfold to: they would not stop there."""
    if not dataset.chunks:
        return
    unfolded = math.prod(dataset.chunks) * dataset.dtype.itemsize
    require_bounded(unfolded, path, found)
    stored: list[int] = []
    dataset.id.chunk_iter(lambda piece: stored.append(piece.size))
    if max(stored, default=0) > 2 * unfolded + _ROOM_OF_A_CHUNK:
        raise ValueError("a compressed piece is larger than its samples")


def plain_numbers(values: NDArray[Any]) -> NDArray[Any]:
    """Return numbers as they are, rows with fields with a blank in place of what is no number."""
    kind = plain_kind(values.dtype)
    if not values.dtype.names:
        return values.astype(kind, copy=False)
    plain = np.zeros(values.shape, kind)
    copy_fields(values, plain)
    return plain


def copy_fields(values: NDArray[Any], plain: NDArray[Any]) -> None:
    """Fill in the fields that hold numbers."""
    for name in values.dtype.names or ():
        inner = plain.dtype[name]
        if inner.names:
            copy_fields(values[name], plain[name])
        elif inner.base.kind in "biuf":
            plain[name] = values[name]


def plain_kind(kind: np.dtype[Any]) -> np.dtype[Any]:
    """Return the type without what the library notes in it, with a single byte for what is no number."""
    if kind.subdtype is not None:
        base, shape = kind.subdtype
        return np.dtype((plain_kind(base), shape))
    if kind.names:
        return np.dtype([(name, plain_kind(kind[name])) for name in kind.names])
    return np.dtype(kind.str) if kind.kind in "biuf" else np.dtype("S1")


def attributes(item: Any) -> Facts:  # noqa: ANN401
    """Return the attributes that are one number or one word."""
    facts: Facts = {}
    for name, value in stored(item):
        if np.size(value) != 1:
            continue
        if np.asarray(value).dtype.kind in "SUO":
            facts[name] = words(value)
        elif np.asarray(value).dtype.kind in "iuf":
            facts[name] = float(np.asarray(value).reshape(-1)[0])
    return facts


def lists(item: Any) -> dict[str, list[float | str]]:  # noqa: ANN401
    """Return the attributes that are several numbers or words: one for each column."""
    found: dict[str, list[float | str]] = {}
    for name, value in stored(item):
        several = np.asarray(value).reshape(-1)[:_LONGEST_WORDS]
        if several.size > 1 and several.dtype.kind in "SUO":
            found[name] = [words(word) for word in several]
        elif several.size > 1 and several.dtype.kind in "iuf":
            found[name] = [float(number) for number in several]
    return found


def stored(item: Any) -> Iterator[tuple[str, Any]]:  # noqa: ANN401
    """Yield the attributes that are no larger than a few words or numbers."""
    for name in item.attrs:
        if not isinstance(name, str):  # no characters of any encoding
            continue
        held = item.attrs.get_id(name)
        size = max(held.get_storage_size(), math.prod(held.shape) * held.dtype.itemsize)
        if size <= _LARGEST_ATTRIBUTE and not held.dtype.names:
            yield name, item.attrs[name]


def settings(row: Any) -> Facts:  # noqa: ANN401
    """Return the single numbers and words in a row with fields."""
    facts: Facts = {}
    for name in row.dtype.names:
        kind = np.asarray(row[name]).dtype.kind
        if np.size(row[name]) == 1 and kind in "iufSUO":
            facts[name] = words(row[name]) if kind in "SUO" else float(row[name])
    return facts


def words(value: Any) -> str:  # noqa: ANN401
    """Return stored words, characters given as numbers included."""
    if isinstance(value, np.ndarray):
        if value.dtype.kind in "ui":
            return "".join(chr(int(one)) for one in value.reshape(-1)[:_LONGEST_WORDS])
        value = value.reshape(-1)[0] if value.size else ""
    if isinstance(value, bytes):
        return value.decode("utf-8", errors="replace")[:_LONGEST_WORDS]
    return str(value)[:_LONGEST_WORDS]


if __name__ == "__main__":
    main()
