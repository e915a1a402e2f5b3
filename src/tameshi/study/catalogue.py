"""The catalogue's database: how it is opened, read, written, and what its refusals mean.

The only place that knows the database is SQLite. Every write takes the lock at its start, waits
its turn for a while, and is on the disk when it returns. The journal is the plain one that is
rolled back, so that a study is one file and can be read from a disk that cannot be written.
"""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Literal

from sqlalchemy import Column, Connection, Engine, NullPool, Table, create_engine, event, inspect
from sqlalchemy.exc import DBAPIError

from tameshi.errors import StudyError, WrongUseError
from tameshi.study.schema import LATER, METADATA

Mode = Literal["ro", "rw", "rwc"]
"""Read, read and write, or make it if there is none."""

PATIENCE = 20.0
"""Seconds a write waits for another process; adding a file holds the lock for milliseconds."""

_FULL = ("SQLITE_FULL", "SQLITE_IOERR_WRITE", "SQLITE_IOERR_FSYNC", "SQLITE_IOERR_TRUNCATE")
_PROTECTED = ("SQLITE_READONLY", "SQLITE_CANTOPEN", "SQLITE_PERM", "SQLITE_AUTH")
_DAMAGED = ("SQLITE_CORRUPT", "SQLITE_NOTADB", "SQLITE_FORMAT", "SQLITE_ERROR", "SQLITE_CONSTRAINT")
_BUSY = ("SQLITE_BUSY", "SQLITE_LOCKED")


def catalogue_at(path: Path, mode: Mode) -> Engine:
    """Return the way to a catalogue; nothing is opened yet."""
    address = f"{path.resolve().as_uri()}?mode={mode}"

    def connect() -> sqlite3.Connection:
        # no isolation level: transactions begin where they are told to, below
        connection = sqlite3.connect(address, uri=True, timeout=PATIENCE, isolation_level=None)
        try:
            connection.execute("PRAGMA foreign_keys = ON")
            connection.execute("PRAGMA synchronous = FULL")
        except sqlite3.Error:  # what was opened is no database
            connection.close()
            raise
        return connection

    engine = create_engine("sqlite://", creator=connect, poolclass=NullPool)
    event.listen(engine, "begin", _begin)
    return engine


@contextmanager
def reading(catalogue: Engine) -> Iterator[Connection]:
    """Open a view of the catalogue that does not change while it is read.

    Inside, rows are turned into records; a row that makes no record is damaged.

    Raises
    ------
    StudyError
        ``study-damaged``, ``study-busy``, ``read-only``.
    """
    try:
        with _explained(), catalogue.connect() as connection:
            yield connection
    except WrongUseError as error:
        raise _damaged(error.message) from error


@contextmanager
def writing(catalogue: Engine) -> Iterator[Connection]:
    """Change the catalogue: all of it or, after any error, nothing.

    Raises
    ------
    StudyError
        ``disk-full``, ``read-only``, ``study-busy``, ``study-damaged``.
    """
    with _explained(), catalogue.execution_options(writes=True).begin() as connection:
        yield connection


def create_tables(catalogue: Engine) -> None:
    """Make the tables of an empty catalogue."""
    with writing(catalogue) as connection:
        METADATA.create_all(connection)


def refuse_other_tables(catalogue: Engine) -> None:
    """Refuse a database that lacks a table that every study has, such as an empty file."""
    wanted = {name for name, table in METADATA.tables.items() if not table.info.get(LATER)}
    with reading(catalogue) as connection:
        absent = wanted - set(inspect(connection).get_table_names())
    if absent:
        raise _damaged(f"no table {min(absent)!r}")


def complete_tables(catalogue: Engine, *, read_only: bool) -> None:
    """Give an older catalogue the tables and columns that came later; what it holds stays as it is.

    Raises
    ------
    StudyError
        ``study-older`` where columns are missing and nothing may be written. A table that is missing then
        counts as empty.
    """
    with reading(catalogue) as connection:
        absent, tables = _absent_columns(connection), len(kept_tables(connection))
    if not read_only and tables < len(METADATA.tables):
        create_tables(catalogue)
    if not absent:
        return
    if read_only:
        raise StudyError(
            "study-older",
            f"The study's catalogue was made by an older tameshi: it has no column {absent[0].name!r}.",
            hint="Copy it to a place where it may be written, and open it there: the column is added then.",
        )
    with writing(catalogue) as connection:
        for column in _absent_columns(connection):
            form = column.type.compile(connection.dialect)
            connection.exec_driver_sql(f'ALTER TABLE "{column.table.name}" ADD COLUMN "{column.name}" {form}')


def _absent_columns(connection: Connection) -> list[Column[Any]]:
    """Return the columns that may be empty and are not there."""
    found = inspect(connection)
    absent: list[Column[Any]] = []
    for table in kept_tables(connection):
        there = {column["name"] for column in found.get_columns(table.name)}
        absent += [column for column in table.c if column.nullable and column.name not in there]
    return absent


def kept_tables(connection: Connection) -> list[Table]:
    """Return the tables that a catalogue has: an older one that may not be written lacks later ones."""
    there = set(inspect(connection).get_table_names())
    return [table for table in METADATA.sorted_tables if table.name in there]


def integrity(catalogue: Engine) -> tuple[str, ...]:
    """Return what the database finds wrong with itself: pages, indexes, references."""
    try:
        with catalogue.connect() as connection:
            pages = [str(row[0]) for row in connection.exec_driver_sql("PRAGMA integrity_check")]
            broken = connection.exec_driver_sql("PRAGMA foreign_key_check").all()
    except DBAPIError as error:
        return (str(error.orig),)
    references = [f"row {row[1]} of {row[0]} refers to a missing row of {row[2]}" for row in broken]
    return (*(page for page in pages if page != "ok"), *references)


def _begin(connection: Connection) -> None:
    writes = connection.get_execution_options().get("writes", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


@contextmanager
def _explained() -> Iterator[None]:
    try:
        yield
    except DBAPIError as error:
        raise _in_our_words(str(getattr(error.orig, "sqlite_errorname", "")), str(error.orig)) from error
    except (ValueError, TypeError, LookupError) as error:  # a cell does not hold what was once put there
        raise _damaged(str(error)) from error


def _in_our_words(name: str, reason: str) -> StudyError:
    if name.startswith(_FULL):
        return StudyError(
            "disk-full",
            f"The catalogue could not be written: the disk, or your share of it, is full ({reason}).",
            hint="Free some space and do it again; nothing was changed.",
        )
    if name.startswith(_PROTECTED):
        return StudyError(
            "read-only",
            f"The catalogue is read-only to you, or cannot be opened ({reason}).",
            hint="Copy the study to a place where you may write.",
        )
    if name.startswith(_BUSY):
        return StudyError(
            "study-busy",
            f"Another program has been writing to the study for more than {PATIENCE:g} s.",
            hint="Wait until it has finished, then do it again; nothing was changed.",
        )
    if name.startswith(_DAMAGED):
        return _damaged(reason)
    return StudyError(
        "catalogue-failed",
        f"The catalogue could not be used: {reason}.",
        hint="Check the disk it is on, then do it again.",
    )


def _damaged(reason: str) -> StudyError:
    return StudyError(
        "study-damaged",
        f"The study's catalogue is damaged ({reason}).",
        hint="Put catalogue.sqlite back from a copy; the originals are beside it, unchanged.",
    )
