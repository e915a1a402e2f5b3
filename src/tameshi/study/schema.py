"""The tables of the catalogue. The comments of the columns are the data dictionary of the export."""

import json
import re
from collections.abc import Mapping
from typing import Any

from sqlalchemy import (
    BigInteger,
    CheckConstraint,
    Column,
    Dialect,
    Float,
    ForeignKey,
    Integer,
    MetaData,
    RowMapping,
    String,
    Table,
    Text,
    TypeDecorator,
)

from tameshi.study.canonical import canonical_json
from tameshi.study.moment import Moment
from tameshi.study.names import LONGEST_CODE, LONGEST_FILE_NAME, LONGEST_TAG

FORMAT = 1
"""Version of everything a study folder holds; a newer one is refused."""

LATER = "later"
"""Marks a table that the first studies were made without."""

_HASH = re.compile("[0-9a-f]{64}")


class _Json(TypeDecorator[Mapping[str, Any]]):
    """An object kept as canonical JSON."""

    impl = Text
    cache_ok = True

    @property
    def python_type(self) -> type[Any]:
        return dict

    def process_bind_param(self, value: Mapping[str, Any] | None, dialect: Dialect) -> str | None:  # noqa: ARG002
        return None if value is None else canonical_json(value)

    def process_result_value(self, value: str | None, dialect: Dialect) -> Mapping[str, Any] | None:  # noqa: ARG002
        return None if value is None else json.loads(value)


class _Sha256(String):
    """64 lower-case hexadecimal digits."""


def sound(row: RowMapping, table: Table) -> dict[str, Any]:
    """Return a row, after making sure that each cell holds what its column is for.

    A database keeps what it is given, damaged or tampered with; a hash is used as a path.

    Raises
    ------
    ValueError
        Naming the column.
    """
    for column in table.c:
        cell = row[column.name]
        if cell is None and column.nullable:
            continue
        fits = isinstance(cell, column.type.python_type)
        if not fits or (isinstance(column.type, _Sha256) and not _HASH.fullmatch(cell)):
            raise ValueError(f"{table.name}.{column.name} holds {cell!r:.80}")
    return dict(row)


def _sha256(
    name: str, comment: str, *, refers_to: str = "", key: bool = False, optional: bool = False
) -> Column[str]:
    links = [ForeignKey(refers_to)] if refers_to else []
    return Column(name, _Sha256(64), *links, primary_key=key, nullable=optional, comment=comment)


def _text(name: str, comment: str, length: int = LONGEST_TAG) -> Column[str]:
    return Column(name, String(length), comment=comment)


METADATA = MetaData()

ORIGINAL = Table(
    "original",
    METADATA,
    _sha256("sha256", "SHA-256 of the file's content; its identity everywhere else.", key=True),
    Column("name", String(LONGEST_FILE_NAME), nullable=False, comment="File name it was first added under."),
    Column("size", BigInteger, nullable=False, comment="Length of the content.", info={"unit": "byte"}),
    Column("kind", String(16), nullable=False, comment="recording, print, rig, lens, target or other."),
    Column("added_at", Moment, nullable=False, comment="When it was first added, in UTC."),
    comment="Files as they came, never changed.",
)

RECORDING = Table(
    "recording",
    METADATA,
    _sha256("sha256", "The original.", refers_to="original.sha256", key=True),
    _text("technique", "What was struck with, in the club's words."),
    _text("athlete", "Code of who struck; never a name.", LONGEST_CODE),
    _text("session", "Session the recording belongs to."),
    _text("side", "Hand or foot: left, right or both.", 8),
    Column("note", Text, comment="Anything else worth knowing."),
    _sha256(
        "rig", "Original of the rig file it was recorded with.", refers_to="original.sha256", optional=True
    ),
    _text("channel", "Name of the column or track that holds the force."),
    Column("force_scale", Text, comment="Force for a volt or for one unit of the file, as typed."),
    Column("rate", Float, comment="Samples a second, where the file does not say.", info={"unit": "Hz"}),
    _text("channel_class", "Channel frequency class the force is filtered to."),
    Column(
        "speed",
        Float,
        comment="Speed at contact of what struck, as filmed, say.",
        info={"unit": "m/s"},
    ),
    comment="What is said about a recording.",
)

