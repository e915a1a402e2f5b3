"""Read a file whole, or say why not."""

import os
import stat
from pathlib import Path

from tameshi.errors import UnreadableError, WrongUseError
from tameshi.files.refusal import while_reading


def read_bytes(path: Path, *, limit: int) -> bytes:
    """Return the content of a file.

    Parameters
    ----------
    path : Path
        A regular file; links are followed.
    limit : int
        Most bytes to read; a larger file is refused before any of it is read.

    Raises
    ------
    WrongUseError
        ``no-such-file``, ``is-a-folder``, ``not-a-file`` (a device or a pipe), ``bad-path``.
    UnreadableError
        ``no-permission``, ``too-large``, ``changed-while-reading``, ``vanished``, ``read-failed``.
    """
    with while_reading(path):
        # looked at before it is opened: opening a pipe would wait for whoever writes into it
        _refuse_what_is_no_file(path, path.stat().st_mode)
        with path.open("rb") as stream:
            before = os.fstat(stream.fileno())
            if before.st_size > limit:
                raise _too_large(path, before.st_size, limit)
            data = stream.read(limit + 1)
            after = os.fstat(stream.fileno())
    if len(data) != before.st_size or after.st_mtime_ns != before.st_mtime_ns:
        raise UnreadableError(
            "changed-while-reading",
            f"{str(path)!r} changed while it was being read.",
            hint="Wait until whatever records into it has finished, then try again.",
        )
    return data


def _refuse_what_is_no_file(path: Path, mode: int) -> None:
    if stat.S_ISDIR(mode):
        raise WrongUseError("is-a-folder", f"{str(path)!r} is a folder.", hint="Name the files in it.")
    if not stat.S_ISREG(mode):
        raise WrongUseError(
            "not-a-file", f"{str(path)!r} is a device or a pipe.", hint="Save what it gives to a file first."
        )


def _too_large(path: Path, size: int, limit: int) -> UnreadableError:
    return UnreadableError(
        "too-large",
        f"{str(path)!r} has {_in_mb(size)}; at most {_in_mb(limit)} are read here.",
        hint="Cut it into shorter pieces.",
    )


def _in_mb(size: int) -> str:
    """Return a size in megabytes of a million bytes, to three figures."""
    return f"{size / 1e6:.3g} MB"
