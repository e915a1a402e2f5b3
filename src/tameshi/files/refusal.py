"""What the operating system refuses, in our words: one table from error numbers to sentences.

Reading and writing have a table each, because the same number means different things to a person:
a missing file is a wrong name when read, a missing folder when written.
"""

import errno
import os
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from tameshi.errors import TameshiError, UnreadableError, WrongUseError


@dataclass(frozen=True, slots=True)
class _Refusal:
    """An error class, its code, the rest of the sentence after the path, and what to do."""

    error: type[TameshiError]
    code: str
    what: str
    hint: str


_NO_SUCH_FILE = _Refusal(
    WrongUseError, "no-such-file", "does not exist.", "Check the name and the folder it is in."
)
_NO_PERMISSION = _Refusal(
    UnreadableError,
    "no-permission",
    "may not be read by you.",
    "Ask its owner, or copy it where you may read.",
)
_GONE = _Refusal(
    UnreadableError, "vanished", "went away while it was being read.", "Connect its disk again and retry."
)
_BAD_NAME = _Refusal(
    WrongUseError, "bad-path", "is not a name a file can have.", "Choose a shorter, plain name."
)
_DISK_FULL = _Refusal(
    TameshiError,
    "disk-full",
    "could not be written: the disk, or your share of it, is full.",
    "Free some space or choose another disk. What was there before is unchanged.",
)
_READ_ONLY = _Refusal(
    TameshiError,
    "read-only",
    "could not be written: it, its folder or its disk is read-only to you.",
    "Choose a place where you may write, or copy the folder to one.",
)
_NO_SUCH_FOLDER = _Refusal(
    WrongUseError,
    "no-such-folder",
    "could not be written: its folder does not exist.",
    "Make the folder first, or check the path.",
)
_FOLDER_IN_THE_WAY = _Refusal(
    WrongUseError, "is-a-folder", "could not be written: it is a folder.", "Give the name of a file."
)

_READING: Mapping[int, _Refusal] = {
    errno.ENOENT: _NO_SUCH_FILE,
    errno.ENOTDIR: _NO_SUCH_FILE,
    errno.EACCES: _NO_PERMISSION,
    errno.EPERM: _NO_PERMISSION,
    errno.ESTALE: _GONE,
    errno.ENODEV: _GONE,
    errno.ENXIO: _GONE,
    errno.ELOOP: _BAD_NAME,
    errno.ENAMETOOLONG: _BAD_NAME,
}
_WRITING: Mapping[int, _Refusal] = {
    errno.ENOSPC: _DISK_FULL,
    errno.EFBIG: _DISK_FULL,
    errno.EDQUOT: _DISK_FULL,
    errno.EROFS: _READ_ONLY,
    errno.EACCES: _READ_ONLY,
    errno.EPERM: _READ_ONLY,
    errno.ENOENT: _NO_SUCH_FOLDER,
    errno.ENOTDIR: _NO_SUCH_FOLDER,
    errno.EISDIR: _FOLDER_IN_THE_WAY,
    errno.ELOOP: _BAD_NAME,
    errno.ENAMETOOLONG: _BAD_NAME,
}


@contextmanager
def while_reading(path: Path) -> Iterator[None]:
    """Turn what the operating system refuses inside into errors about reading ``path``."""
    _refuse_impossible(path)
    try:
        yield
    except OSError as error:
        other = _Refusal(
            UnreadableError, "read-failed", f"could not be read: {_reason(error)}.", "Try a copy of the file."
        )
        raise _as_error(path, _READING.get(error.errno or 0, other)) from error


@contextmanager
def while_writing(path: Path) -> Iterator[None]:
    """Turn what the operating system refuses inside into errors about writing ``path``."""
    _refuse_impossible(path)
    try:
        yield
    except OSError as error:
        other = _Refusal(
            TameshiError,
            "write-failed",
            f"could not be written: {_reason(error)}.",
            "Choose another place. What was there before is unchanged.",
        )
        raise _as_error(path, _WRITING.get(error.errno or 0, other)) from error


def folder_in_the_way(path: Path) -> TameshiError:
    """Return the error for a folder where a file was to be written."""
    return _as_error(path, _FOLDER_IN_THE_WAY)


def read_only(path: Path) -> TameshiError:
    """Return the error for a place that may not be written."""
    return _as_error(path, _READ_ONLY)


def _refuse_impossible(path: Path) -> None:
    """Refuse what Python rejects before the operating system sees it, with a ValueError."""
    try:
        possible = b"\0" not in os.fsencode(path)
    except UnicodeEncodeError:
        possible = False
    if not possible:
        raise _as_error(path, _BAD_NAME)


def _as_error(path: Path, refusal: _Refusal) -> TameshiError:
    return refusal.error(refusal.code, f"{str(path)!r} {refusal.what}", hint=refusal.hint)


def _reason(error: OSError) -> str:
    return (error.strerror or str(error)).lower()
