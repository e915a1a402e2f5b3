"""Write a file whole or not at all.

The content goes to a temporary file in the same folder, is flushed to the disk, and takes the
file's name in one step; the folder is flushed last. Whatever fails on the way, the old file is
intact and the temporary one is gone. Only a killed process or a power cut can leave one behind:
it is recognised by :func:`is_leftover` and never mistaken for content.
"""

import errno
import os
import secrets
import stat
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import BinaryIO

from tameshi.files.refusal import folder_in_the_way, read_only, while_writing

_PREFIX, _SUFFIX = ".tameshi-", ".part"
_WRITE_BITS = stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH


def write_atomic(path: Path, data: bytes, *, protect: bool = False) -> None:
    """Write a file, or leave what was there as it was.

    Parameters
    ----------
    path : Path
        File to make or to replace. A link is followed; a device such as ``/dev/stdout`` is
        written straight into.
    data : bytes
    protect : bool
        Take away everybody's permission to write to it.

    Raises
    ------
    WrongUseError
        ``is-a-folder``, ``no-such-folder``, ``bad-path``.
    TameshiError
        ``disk-full``, ``read-only``, ``write-failed``.
    """
    with open_atomic(path, protect=protect) as stream:
        stream.write(data)


@contextmanager
def open_atomic(path: Path, *, protect: bool = False) -> Iterator[BinaryIO]:
    """Open a file for writing that takes its name only when the block ends without an error.

    Parameters and errors are those of :func:`write_atomic`.
    """
    with while_writing(path):
        mode = _mode_of(path)
        if mode is None or stat.S_ISREG(mode):
            with _replacing(path.resolve(), mode, protect=protect) as stream:
                yield stream
        elif stat.S_ISDIR(mode):
            raise folder_in_the_way(path)
        else:  # a device or a pipe has no old content to keep
            with path.open("wb") as stream:
                yield stream


def may_be_written(path: Path) -> bool:
    """Whether the permissions and the disk let this process write to a file or into a folder."""
    return os.access(path, os.W_OK)


def is_leftover(path: Path) -> bool:
    """Whether a file is what an interrupted write left behind."""
    return path.name.startswith(_PREFIX) and path.name.endswith(_SUFFIX)


def flush_folder(folder: Path) -> None:
    """Make names in a folder survive a power cut, where the system can do that."""
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:  # not to be opened: a folder that may be written but not read, or not a POSIX system
        return
    try:
        os.fsync(handle)
    except OSError as error:
        if error.errno != errno.EINVAL:  # some network disks have no such thing
            raise
    finally:
        os.close(handle)


@contextmanager
def _replacing(target: Path, old_mode: int | None, *, protect: bool) -> Iterator[BinaryIO]:
    # renaming would get round the protection of the old file, so ask first
    if old_mode is not None and not may_be_written(target):
        raise read_only(target)
    temporary = target.with_name(f"{_PREFIX}{secrets.token_hex(8)}{_SUFFIX}")
    try:
        with temporary.open("xb") as stream:
            yield stream
            _set_mode(temporary, old_mode, protect=protect)
            stream.flush()
            os.fsync(stream.fileno())
        temporary.replace(target)
    except BaseException:
        with suppress(OSError):
            temporary.unlink()
        raise
    flush_folder(target.parent)


def _set_mode(temporary: Path, old_mode: int | None, *, protect: bool) -> None:
    mode = stat.S_IMODE(temporary.stat().st_mode if old_mode is None else old_mode)
    temporary.chmod(mode & ~_WRITE_BITS if protect else mode)


def _mode_of(path: Path) -> int | None:
    """Return type and permissions of what has this name; None where nothing has."""
    try:
        return path.stat().st_mode
    except FileNotFoundError:
        return None
