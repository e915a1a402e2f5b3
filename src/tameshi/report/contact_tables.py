"""Contacts as tables: one row a patch, and one row a print where a sheet holds several."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from tameshi.report.columns import cells_of, columns_of
from tameshi.report.frame import PRINT_AREAS
from tameshi.study import ALL_PRINTS, Cell, DataColumn, DataTable, Measurement, Print

_AXES = {
    "major_axis": "Longer principal axis",
    "minor_axis": "Shorter principal axis",
    "direction": "Direction of the longer axis, from across the sheet towards down it",
}
_OF_PRINT = (
    DataColumn("print", "", "File name of the picture."),
    DataColumn("print_sha256", "", "SHA-256 of the picture."),
    DataColumn("technique", "", "What was struck with."),
    DataColumn("athlete", "", "Code of who struck."),
    DataColumn("session", "", "Session of the print."),
)
_PLACE = (
    DataColumn("across", "m", "Centroid, across the sheet from its top left corner."),
    DataColumn("down", "m", "Centroid, down the sheet from its top left corner."),
)
_SHEET_PRINT = DataColumn("sheet_print", "", "Which print on the sheet, from 1.")


def patch_table(areas: Sequence[tuple[Print, Measurement]]) -> DataTable:
    """Return one row for each patch of the prints that were measured."""
    columns = (
        *_OF_PRINT,
        _SHEET_PRINT,
        DataColumn("patch", "", "Index of the patch in its picture, from 1, largest first."),
        *_PLACE,
        *columns_of(PRINT_AREAS),
        *columns_of(_AXES),
        DataColumn("perimeter", "m", "Length of its edges, hollows included."),
        DataColumn("hollow_area", "m2", "Area of its hollows, which are no contact."),
    )
    return DataTable("contacts", columns, [row for pair in areas for row in _patch_rows(*pair)])


def sheet_table(areas: Sequence[tuple[Print, Measurement]]) -> DataTable:
    """Return one row for each print on the sheets that were measured."""
    columns = (
        *_OF_PRINT,
        _SHEET_PRINT,
        DataColumn("counts", "", "Whether its area counts for its strike or technique."),
        DataColumn("patches", "", "Indices of its patches, parted by spaces."),
        *_PLACE,
        *columns_of(PRINT_AREAS),
    )
    return DataTable("sheet_prints", columns, [row for pair in areas for row in _sheet_rows(*pair)])


def _patch_rows(contact_print: Print, outcome: Measurement) -> Iterable[list[Cell]]:
    of_sheet = {
        number: int(one["index"]) for one in outcome.body.get("prints", ()) for number in one["patches"]
    }
    for patch in outcome.body.get("patches", ()):
        yield [
            *_about(contact_print),
            of_sheet[patch["index"]],
            int(patch["index"]),
            *_at(patch),
            *cells_of(PRINT_AREAS, patch),
            *cells_of(_AXES, patch),
            float(patch["perimeter"]),
            float(patch["hollow_area"]),
        ]


def _sheet_rows(contact_print: Print, outcome: Measurement) -> Iterable[list[Cell]]:
    prints = outcome.body.get("prints", ())
    which = contact_print.description.which
    for one in prints:
        counts = which in (ALL_PRINTS, str(one["index"])) or (which is None and len(prints) == 1)
        yield [
            *_about(contact_print),
            int(one["index"]),
            counts,
            " ".join(str(number) for number in one["patches"]),
            *_at(one),
            *cells_of(PRINT_AREAS, one),
        ]


def _about(contact_print: Print) -> list[Cell]:
    original, said = contact_print.original, contact_print.description
    return [original.name, original.sha256, said.technique, said.athlete, said.session]


def _at(one: Mapping[str, Any]) -> list[Cell]:
    across, down = one["centroid"]
    return [float(across), float(down)]
