"""A study is a folder: what it is called, where its parts are, and the handle to work with it.

``study.toml`` says that the folder is a study, in which format, and which units come first; a
person may edit it. It is written last when a study is made, so a folder is a study or it is not.
"""

import json
import tomllib
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from types import TracebackType
from typing import Any, Literal, Self, cast, get_args

from sqlalchemy import Engine

from tameshi.errors import StudyError, TameshiError, WrongUseError
from tameshi.files import files_under, make_folder, may_be_written, read_bytes, write_atomic
from tameshi.study.catalogue import catalogue_at, complete_tables, create_tables, refuse_other_tables
from tameshi.study.names import clean_tag
from tameshi.study.schema import FORMAT
from tameshi.study.vault import Vault

Units = Literal["si", "us"]
"""Which units come first on screens and in reports."""

DESCRIPTION = "study.toml"
CATALOGUE = "catalogue.sqlite"

_LONGEST_DESCRIPTION = 100_000


@dataclass(frozen=True, slots=True)
class Study:
    """An open study; ``with`` closes it.

    Parameters
    ----------
    folder : Path
    name : str
        What people call it.
    units : "si" or "us"
        Which units come first on screens and in reports.
    read_only : bool
        Nothing can be added or changed.
    catalogue : Engine
        Way to the database.
    """

    folder: Path
    name: str
    units: Units
    read_only: bool
    catalogue: Engine = field(repr=False, compare=False)

    @property
    def originals(self) -> Vault:
        """Where the files are as they came."""
        return Vault(self.folder / "originals", "original")

    @property
    def derived(self) -> Vault:
        """Where pictures and other files are that can be made again."""
        return Vault(self.folder / "derived", "derived")

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.catalogue.dispose()


def new_study(folder: Path, *, name: str, units: Units = "si") -> Study:
    """Make a study in a new or empty folder and open it.

    Parameters
    ----------
    folder : Path
        Made if it does not exist; the folder it is in must.
    name : str
        What people call it.
    units : "si" or "us"
        Which units come first on screens and in reports.

    Raises
    ------
    WrongUseError
        ``no-such-folder``, ``not-a-folder``, ``name-missing``, ``unknown-units``.
    StudyError
        ``study-exists``, ``folder-not-empty``, ``disk-full``, ``read-only``.
    """
    title = clean_tag("name of the study", name)
    if title is None:
        raise WrongUseError("name-missing", "The study has no name.", hint="Give it one, such as 'Spring'.")
    if units not in get_args(Units):
        raise WrongUseError("unknown-units", f"{units!r} is not a system of units.", hint="Write si or us.")
    try:
        is_new = make_folder(folder)
        _refuse_occupied(folder)
        _fill(folder, title, units, is_new=is_new)
    except WrongUseError:
        raise
    except TameshiError as error:
        raise StudyError(error.code, error.message, hint=error.hint) from error
    return open_study(folder)


def open_study(folder: Path, *, read_only: bool = False) -> Study:
    """Open a study; where it cannot be written it is opened for reading.

    Parameters
    ----------
    folder : Path
    read_only : bool
        Open it for reading even where it could be written.

    Raises
    ------
    StudyError
        ``not-a-study``, ``study-too-new``, ``study-older``, ``study-damaged``, ``no-permission``.
    """
    name, units = _read_description(folder)
    path = folder / CATALOGUE
    if not path.is_file():
        raise StudyError(
            "study-damaged",
            f"{str(folder)!r} has lost its catalogue, {CATALOGUE}.",
            hint="Put it back from a copy; the originals are beside it, unchanged.",
        )
    closed = read_only or not (may_be_written(folder) and may_be_written(path))
    catalogue = catalogue_at(path, "ro" if closed else "rw")
    refuse_other_tables(catalogue)
    complete_tables(catalogue, read_only=closed)
    return Study(folder, name, units, read_only=closed, catalogue=catalogue)


def refuse_read_only(study: Study) -> None:
    """Refuse to change a study that is open for reading only."""
    if study.read_only:
        raise StudyError(
            "read-only",
            f"The study in {str(study.folder)!r} is open for reading only.",
            hint="Copy it to a place where you may write, and open it there.",
        )


def _fill(folder: Path, name: str, units: Units, *, is_new: bool) -> None:
    """Make the parts of a study; after an error take them away again."""
    parts = (folder / "originals", folder / "derived")
    path = folder / CATALOGUE
    try:
        for part in parts:
            make_folder(part)
        create_tables(catalogue_at(path, "rwc"))
        write_atomic(folder / DESCRIPTION, description(name, units).encode())
    except BaseException:
        with suppress(OSError):
            path.unlink(missing_ok=True)
            for made in (*parts, folder) if is_new else parts:
                made.rmdir()
        raise


def _refuse_occupied(folder: Path) -> None:
    found = files_under(folder)
    if folder / DESCRIPTION in found:
        raise StudyError(
            "study-exists", f"{str(folder)!r} is a study already.", hint="Add to it with: tameshi study add"
        )
    if found:
        raise StudyError(
            "folder-not-empty",
            f"{str(folder)!r} holds other files.",
            hint="Make the study in a folder of its own; files are copied into it when they are added.",
        )


def description(name: str, units: Units) -> str:
    """Return the text of ``study.toml``."""
    # the escapes of a JSON string are among those of a TOML string
    return (
        "# A tameshi study: originals/ keeps files as they came, catalogue.sqlite what is known about them.\n"
        f"format = {FORMAT}\n"
        f"name = {json.dumps(name, ensure_ascii=False)}\n"
        f'units = "{units}"  # which units come first: si or us\n'
    )


def _read_description(folder: Path) -> tuple[str, Units]:
    try:
        content = _parsed(folder / DESCRIPTION)
    except WrongUseError as error:
        raise StudyError(
            "not-a-study",
            f"{str(folder)!r} is not a study: it has no {DESCRIPTION}.",
            hint="Check the folder, or make a study with: tameshi study new",
        ) from error
    except StudyError:
        raise
    except TameshiError as error:
        raise StudyError(error.code, error.message, hint=error.hint) from error
    version, name, units = content.get("format"), content.get("name"), content.get("units")
    if isinstance(version, int) and version > FORMAT:
        raise StudyError(
            "study-too-new",
            f"{str(folder)!r} is a study of format {version}; this tameshi knows formats up to {FORMAT}.",
            hint="Install a newer tameshi.",
        )
    if version != FORMAT or not isinstance(name, str) or units not in ("si", "us"):
        raise _damaged_description(
            folder / DESCRIPTION, f"it needs format = {FORMAT}, a name, and units si or us"
        )
    return clean_tag("name of the study", name) or folder.name, cast("Units", units)


def _parsed(path: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(read_bytes(path, limit=_LONGEST_DESCRIPTION).decode())
    except ValueError as error:  # not UTF-8, or not TOML: the reason names the line
        raise _damaged_description(path, str(error)) from error


def _damaged_description(path: Path, reason: str) -> StudyError:
    return StudyError("study-damaged", f"{str(path)!r} cannot be used: {reason}.", hint="Correct it by hand.")
