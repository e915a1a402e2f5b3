"""What people asked to have taken over to free parts of the body: kept with the study, which answers it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from sqlalchemy import delete, insert, select

from tameshi.errors import WrongUseError
from tameshi.study.catalogue import kept_tables, reading, writing
from tameshi.study.folder import Study, refuse_read_only
from tameshi.study.names import clean_tag
from tameshi.study.schema import TRANSFER_QUESTION, sound
from tameshi.target.transfer import Pad, Range, Striker, body_part, published_striker

Kept = Literal["kept", "replaced", "already there"]
_RANGES = ("mass", "speed", "pad_stiffness")


@dataclass(frozen=True, slots=True, kw_only=True)
class TransferQuestion:
    """What a strike would bring onto a part of the body, and what is said of striker and pad.

    Parameters
    ----------
    part : str
        As ``tameshi.target.transfer.part_names`` has it.
    technique : str or None
        Which technique strikes it; None for every one.
    mass, speed : Range or None
        Of the striker. [kg], [m/s]
    like : str or None
        Published strikes that it is like, where neither is known; its own technique where None.
    pad : str or None
        On the plate, where no rig file says it.
    pad_stiffness : Range or None
        [N/m]

    Raises
    ------
    WrongUseError
        ``unknown-part``, ``too-long``.
    """

    part: str
    technique: str | None = None
    mass: Range | None = None
    speed: Range | None = None
    like: str | None = None
    pad: str | None = None
    pad_stiffness: Range | None = None

    def __post_init__(self) -> None:
        object.__setattr__(self, "part", body_part(self.part).name)
        for name in ("technique", "like", "pad"):
            object.__setattr__(self, name, clean_tag(name, getattr(self, name)))

    def striker(self, technique: str | None) -> Striker:
        """Return what is known of the striker of a technique."""
        return Striker(
            mass=self.mass,
            speed=self.speed,
            published=published_striker(self.like or self.technique or technique),
        )

    def plate(self, pad: str | None) -> Pad:
        """Return the pad: as asked with, else as the rig file has it."""
        return Pad(self.pad if self.pad is not None else pad, self.pad_stiffness)

    def is_about(self, technique: str | None) -> bool:
        """Whether a technique is one of those it asks for."""
        return self.technique is None or self.technique == technique

    def as_dict(self) -> dict[str, Any]:
        """Return it as settings of a recipe."""
        return {name: cell for name, cell in _row(self).items() if cell not in {None, ""}}


def keep_question(study: Study, question: TransferQuestion) -> Kept:
    """Keep a question with a study; one about the same part and technique is replaced.

    Raises
    ------
    StudyError
        ``read-only`` and what else can keep a catalogue from being written.
    """
    refuse_read_only(study)
    table = TRANSFER_QUESTION
    with writing(study.catalogue) as connection:
        same = (table.c.part == question.part) & (table.c.technique == (question.technique or ""))
        known = connection.execute(select(table).where(same)).mappings().first()
        if known is not None and _question(known) == question:
            return "already there"
        connection.execute(delete(table).where(same))
        connection.execute(insert(table).values(_row(question)))
        return "kept" if known is None else "replaced"


def forget_question(study: Study, part: str, technique: str | None) -> None:
    """Take back a question.

    Raises
    ------
    WrongUseError
        ``not-kept``; the hint lists what is kept.
    StudyError
        As :func:`keep_question`.
    """
    refuse_read_only(study)
    table = TRANSFER_QUESTION
    with writing(study.catalogue) as connection:
        same = (table.c.part == part) & (table.c.technique == (technique or ""))
        if connection.execute(delete(table).where(same)).rowcount:
            return
    known = (f"{one.part} ({one.technique or 'every technique'})" for one in questions(study))
    raise WrongUseError(
        "not-kept",
        f"Nothing is kept about the {part} and {technique or 'every technique'}.",
        hint=f"Kept: {', '.join(known) or 'nothing'}.",
    )


def questions(study: Study) -> tuple[TransferQuestion, ...]:
    """Return what is kept, by part and technique."""
    table = TRANSFER_QUESTION
    with reading(study.catalogue) as connection:
        if table.name not in {one.name for one in kept_tables(connection)}:
            return ()
        rows = connection.execute(select(table).order_by(table.c.part, table.c.technique)).mappings()
        return tuple(_question(sound(row, table)) for row in rows)


def _row(question: TransferQuestion) -> dict[str, Any]:
    row: dict[str, Any] = {
        "part": question.part,
        "technique": question.technique or "",
        "like": question.like,
        "pad": question.pad,
    }
    for name in _RANGES:
        known: Range | None = getattr(question, name)
        row |= {f"{name}_low": known and known.low, f"{name}_high": known and known.high}
    return row


def _question(row: Mapping[Any, Any]) -> TransferQuestion:
    ranges = {name: _range(row[f"{name}_low"], row[f"{name}_high"]) for name in _RANGES}
    return TransferQuestion(
        part=row["part"], technique=row["technique"] or None, like=row["like"], pad=row["pad"], **ranges
    )


def _range(low: float | None, high: float | None) -> Range | None:
    return None if low is None or high is None else Range(low, high)
