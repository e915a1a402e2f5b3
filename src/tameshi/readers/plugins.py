"""Readers that other packages bring: entry points of the group ``tameshi.readers``.

They are loaded when a recording is read, not before. A reader that cannot be loaded or asked is passed
over with a flag; one that takes a file and then breaks is named in the refusal.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass
from functools import lru_cache
from importlib.metadata import EntryPoint, entry_points
from typing import Protocol, cast

from tameshi.errors import Flag, TameshiError, UnreadableError
from tameshi.readers.recording import ReadOptions, Recording

GROUP = "tameshi.readers"
_LONGEST_REASON = 120


class Reader(Protocol):
    """What a reader has: a module with these three names, or any object."""

    NAME: str

    def sniff(self, head: bytes, filename: str) -> bool:
        """Return whether the first bytes of a file are of this form."""

    def decode(self, data: bytes, filename: str, options: ReadOptions) -> Recording:
        """Return the recording in a file."""


@dataclass(frozen=True, slots=True)
class Brought:
    """A reader from another package.

    Parameters
    ----------
    name : str
        Of the entry point.
    reader : Reader
    """

    name: str
    reader: Reader


def brought_readers() -> tuple[list[Brought], list[Flag]]:
    """Return the readers that installed packages bring, and a flag for each that does not load."""
    found: list[Brought] = []
    flags: list[Flag] = []
    for point in _points(tuple(sys.path)):
        loaded = _loaded(point)
        if isinstance(loaded, Flag):
            flags.append(loaded)
        else:
            found.append(Brought(point.name, loaded))
    return found, flags


@lru_cache(maxsize=8)
def _points(places: tuple[str, ...]) -> tuple[EntryPoint, ...]:  # noqa: ARG001  what was found belongs to them
    """Return the entry points there are: looking through all packages takes as long as 2 MB of text."""
    return tuple(sorted(entry_points(group=GROUP), key=lambda one: one.name))


def _loaded(point: EntryPoint) -> Reader | Flag:
    try:
        reader = point.load()
    except Exception as error:  # noqa: BLE001  foreign code may raise anything
        return skipped(point.name, f"it does not load: {_reason(error)}")
    missing = [name for name in ("NAME", "sniff", "decode") if not hasattr(reader, name)]
    if missing:
        return skipped(point.name, f"it has no {' and no '.join(missing)}")
    return cast("Reader", reader)


def asks(brought: Brought, head: bytes, filename: str) -> bool | Flag:
    """Return whether a brought reader takes a file, or a flag where it breaks over the question."""
    try:
        return bool(brought.reader.sniff(head, filename))
    except Exception as error:  # noqa: BLE001  foreign code may raise anything
        return skipped(brought.name, f"it broke when it was asked: {_reason(error)}")


def decoded(brought: Brought, data: bytes, filename: str, options: ReadOptions) -> Recording:
    """Return what a brought reader makes of a file.

    Raises
    ------
    UnreadableError
        ``reader-failed`` where it breaks or returns no recording; its own errors where they are ours.
    """
    try:
        recording = brought.reader.decode(data, filename, options)
    except TameshiError:
        raise
    except Exception as error:
        raise _failed(brought, filename, _reason(error)) from error
    if not isinstance(recording, Recording) or not recording.channels:
        raise _failed(brought, filename, "it returned no recording")
    return recording


def skipped(name: str, reason: str) -> Flag:
    """Return the flag about a reader that was passed over."""
    return Flag("reader-skipped", f"The installed reader {name!r} was passed over: {reason}.")


def _failed(brought: Brought, filename: str, reason: str) -> UnreadableError:
    return UnreadableError(
        "reader-failed",
        f"{filename}: the installed reader {brought.name!r} failed: {reason}.",
        hint="Tell whoever wrote that reader, or uninstall it.",
    )


def _reason(error: Exception) -> str:
    words = " ".join(str(error).split())[:_LONGEST_REASON].rstrip(".")
    return f"{type(error).__name__}: {words}" if words else type(error).__name__
