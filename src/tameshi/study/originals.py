"""What is known about a file as it came: its hash, its name, its size, what it is, and when it was added."""

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from sqlalchemy import Connection, select

from tameshi.errors import WrongUseError
from tameshi.study.catalogue import reading
from tameshi.study.folder import Study
from tameshi.study.schema import ORIGINAL, sound
from tameshi.study.vault import fetch

Kind = Literal["recording", "print", "film", "rig", "lens", "target", "other"]
"""What an original is to the study."""

SHORTEST_PREFIX = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Original:
    """A file as it came.

    Parameters
    ----------
    sha256 : str
        SHA-256 of its content, its identity.
    name : str
        File name it was first added under; shown, never used as a path.
    size : int
        Length in bytes.
    kind : Kind
    added_at : datetime
        In UTC.
    """

    sha256: str
    name: str
    size: int
    kind: Kind
    added_at: datetime


def originals(study: Study, kind: Kind | None = None) -> tuple[Original, ...]:
    """Return the originals, oldest first, all or those of one kind."""
    with reading(study.catalogue) as connection:
        return listed(connection, kind)


def rigs(study: Study) -> tuple[Original, ...]:
    """Return the rig files, oldest first."""
    return originals(study, "rig")


def lenses(study: Study) -> tuple[Original, ...]:
    """Return the lens files, oldest first."""
    return originals(study, "lens")


def targets(study: Study) -> tuple[Original, ...]:
    """Return the files of targets to break, oldest first."""
    return originals(study, "target")


def find_original(study: Study, wanted: str) -> Original:
    """Return the one original with this file name or whose SHA-256 starts like this.

    Raises
    ------
    WrongUseError
        ``unknown-original`` or, where several fit, ``ambiguous-original``.
    """
    start = wanted.lower() if len(wanted) >= SHORTEST_PREFIX else None
    fitting = [
        one for one in originals(study) if one.name == wanted or (start and one.sha256.startswith(start))
    ]
    if not fitting:
        raise WrongUseError(
            "unknown-original",
            f"The study has no original {wanted!r}.",
            hint="Give its file name or the first digits of its SHA-256; list them with: tameshi study show",
        )
    if len(fitting) > 1:
        raise WrongUseError(
            "ambiguous-original",
            f"{len(fitting)} originals fit {wanted!r}: {', '.join(one.sha256[:12] for one in fitting)}.",
            hint="Give more digits of the SHA-256.",
        )
    return fitting[0]


def read_original(study: Study, original: Original) -> bytes:
    """Return the content of an original, after making sure that it is what was added.

    Raises
    ------
    StudyError
        ``original-missing``, ``original-changed``, ``original-unreadable``.
    """
    return fetch(study.originals, name=original.name, sha256=original.sha256)


def listed(connection: Connection, kind: Kind | None = None) -> tuple[Original, ...]:
    """Return the originals in the catalogue, oldest first, all or those of one kind."""
    asked = select(ORIGINAL).order_by(ORIGINAL.c.added_at, ORIGINAL.c.name, ORIGINAL.c.sha256)
    if kind is not None:
        asked = asked.where(ORIGINAL.c.kind == kind)
    return tuple(Original(**sound(row, ORIGINAL)) for row in connection.execute(asked).mappings())


def stored(connection: Connection, sha256: str) -> Original | None:
    """Return the original with this hash as it is in the catalogue, None where it is not."""
    row = connection.execute(select(ORIGINAL).where(ORIGINAL.c.sha256 == sha256)).mappings().first()
    return None if row is None else Original(**sound(row, ORIGINAL))
