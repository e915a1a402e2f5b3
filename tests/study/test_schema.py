import re
from dataclasses import fields
from pathlib import Path

import pytest
from sqlalchemy import Table
from sqlalchemy.engine import make_url
from sqlalchemy.schema import CreateTable

import tameshi.study
from tameshi.study import FilmDescription, Original, PrintDescription, RecordingDescription
from tameshi.study.schema import CONTACT_PRINT, FILM, METADATA, ORIGINAL, RECORDING


@pytest.mark.parametrize("table", METADATA.sorted_tables, ids=str)
def test_every_table_can_be_made_in_postgresql(table):
    made = str(CreateTable(table).compile(dialect=make_url("postgresql://").get_dialect()()))
    assert made.strip().startswith("CREATE TABLE")
    assert ("TIMESTAMP WITH TIME ZONE" in made) == (table.name in {"original", "result"})


def test_only_the_catalogue_knows_which_database_it_is():
    folder = Path(tameshi.study.__file__).parent
    knowing = {
        path.name for path in folder.glob("*.py") if re.search("sqlite3|PRAGMA|IMMEDIATE", path.read_text())
    }
    assert knowing == {"catalogue.py"}


@pytest.mark.parametrize(
    ("table", "record"),
    [
        (ORIGINAL, Original),
        (RECORDING, RecordingDescription),
        (CONTACT_PRINT, PrintDescription),
        (FILM, FilmDescription),
    ],
    ids=["original", "recording", "print", "film"],
)
def test_a_record_has_a_field_for_every_column(table: Table, record: type[Original]):
    assert {one.name for one in fields(record)} | {"sha256"} == set(table.c.keys())


def test_every_column_is_explained():
    assert all(column.comment for table in METADATA.sorted_tables for column in table.c)
