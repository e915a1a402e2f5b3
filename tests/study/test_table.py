import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tameshi.study import Cell, DataColumn, DataTable, as_csv

FORCE = DataColumn("peak_force", "N", "Greatest force on the plate.")
NOTE = DataColumn("note", "", "Anything else.")


def lines(*rows: list[Cell]) -> list[list[str]]:
    text = as_csv(DataTable("strikes", [FORCE, NOTE], rows)).decode()
    return list(csv.reader(io.StringIO(text, newline="")))[1:]


def test_units_stand_in_the_header():
    assert as_csv(DataTable("strikes", [FORCE, NOTE], [])) == b"peak_force [N],note\r\n"


def test_numbers_are_written_in_full_and_what_is_unknown_is_empty():
    assert lines([0.1 + 0.2, True], [-3.5, None], [10**20, False]) == [
        ["0.30000000000000004", "true"],
        ["-3.5", ""],
        ["100000000000000000000", "false"],
    ]


@pytest.mark.parametrize(
    "text", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "  =1", "＝1", "=cmd|' /C x'!A0"]
)
def test_text_that_a_spreadsheet_would_obey_is_guarded(text):
    assert lines([None, text]) == [["", f"'{text}"]]


@pytest.mark.parametrize("text", ["palm heel", "a=b", 'say "hi", twice', "two\nlines", "7", "試し"])
def test_other_text_is_as_it_is(text):
    assert lines([None, text]) == [["", text]]


def test_headers_are_guarded_as_well():
    table = DataTable("strikes", [DataColumn("=x", "", "")], [])
    assert as_csv(table) == b"'=x\r\n"


@given(st.lists(st.tuples(st.none() | st.floats(allow_nan=False), st.text()), max_size=5))
def test_every_table_reads_back_cell_by_cell(rows):
    read = lines(*(list(row) for row in rows))
    assert len(read) == len(rows)
    for (number, text), (first, second) in zip(rows, read, strict=True):
        assert (float(first) if first else None) == number
        assert second in {text, f"'{text}"}
