"""One archive with everything in it, for another person to check or to import.

Originals and derived files under their hashes, the catalogue as lines of JSON, the tables as CSV,
a dictionary of every column, and a manifest that ``sha256sum --check`` understands. The same study
gives the same bytes: members are sorted, not compressed, and carry one fixed date.
"""

import re
import zipfile
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import Any

from sqlalchemy import select

from tameshi.errors import WrongUseError
from tameshi.files import open_atomic, sha256_of
from tameshi.study.canonical import canonical_json
from tameshi.study.catalogue import kept_tables, reading
from tameshi.study.check import Progress
from tameshi.study.folder import DESCRIPTION, Study, description
from tameshi.study.schema import METADATA, ORIGINAL, RESULT_FILE, sound
from tameshi.study.table import DataColumn, DataTable, as_csv
from tameshi.study.vault import fetch

MANIFEST = "manifest.sha256"

_DATE = (1980, 1, 1, 0, 0, 0)  # the earliest an archive can hold
_PLAIN_FILE = 0o644 << 16
_UNIX = 3
_TABLE_NAME = re.compile(r"[a-z][a-z0-9_-]{0,40}")
_README = """\
A study of strikes, exported by tameshi.

originals/    every file as it came, named after its SHA-256
derived/      pictures and other files made from them
catalogue/    what is known about them, one JSON object a line; moments in UTC, quantities in SI
tables/       results as CSV (UTF-8, RFC 4180), units in the header. A text that a spreadsheet would
              take for a formula has an apostrophe in front; the catalogue has it without
dictionary.csv  what every column means
manifest.sha256 SHA-256 of every file here; check it with: sha256sum --check manifest.sha256
"""

Member = Callable[[], bytes]


@dataclass(frozen=True, slots=True)
class Exported:
    """What was written.

    Parameters
    ----------
    path : Path
    manifest : mapping of str to str
        SHA-256 of each member, by its name; the manifest itself is not in it.
    """

    path: Path
    manifest: Mapping[str, str]


def export(
    study: Study,
    path: Path,
    *,
    tables: Iterable[DataTable] = (),
    progress: Progress | None = None,
) -> Exported:
    """Write the whole study into one archive.

    Parameters
    ----------
    study : Study
    path : Path
        Archive to write; one that is there is replaced when the new one is complete.
    tables : iterable of DataTable
        Results as tables: strikes, prints, pressures.
    progress : callable or None
        Told after each member how many are done, of how many.

    Raises
    ------
    WrongUseError
        ``bad-table-name``, ``is-a-folder``, ``no-such-folder``.
    StudyError
        ``original-changed``, ``original-missing``, the same of ``derived``: nothing damaged is
        handed on. ``study-damaged``, ``study-busy``.
    TameshiError
        ``disk-full``, ``read-only``, ``write-failed``.
    """
    members = _members(study, tuple(tables))
    manifest: dict[str, str] = {}
    with open_atomic(path) as stream, zipfile.ZipFile(stream, "w") as archive:
        for name in sorted(members):
            manifest[name] = _write(archive, name, members[name]())
            if progress:
                progress(len(manifest), len(members))
        lines = "".join(f"{sha256}  {name}\n" for name, sha256 in manifest.items())
        _write(archive, MANIFEST, lines.encode())
    return Exported(path, manifest)


def _members(study: Study, tables: tuple[DataTable, ...]) -> dict[str, Member]:
    """Return what makes each member, by its name; files are read when their turn comes."""
    rows = _rows(study)
    texts = {
        "README.txt": _README.encode(),
        "dictionary.csv": as_csv(_dictionary(tables)),
        DESCRIPTION: description(study.name, study.units).encode(),
        **{f"catalogue/{name}.jsonl": _as_lines(of_table) for name, of_table in rows.items()},
        **_as_files(tables),
    }
    members: dict[str, Member] = {name: partial(bytes, text) for name, text in texts.items()}
    for vault, table in ((study.originals, ORIGINAL), (study.derived, RESULT_FILE)):
        for row in rows[table.name]:
            name, sha256 = row["name"], row["sha256"]
            member = vault.place(sha256, name).relative_to(study.folder).as_posix()
            members[member] = partial(fetch, vault, name=name, sha256=sha256)
    return members


def _rows(study: Study) -> dict[str, list[dict[str, Any]]]:
    """Return the rows of every table of the catalogue, as they were at one moment, sorted by key."""
    with reading(study.catalogue) as connection:
        return {
            table.name: [
                sound(row, table)
                for row in connection.execute(select(table).order_by(*table.primary_key)).mappings()
            ]
            for table in kept_tables(connection)
        }


def _as_lines(rows: list[dict[str, Any]]) -> bytes:
    lines = (
        {name: cell.isoformat() if isinstance(cell, datetime) else cell for name, cell in row.items()}
        for row in rows
    )
    return "".join(f"{canonical_json(line)}\n" for line in lines).encode()


def _as_files(tables: tuple[DataTable, ...]) -> dict[str, bytes]:
    files: dict[str, bytes] = {}
    for table in tables:
        name = f"tables/{table.name}.csv"
        if not _TABLE_NAME.fullmatch(table.name) or name in files:
            raise WrongUseError(
                "bad-table-name",
                f"A table cannot be called {table.name!r} here.",
                hint="Use each name once: lower-case letters, digits, - and _.",
            )
        files[name] = as_csv(table)
    return files


def _dictionary(tables: tuple[DataTable, ...]) -> DataTable:
    """Return the meaning of every column of the catalogue and of the tables handed on."""
    columns = [
        DataColumn(name, "", meaning)
        for name, meaning in (
            ("table", "Member of the archive the column is in."),
            ("column", "Name of the column or key."),
            ("unit", "Unit of its numbers."),
            ("meaning", "What it says."),
        )
    ]
    kept = [
        (f"catalogue/{table.name}.jsonl", column.name, column.info.get("unit", ""), column.comment)
        for table in METADATA.sorted_tables
        for column in table.c
    ]
    handed_on = [
        (f"tables/{table.name}.csv", column.name, column.unit, column.meaning)
        for table in tables
        for column in table.columns
    ]
    return DataTable("dictionary", columns, [*kept, *handed_on])


def _write(archive: zipfile.ZipFile, name: str, content: bytes) -> str:
    """Write one member and return its SHA-256."""
    member = zipfile.ZipInfo(name, date_time=_DATE)
    member.create_system = _UNIX
    member.external_attr = _PLAIN_FILE
    archive.writestr(member, content, compress_type=zipfile.ZIP_STORED)
    return sha256_of(content)
