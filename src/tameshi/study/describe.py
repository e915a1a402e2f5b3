"""Bring what the person says into the catalogue, and give it back with the original it is about.

A description can be completed bit by bit (what is left out stays as it was) or replaced.
"""

from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass
from typing import Any, TypeVar

from sqlalchemy import Connection, Table, insert, select, update

from tameshi.errors import WrongUseError
from tameshi.study.catalogue import kept_tables, reading, writing
from tameshi.study.description import Description, FilmDescription, PrintDescription, RecordingDescription
from tameshi.study.folder import Study, refuse_read_only
from tameshi.study.originals import Kind, Original, listed, stored
from tameshi.study.schema import CONTACT_PRINT, FILM, RECORDING, sound


@dataclass(frozen=True, slots=True)
class Recording:
    """A recording and what is said about it."""

    original: Original
    description: RecordingDescription


@dataclass(frozen=True, slots=True)
class Print:
    """A picture of a contact print and what is said about it."""

    original: Original
    description: PrintDescription


@dataclass(frozen=True, slots=True)
class FilmKept:
    """A film of a strike and what is said about it."""

    original: Original
    description: FilmDescription


Described = TypeVar("Described", Recording, Print, FilmKept)

_KINDS: Mapping[Kind, tuple[Table, type[Description]]] = {
    "recording": (RECORDING, RecordingDescription),
    "print": (CONTACT_PRINT, PrintDescription),
    "film": (FILM, FilmDescription),
}


def recordings(study: Study) -> tuple[Recording, ...]:
    """Return the recordings with their descriptions, oldest first."""
    return _described(
        study, "recording", lambda original, said: Recording(original, RecordingDescription(**said))
    )


def prints(study: Study) -> tuple[Print, ...]:
    """Return the prints with their descriptions, oldest first."""
    return _described(study, "print", lambda original, said: Print(original, PrintDescription(**said)))


def films(study: Study) -> tuple[FilmKept, ...]:
    """Return the films with their descriptions, oldest first."""
    return _described(study, "film", lambda original, said: FilmKept(original, FilmDescription(**said)))


def describe(
    study: Study, sha256: str, description: Description, *, replace: bool = False
) -> tuple[str, ...]:
    """Say something about a recording, a print or a film.

    Parameters
    ----------
    study : Study
    sha256 : str
        The original it is about.
    description : RecordingDescription, PrintDescription or FilmDescription
        What is None in it leaves what was said before.
    replace : bool
        Forget what was said before.

    Returns
    -------
    tuple of str
        Names of the fields that changed.

    Raises
    ------
    WrongUseError
        ``unknown-original``, ``wrong-description``, ``not-a-rig``, ``not-a-recording``, ``not-a-lens``.
    StudyError
        ``read-only`` and what else can keep a catalogue from being written.
    """
    refuse_read_only(study)
    with writing(study.catalogue) as connection:
        original = stored(connection, sha256)
        if original is None:
            raise WrongUseError(
                "unknown-original", f"The study has no original {sha256!r}.", hint="Add the file first."
            )
        return put_description(connection, original, description, replace=replace)


def refuse_wrong_description(kind: Kind, description: Description | None) -> None:
    """Refuse a description that does not belong to an original of this kind."""
    if description is None or (kind in _KINDS and isinstance(description, _KINDS[kind][1])):
        return
    raise WrongUseError(
        "wrong-description",
        f"A {kind} cannot have a {type(description).__name__}.",
        hint="Only recordings, prints and films are described, each in its own way.",
    )


def put_description(
    connection: Connection, original: Original, description: Description | None, *, replace: bool = False
) -> tuple[str, ...]:
    """Bring a description into the catalogue; return the names of the fields that changed.

    Nothing is written where nothing changes.
    """
    refuse_wrong_description(original.kind, description)
    if original.kind not in _KINDS:
        return ()
    table, form = _KINDS[original.kind]
    row = connection.execute(select(table).where(table.c.sha256 == original.sha256)).mappings().first()
    before = {} if row is None else sound(row, table)
    said = asdict(description or form())
    after = (
        said if replace else {name: before.get(name) if said[name] is None else said[name] for name in said}
    )
    _refuse_wrong_references(connection, said)
    if row is None:
        connection.execute(insert(table).values(sha256=original.sha256, **after))
        return ()
    changed = tuple(name for name in after if after[name] != before[name])
    if changed:
        new = {name: after[name] for name in changed}
        connection.execute(update(table).where(table.c.sha256 == original.sha256).values(new))
    return changed


def _described(
    study: Study, kind: Kind, form: Callable[[Original, dict[str, Any]], Described]
) -> tuple[Described, ...]:
    table, _ = _KINDS[kind]
    with reading(study.catalogue) as connection:
        if table.name not in {one.name for one in kept_tables(connection)}:
            return ()  # a catalogue from before there were any, which may not be written
        rows = (sound(row, table) for row in connection.execute(select(table)).mappings())
        said = {row.pop("sha256"): row for row in rows}
        return tuple(form(original, said[original.sha256]) for original in listed(connection, kind))


def _refuse_wrong_references(connection: Connection, said: Mapping[str, Any]) -> None:
    """Refuse a rig that is no rig, a recording that is no recording, a lens that is no lens."""
    for field_name, kind in (("rig", "rig"), ("recording", "recording"), ("lens", "lens")):
        sha256 = said.get(field_name)
        if sha256 is None:
            continue
        original = stored(connection, sha256)
        if original is None or original.kind != kind:
            raise WrongUseError(
                f"not-a-{kind}",
                f"{sha256!r} is not a {kind} of this study.",
                hint=f"Add the {kind} first and give its whole SHA-256.",
            )