CONTACT_PRINT = Table(
    "contact_print",
    METADATA,
    _sha256("sha256", "The original.", refers_to="original.sha256", key=True),
    _text("technique", "What was struck with, in the club's words."),
    _text("athlete", "Code of who struck; never a name.", LONGEST_CODE),
    _text("session", "Session the print belongs to."),
    _text("reference", "What gives the picture its scale: target, scan, scan:600, auto, ..."),
    Column("bar_length", Float, comment="Measured length of the sheet's 100 mm bar.", info={"unit": "m"}),
    _text("paper", "Paper the sheet was printed on: a4, letter."),
    _sha256(
        "recording",
        "Recording of its strike; none for a typical print.",
        refers_to="recording.sha256",
        optional=True,
    ),
    Column("strike", Integer, comment="Index of its strike in that recording, from 1."),
    Column("note", Text, comment="Anything else worth knowing."),
    Column(
        "points",
        _Json,
        comment="Points picked by hand: pixel and place on the paper [m] of each, and how well known.",
    ),
    Column(
        "corrections",
        _Json,
        comment="Corrections by hand: places left out and taken in [m], corners of lassos [m], where the "
        "outline runs between paper and ink.",
    ),
    _text("which", "Which of several prints on the sheet: its number from 1, or all.", 8),
    _sha256("lens", "Original of the lens file of its camera.", refers_to="original.sha256", optional=True),
    CheckConstraint("(recording IS NULL) = (strike IS NULL)", name="strike_of_a_recording"),
    comment="What is said about the picture of a contact print.",
)

RESULT = Table(
    "result",
    METADATA,
    _sha256("key", "SHA-256 of kind, inputs, settings, software and schema.", key=True),
    Column("kind", String(64), nullable=False, index=True, comment="strikes, footprint, breaking, ..."),
    Column("schema", String(64), nullable=False, comment="Name and version of the form of the body."),
    Column("software", String(64), nullable=False, comment="Version of tameshi that made it."),
    Column("settings", _Json, nullable=False, comment="Everything besides the inputs that it depends on."),
    Column("made_at", Moment, nullable=False, comment="When it was made, in UTC."),
    Column("body", _Json, nullable=False, comment="The result itself."),
    _sha256("body_sha256", "SHA-256 of the body as canonical JSON, to notice damage."),
    comment="What was worked out; a new version of the software adds rows and changes none.",
)

RESULT_INPUT = Table(
    "result_input",
    METADATA,
    _sha256("result", "Key of the result.", refers_to="result.key", key=True),
    Column(
        "role",
        String(64),
        primary_key=True,
        comment="What the original was to it: recording, print, rig, ...",
    ),
    _sha256("sha256", "The original.", refers_to="original.sha256"),
    comment="Originals a result was made from.",
)

RESULT_FILE = Table(
    "result_file",
    METADATA,
    _sha256("result", "Key of the result.", refers_to="result.key", key=True),
    Column("name", String(LONGEST_FILE_NAME), primary_key=True, comment="Name of the file: overlay.png."),
    _sha256("sha256", "SHA-256 of the file's content."),
    comment="Pictures and other files made with a result, kept under derived/.",
)

TRANSFER_QUESTION = Table(
    "transfer_question",
    METADATA,
    Column("part", String(LONGEST_TAG), primary_key=True, comment="Part of the body that is struck."),
    Column(
        "technique",
        String(LONGEST_TAG),
        primary_key=True,
        comment="Technique that strikes it; empty for every one.",
    ),
    *(
        Column(f"{what}_{end}", Float, comment=f"{words}, {side} end.", info={"unit": unit})
        for what, words, unit in (
            ("mass", "Effective mass of the striker", "kg"),
            ("speed", "Speed at contact", "m/s"),
            ("pad_stiffness", "Stiffness of the pad on the plate", "N/m"),
        )
        for end, side in (("low", "lower"), ("high", "upper"))
    ),
    _text("like", "Published strikes the striker is taken to be like: punch, palm."),
    _text("pad", "Pad on the plate, where no rig file says it."),
    comment="Strikes to take over to free parts of the body, as people asked for them.",
    info={LATER: True},
)
