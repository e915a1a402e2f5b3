"""Bring a file into the study: first its content onto the disk, then its row into the catalogue.

The content has been flushed before the row is committed, so a row never points to nothing; what an
interruption leaves is a file without a row, which harms nothing and is listed by the check.
"""

from dataclasses import asdict, dataclass, replace
from datetime import UTC, datetime
from typing import Literal, get_args

from sqlalchemy import Connection, delete, insert, select, update

from tameshi.errors import UnreadableError, WrongUseError
from tameshi.files import sha256_of
from tameshi.study.catalogue import reading, writing
from tameshi.study.describe import put_description, refuse_wrong_description
from tameshi.study.description import Description
from tameshi.study.folder import Study, refuse_read_only
from tameshi.study.moment import refuse_without_zone
from tameshi.study.names import clean_file_name
from tameshi.study.originals import Kind, Original, stored
from tameshi.study.schema import CONTACT_PRINT, FILM, ORIGINAL, RECORDING
from tameshi.study.vault import LARGEST, keep

Outcome = Literal["added", "already there", "description updated", "restored"]


@dataclass(frozen=True, slots=True)
class Added:
    """What adding a file did.

    Parameters
    ----------
    original : Original
        As it is in the study now.
    outcome : Outcome
        ``already there`` means that nothing changed; ``restored`` that the content was known but
        its file had gone, and is back.
    changed : tuple of str
        What is described differently from before: names of fields, or ``kind``.
    """

    original: Original
    outcome: Outcome
    changed: tuple[str, ...] = ()


def add_original(
    study: Study,
    data: bytes,
    *,
    name: str,
    kind: Kind,
    at: datetime,
    description: Description | None = None,
) -> Added:
    """Add a file as it came.

    The same content is kept once, under the name it first came with. Added again with another
    description or as another kind, the study takes the new one, and says so; what the new
    description leaves out stays as it was.

    Parameters
    ----------
    study : Study
    data : bytes
        Content of the file.
    name : str
        Its name, from outside: cleaned and shown, never used as a path.
    kind : Kind
        ``recording``, ``print``, ``film``, ``rig``, ``lens``, ``target`` or ``other``.
    at : datetime
        The moment of adding, with its time zone.
    description : RecordingDescription, PrintDescription, FilmDescription or None

    Raises
    ------
    WrongUseError
        ``unknown-kind``, ``wrong-description``, ``zone-missing``, ``not-a-rig``,
        ``not-a-recording``, ``not-a-lens``, ``still-referred-to``.
    UnreadableError
        ``empty-file``, ``too-large``.
    StudyError
        ``read-only``, ``disk-full``, ``original-changed``, ``study-busy``, ``study-damaged``.
    """
    refuse_read_only(study)
    _refuse_content(data, name)
    _refuse_kind(kind)
    refuse_wrong_description(kind, description)
    refuse_without_zone(at)
    new = Original(
        sha256=sha256_of(data),
        name=clean_file_name(name),
        size=len(data),
        kind=kind,
        added_at=at.astimezone(UTC),
    )
    with reading(study.catalogue) as connection:
        known = stored(connection, new.sha256)
    was_written = keep(study.originals, data, name=(known or new).name, sha256=new.sha256)
    with writing(study.catalogue) as connection:
        return _put_row(connection, new, description, was_written=was_written)


def _put_row(
    connection: Connection, new: Original, description: Description | None, *, was_written: bool
) -> Added:
    known = stored(connection, new.sha256)
    if known is None:
        connection.execute(insert(ORIGINAL).values(**asdict(new)))
        put_description(connection, new, description)
        return Added(new, "added")
    changed: tuple[str, ...] = ()
    if known.kind != new.kind:
        known = _with_kind(connection, known, new.kind)
        changed = ("kind",)
    changed += put_description(connection, known, description)
    if was_written:
        return Added(known, "restored", changed)
    return Added(known, "description updated" if changed else "already there", changed)


def _with_kind(connection: Connection, known: Original, kind: Kind) -> Original:
    """Make an original one of another kind; what was said about it as the old one goes."""
    pointing = (RECORDING.c.rig, CONTACT_PRINT.c.recording, CONTACT_PRINT.c.lens, FILM.c.recording)
    if any(connection.execute(select(link).where(link == known.sha256)).first() for link in pointing):
        raise WrongUseError(
            "still-referred-to",
            f"{known.name!r} is kept as a {known.kind}, and other descriptions refer to it as one.",
            hint="Describe those anew first.",
        )
    for table in (RECORDING, CONTACT_PRINT, FILM):
        connection.execute(delete(table).where(table.c.sha256 == known.sha256))
    connection.execute(update(ORIGINAL).where(ORIGINAL.c.sha256 == known.sha256).values(kind=kind))
    return replace(known, kind=kind)


def _refuse_content(data: bytes, name: str) -> None:
    if not data:
        raise UnreadableError(
            "empty-file", f"{clean_file_name(name)!r} is empty.", hint="Copy it again from where it came."
        )
    if len(data) > LARGEST:
        raise UnreadableError(
            "too-large",
            f"{clean_file_name(name)!r} has {len(data)} bytes; at most {LARGEST} are kept.",
            hint="Cut it into shorter pieces.",
        )


def _refuse_kind(kind: str) -> None:
    if kind not in get_args(Kind):
        raise WrongUseError(
            "unknown-kind",
            f"{kind!r} is not a kind of original.",
            hint=f"There are: {', '.join(get_args(Kind))}.",
        )
