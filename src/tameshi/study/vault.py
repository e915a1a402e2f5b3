"""Files named after their own content: written once, flushed, write-protected, checked when read.

A file stands at ``<root>/ab/abcd....ext``, ``abcd...`` being its SHA-256 and ``.ext`` the ending it
came with. Because the name follows from the content, writing the same thing twice, or from two
programs at once, cannot do harm.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from tameshi.errors import StudyError, TameshiError, UnreadableError, WrongUseError
from tameshi.files import make_folder, read_bytes, sha256_of, sha256_of_file, write_atomic
from tameshi.study.names import extension

Word = Literal["original", "derived"]
State = Literal["sound", "changed", "missing", "unreadable"]

LARGEST = 2**30
"""Most bytes of one file: it is held in memory to be hashed, read and measured."""

REMEDY: Mapping[Word, str] = {
    "original": "Move what is left of it away and add the file again from where it came.",
    "derived": "Measure again: it will be made anew.",
}


@dataclass(frozen=True, slots=True)
class Vault:
    """A folder of files named after their content.

    Parameters
    ----------
    root : Path
    word : "original" or "derived"
        What its files are; error codes start with it.
    """

    root: Path
    word: Word

    def place(self, sha256: str, name: str) -> Path:
        """Return where a content stands."""
        return self.root / sha256[:2] / f"{sha256}{extension(name)}"


def keep(vault: Vault, data: bytes, *, name: str, sha256: str) -> bool:
    """Put a content on the disk for good; return False where it is there already.

    When it returns, the content, its name and its folder have been flushed to the disk.

    Raises
    ------
    StudyError
        ``original-changed`` if another content stands in an original's place (a derived file is
        made anew), ``disk-full``, ``read-only``.
    """
    path = vault.place(sha256, name)
    found = state(path, sha256)
    if found == "sound":
        return False
    if found != "missing" and vault.word == "original":
        raise not_as_kept(vault, found, path)
    try:
        make_folder(path.parent)
        write_atomic(path, data, protect=True)
    except TameshiError as error:
        raise StudyError(error.code, error.message, hint=error.hint) from error
    return True


def fetch(vault: Vault, *, name: str, sha256: str) -> bytes:
    """Return a content, after making sure that it is the one that was kept.

    Raises
    ------
    StudyError
        ``original-missing``, ``original-changed``, ``original-unreadable``, or the same of
        ``derived``.
    """
    path = vault.place(sha256, name)
    try:
        data = read_bytes(path, limit=LARGEST)
    except WrongUseError as error:
        raise not_as_kept(vault, "missing", path) from error
    except UnreadableError as error:
        raise not_as_kept(vault, "unreadable", path) from error
    if sha256_of(data) != sha256:
        raise not_as_kept(vault, "changed", path)
    return data


def state(path: Path, sha256: str) -> State:
    """Return how the file at a place compares with the content that belongs there."""
    try:
        return "sound" if sha256_of_file(path) == sha256 else "changed"
    except WrongUseError:
        return "missing"
    except UnreadableError:
        return "unreadable"


def not_as_kept(vault: Vault, found: State, path: Path) -> StudyError:
    """Return the error for a file that is not there as it was kept."""
    what = {
        "changed": "is no longer what was put there.",
        "missing": "is missing.",
        "unreadable": "cannot be read.",
    }
    return StudyError(
        f"{vault.word}-{found}", f"{str(path)!r} {what.get(found, found)}", hint=REMEDY[vault.word]
    )
