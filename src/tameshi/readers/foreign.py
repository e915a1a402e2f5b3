"""What readers that lean on a library share: loading it late, bounding what a file claims, faults.

A damaged file must not take memory that its header only promises. What a file declares is weighed
before anything is unpacked; what the library then still stumbles over becomes one clear refusal.
"""

from __future__ import annotations

import importlib
import importlib.util
import struct
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from types import ModuleType

from tameshi.errors import TameshiError, UnreadableError

_FAULTS: tuple[type[BaseException], ...] = (
    ArithmeticError,
    AssertionError,
    AttributeError,
    BufferError,
    EOFError,
    LookupError,
    MemoryError,
    OSError,
    RuntimeError,
    SyntaxError,
    TypeError,
    ValueError,
    struct.error,
    zlib.error,
)
ALWAYS_ALLOWED = 256 * 2**20
MOST_UNFOLDING = 50
_LONGEST_REASON = 120


def library(package: str, form: str, filename: str) -> ModuleType:
    """Return a package that only some installations have.

    Parameters
    ----------
    package, form, filename : str
        Name of the package, of the form it reads, and of the file that needs it.

    Raises
    ------
    UnreadableError
        ``needs-extra``; the hint names what to install.
    """
    try:
        return importlib.import_module(package)
    except ImportError as error:
        raise _needs_extra(package, form, filename) from error


def require_package(package: str, form: str, filename: str) -> None:
    """Refuse a file whose package is not installed, without loading it: another process will.

    Parameters
    ----------
    package, form, filename : str
        As for :func:`library`.

    Raises
    ------
    UnreadableError
        ``needs-extra``; the hint names what to install.
    """
    if importlib.util.find_spec(package) is None:
        raise _needs_extra(package, form, filename)


def _needs_extra(package: str, form: str, filename: str) -> UnreadableError:
    return UnreadableError(
        "needs-extra",
        f"{filename} is a recording in {form}, and the package {package} that reads it is not installed.",
        hint='Install it: pip install "tameshi[formats]"',
    )


@contextmanager
def while_decoding(form: str, where: str, *others: type[BaseException]) -> Iterator[None]:
    """Turn what a library raises over a damaged file into a refusal of ours.

    Parameters
    ----------
    form, where : str
        Name of the form; name of the file, and of the dataset where there is one.
    *others : type of BaseException
        Errors of the library that are no common ones.

    Raises
    ------
    UnreadableError
        ``unreadable-recording``.
    """
    try:
        yield
    except TameshiError:
        raise
    except _FAULTS + others as error:
        reason = " ".join(str(error).split())[:_LONGEST_REASON].rstrip(".") or type(error).__name__
        raise UnreadableError(
            "unreadable-recording",
            f"{where} is damaged or in a kind of {form} that is not read here: {reason}.",
            hint="Copy it again from the recorder, or export it as delimited text.",
        ) from error


def most_unpacked(present: int) -> int:
    """Return how many bytes of samples a file of so many bytes may unfold to."""
    return max(ALWAYS_ALLOWED, MOST_UNFOLDING * present)


def require_bounded(declared: int, present: int, where: str) -> None:
    """Refuse samples that would take more memory than such a file can mean.

    Parameters
    ----------
    declared : int
        Bytes that would be unpacked.
    present : int
        Bytes the file has.
    where : str
        File, and dataset where there is one.

    Raises
    ------
    UnreadableError
        ``too-large``.
    """
    most = most_unpacked(present)
    if not 0 <= declared <= most:
        raise UnreadableError(
            "too-large",
            f"{where} promises {declared:.3g} bytes of samples in {present} bytes of file; {most:.3g} are "
            "unpacked at most.",
            hint="The header is damaged, or the recording is longer than can be read at once: export a part.",
        )


def cut_off(filename: str, promised: int, present: int) -> str:
    """Return the sentence about a file that is shorter than its header says."""
    return f"{filename} promises {promised} bytes of samples and holds {present}: it is cut off."
