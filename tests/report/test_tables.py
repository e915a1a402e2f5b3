"""Tables for other people: every figure in full, with its unit, and what is missing with its reason."""

import csv
import io
from typing import Any

import pytest

from tameshi.quantity import parse_unit
from tameshi.report import export_tables
from tameshi.study import as_csv, export, join_study, measure_all
from tests.report.club import AT


@pytest.fixture(scope="module")
def tables(study):
    return {table.name: table for table in export_tables(study, at=AT)}


@pytest.fixture(scope="module")
def measured(study):
    return measure_all(study, at=AT)


def as_rows(table) -> list[dict[str, Any]]:
    names = [column.name for column in table.columns]
    return [dict(zip(names, row, strict=True)) for row in table.rows]


NAMES = ["strikes", "prints", "contacts", "sheet_prints", "pressures", "targets", "films"]


def test_there_is_a_table_each_of_strikes_prints_contacts_pressures_targets_and_films(tables):
    assert list(tables) == NAMES


@pytest.mark.parametrize("name", NAMES)
def test_every_column_has_its_own_name_a_meaning_and_a_known_unit(tables, name):
    columns = tables[name].columns
    assert len({column.name for column in columns}) == len(columns)
    for column in columns:
        assert column.meaning.endswith(".")
        if column.unit:
            assert parse_unit(column.unit).factor == 1.0  # coherent SI


@pytest.mark.parametrize("name", NAMES)
def test_every_row_is_as_long_as_its_head(tables, name):
    assert all(len(row) == len(tables[name].columns) for row in tables[name].rows)


def test_strikes_are_the_stored_ones_in_full(tables, measured):
    stored = [strike for _, outcome in measured[0] for strike in outcome.body.get("strikes", ())]
    rows = [row for row in as_rows(tables["strikes"]) if row["strike"] is not None]
    for row, strike in zip(rows, stored, strict=True):
        for key in ("peak_force", "contact_duration", "impulse", "loading_rate"):
            record = strike[key]
            assert row[key] == record["value"]
            assert row[f"{key}_why"] == record.get("why")
            if record["value"] is not None:
                assert (row[f"{key}_u"], row[f"{key}_low"], row[f"{key}_high"]) == (
                    record["u"],
                    record["low"],
                    record["high"],
                )
        assert row["onset"] == strike["onset"]


def test_a_bound_and_a_reason_stand_for_a_missing_peak(tables):
    clipped = next(row for row in as_rows(tables["strikes"]) if "clipped" in str(row["flags"]))
    assert clipped["peak_force"] is None
    assert clipped["peak_force_at_least"] > 7000.0
    assert "cut off" in str(clipped["peak_force_why"])


def test_files_without_a_result_keep_a_row_with_the_reason(tables):
    strikes = {row["recording"]: row for row in as_rows(tables["strikes"]) if row["strike"] is None}
    assert set(strikes) == {"list.csv", "hall.csv"}
    assert all(row["why"] for row in strikes.values())
    bench = next(row for row in as_rows(tables["prints"]) if row["print"] == "bench.png")
    assert bench["why"]
    assert bench["contact_area"] is None


def test_pressures_are_the_joined_ones(tables, measured):
    for row, one in zip(as_rows(tables["pressures"]), join_study(*measured), strict=True):
        if one.pressure is None:
            assert row["why"] == one.why
            assert row["mean_pressure"] is None
            continue
        assert row["mean_pressure"] == one.pressure.mean_pressure.value
        assert row["local_high"] == one.pressure.band.high
        assert row["own_print"] is one.pressure.own_print
        assert len(str(row["prints_sha256"]).split()) == one.pressure.prints


def test_a_print_of_a_strike_names_it(tables):
    own = next(row for row in as_rows(tables["prints"]) if row["print"] == "palm-own.png")
    assert own["strike"] == 2
    assert own["recording_sha256"]


def test_tables_read_back_as_csv(tables):
    for table in tables.values():
        lines = list(csv.reader(io.StringIO(as_csv(table).decode())))
        assert lines[0] == [column.header for column in table.columns]
        assert len(lines) == len(list(table.rows)) + 1


def test_tables_go_into_an_export_of_the_study(study, tables, tmp_path):
    exported = export(study, tmp_path / "all.zip", tables=tables.values())
    assert {"tables/strikes.csv", "tables/prints.csv", "tables/pressures.csv"} <= set(exported.manifest)


def test_contacts_hold_every_patch_of_every_print_in_full(tables, measured):
    stored = [
        (contact_print.original.name, patch)
        for contact_print, outcome in measured[1]
        for patch in outcome.body.get("patches", ())
    ]
    rows = as_rows(tables["contacts"])
    assert len(rows) == len(stored) > len(measured[1])
    for row, (name, patch) in zip(rows, stored, strict=True):
        assert (row["print"], row["patch"], row["sheet_print"]) == (name, patch["index"], 1)
        assert [row["across"], row["down"]] == patch["centroid"]
        for key in ("contact_area", "inked_area", "major_axis", "minor_axis", "direction"):
            assert row[key] == patch[key]["value"]
            assert row[f"{key}_u"] == patch[key].get("u")
            assert row[f"{key}_why"] == patch[key].get("why")


def test_areas_of_patches_add_up_to_those_of_their_print_and_picture(tables):
    contacts, sheets = as_rows(tables["contacts"]), as_rows(tables["sheet_prints"])
    for row in as_rows(tables["prints"]):
        if row["why"]:
            assert row["print"] not in {one["print"] for one in sheets}
            continue
        for each in (contacts, sheets):
            whole = sum(one["contact_area"] for one in each if one["print_sha256"] == row["print_sha256"])
            assert whole == pytest.approx(row["contact_area"])
        assert row["sheet_prints"] == 1
    assert all(one["counts"] for one in sheets)
