"""The elements of a MATLAB file of version 5 to 7, as far as recordings need them.

A variable is an element: a tag with kind and size, then flags, dimensions, a name and numbers, again as
elements; a structure holds variables. Every size is compared with what is there before anything is
taken from it. Cells, sparse matrices and objects are passed over.

Layout after the published description of the level 5 MAT-file format (from memory).
"""

from __future__ import annotations

import math
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from tameshi.readers.foreign import require_bounded

Value = NDArray[Any] | str | dict[str, Any] | None

HEADER = 128
_TAG, _SMALL = 8, 4
_MATRIX, _COMPRESSED = 14, 15
_STRUCT, _CHAR = 2, 4
_NUMERIC = range(6, 16)
_IS_COMPLEX = 0x0800
_KINDS = {
    1: "i1",
    2: "u1",
    3: "i2",
    4: "u2",
    5: "i4",
    6: "u4",
    7: "f4",
    9: "f8",
    12: "i8",
    13: "u8",
    16: "u1",
    17: "u2",
    18: "u4",
}
_TEXTS = {16: "utf-8", 17: "utf-16", 18: "utf-32", 4: "utf-16"}
_MOST_DIMENSIONS, _MOST_FIELDS, _DEEPEST, _LONGEST_NAME = 32, 1000, 8, 64


@dataclass(frozen=True, slots=True)
class _Element:
    kind: int
    content: memoryview


@dataclass(frozen=True, slots=True)
class _Order:
    """Byte order: as a word for whole numbers and as a sign for arrays."""

    word: Literal["little", "big"]
    sign: str

    def number(self, content: memoryview) -> int:
        return int.from_bytes(content, self.word)

    def array(self, element: _Element) -> NDArray[Any]:
        kind = np.dtype(self.sign + _KINDS[element.kind])
        return np.frombuffer(element.content, kind, count=len(element.content) // kind.itemsize)


def variables(data: bytes, where: str) -> dict[str, Value]:
    """Return the variables of a file by name.

    Parameters
    ----------
    data : bytes
        The whole file.
    where : str
        Name of the file, for messages.

    Returns
    -------
    dict
        Arrays as they are shaped, words as str, structures as dicts; None where the kind is not read.

    Raises
    ------
    UnreadableError
        ``too-large`` where a compressed variable would unfold too far.
    ValueError, EOFError, KeyError, zlib.error
        Where the file is damaged.
    """
    order = _Order("little", "<") if data[HEADER - 2 : HEADER] == b"IM" else _Order("big", ">")
    found: dict[str, Value] = {}
    unfolded = 0
    for element in _elements(memoryview(data)[HEADER:], order):
        inner = element
        if element.kind == _COMPRESSED:
            inner = _unfolded(element, order, unfolded, len(data), where)
            unfolded += len(inner.content)
        if inner.kind == _MATRIX:
            name, value = _variable(inner.content, order, 0)
            found[name] = value
    return found


def _elements(content: memoryview, order: _Order) -> Iterator[_Element]:
    """Yield the elements that stand one behind the other."""
    place = 0
    while place + _TAG <= len(content):
        kind, size = order.number(content[place : place + 4]), order.number(content[place + 4 : place + _TAG])
        if kind >> 16:  # a small one: kind, size and content share eight bytes
            kind, size = kind & 0xFFFF, kind >> 16
            if size > _SMALL:
                raise ValueError("a small element is too large")
            yield _Element(kind, content[place + 4 : place + 4 + size])
            place += _TAG
            continue
        if place + _TAG + size > len(content):
            raise EOFError("its end is missing")
        yield _Element(kind, content[place + _TAG : place + _TAG + size])
        place += _TAG + size + (-size % _TAG if kind != _COMPRESSED else 0)


def _unfolded(element: _Element, order: _Order, before: int, present: int, where: str) -> _Element:
    """Return a compressed element unfolded, no further than it says at its start."""
    stream = zlib.decompressobj()
    start = stream.decompress(element.content[:1024], _TAG)
    if len(start) < _TAG:
        raise EOFError("a compressed variable has no start")
    size = int.from_bytes(start[4:_TAG], order.word)
    require_bounded(before + size, present, where)
    whole = zlib.decompressobj().decompress(element.content, _TAG + size)
    if len(whole) < _TAG + size:
        raise EOFError("a compressed variable is cut off")
    return _Element(int.from_bytes(start[:4], order.word), memoryview(whole)[_TAG:])


def _variable(content: memoryview, order: _Order, depth: int) -> tuple[str, Value]:
    """Return the name and value of a variable."""
    parts = _elements(content, order)
    flags = order.array(next(parts))
    shape = tuple(int(one) for one in order.array(next(parts)))
    name = bytes(next(parts).content).decode("ascii", errors="replace")
    kind = int(flags[0]) & 0xFF
    if len(shape) > _MOST_DIMENSIONS or min(shape, default=0) < 0:
        raise ValueError("its dimensions are impossible")
    if kind in _NUMERIC and not int(flags[0]) & _IS_COMPLEX:
        return name, _numbers(next(parts), order, shape)
    if kind == _CHAR:
        return name, _words(next(parts, None), order)
    if kind == _STRUCT and math.prod(shape) == 1 and depth < _DEEPEST:
        return name, _structure(parts, order, depth)
    return name, None


def _numbers(element: _Element, order: _Order, shape: tuple[int, ...]) -> NDArray[Any]:
    values = order.array(element)
    count = math.prod(shape)
    if count > len(values):
        raise ValueError(f"{count} values are promised and {len(values)} are there")
    return values[:count].reshape(shape, order="F")


def _words(element: _Element | None, order: _Order) -> str:
    if element is None:
        return ""
    if element.kind in _TEXTS and _TEXTS[element.kind] != "utf-8":
        encoding = f"{_TEXTS[element.kind]}-{'le' if order.sign == '<' else 'be'}"
        return bytes(element.content).decode(encoding, errors="replace")
    return bytes(element.content).decode("utf-8", errors="replace")


def _structure(parts: Iterator[_Element], order: _Order, depth: int) -> dict[str, Any]:
    """Return the fields of a structure of one row."""
    length = order.number(next(parts).content)
    if not 0 < length <= _LONGEST_NAME:
        raise ValueError("its field names are impossible")
    packed = bytes(next(parts).content)
    names = [
        packed[at : at + length].split(b"\0")[0].decode("ascii", errors="replace")
        for at in range(0, min(len(packed), _MOST_FIELDS * length), length)
    ]
    fields = (one for one in parts if one.kind == _MATRIX)
    return {
        name: _variable(one.content, order, depth + 1)[1] if len(one.content) else None
        for name, one in zip(names, fields, strict=False)
    }
