"""The figures of a study as tables for other people: strikes, prints, what they are made of, pressures.

One row for each strike, picture of a print, patch, print on a sheet and pressure, in coherent SI and to full
precision; what could not be measured keeps its row, with the reason.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime

from tameshi.quantity import as_dict
from tameshi.report.columns import cells_of, codes_of, columns_of
from tameshi.report.contact_tables import patch_table, sheet_table
from tameshi.report.film_tables import film_table
from tameshi.report.frame import PRINT_AREAS, STRIKE_FIGURES
from tameshi.report.target_table import target_table
from tameshi.study import (
    Cell,
    DataColumn,
    DataTable,
    Joined,
    Measurement,
    Print,
    Recording,
    Study,
    break_targets,
    join_study,
    measure_all,
    measure_films,
)

_PRESSURE_FIGURES = {"force": "Peak force", "area": "Contact area", "mean_pressure": "Mean pressure"}

_OF_RECORDING = (
    DataColumn("recording", "", "File name of the recording."),
    DataColumn("recording_sha256", "", "SHA-256 of the recording."),
    DataColumn("technique", "", "What was struck with."),
    DataColumn("athlete", "", "Code of who struck."),
    DataColumn("session", "", "Session of the recording."),
    DataColumn("side", "", "Hand or foot."),
)
_STRIKE = DataColumn("strike", "", "Index of the strike in its recording, from 1.")
_FLAGS = DataColumn("flags", "", "Codes of its flags, parted by spaces.")
_WHY = DataColumn("why", "", "Why there is no result; empty where there is one.")


def export_tables(study: Study, *, at: datetime) -> tuple[DataTable, ...]:
    """Return the strikes, prints with their patches, pressures, targets and films of a study as tables.

    Parameters
    ----------
    study : Study
    at : datetime
        Now, with its time zone: what has not been measured yet is measured.
    """
    strikes, areas = measure_all(study, at=at)
    return (
        _strikes(strikes),
        _prints(areas),
        patch_table(areas),
        sheet_table(areas),
        _pressures(join_study(strikes, areas)),
        target_table(break_targets(study, strikes, at=at)),
        film_table(measure_films(study, strikes, at=at)),
    )


def _strikes(strikes: Sequence[tuple[Recording, Measurement]]) -> DataTable:
    columns = (
        *_OF_RECORDING,
        DataColumn("pad", "", "Pad of the plate; empty without a rig file."),
        DataColumn("conversion", "", "Where newtons come from."),
        DataColumn("rate", "Hz", "Samples a second."),
        _STRIKE,
        DataColumn("onset", "s", "Onset, from the first sample of the recording."),
        DataColumn("end", "s", "End of the contact, likewise."),
        DataColumn("loading_span", "s", "Span over which the loading rate was taken."),
        *columns_of(STRIKE_FIGURES),
        _FLAGS,
        _WHY,
    )
    return DataTable(
        "strikes", columns, [row for pair in strikes for row in _strike_rows(*pair, len(columns))]
    )


def _strike_rows(recording: Recording, outcome: Measurement, width: int) -> Iterable[list[Cell]]:
    body = outcome.body
    if outcome.error is not None or not body["strikes"]:
        why = outcome.error.message if outcome.error else "no strike was found"
        said = _about(recording)
        yield [*said, *[None] * (width - len(said) - 1), why]
        return
    of = body["recording"]
    for strike in body["strikes"]:
        yield [
            *_about(recording),
            of["pad"],
            of["conversion"],
            float(of["rate"]),
            int(strike["index"]),
            float(strike["onset"]),
            float(strike["end"]),
            strike["loading_rate"].get("span"),
            *cells_of(STRIKE_FIGURES, strike),
            codes_of([*body["flags"], *strike["flags"]]),
            "",
        ]


def _prints(areas: Sequence[tuple[Print, Measurement]]) -> DataTable:
    columns = (
        DataColumn("print", "", "File name of the picture."),
        DataColumn("print_sha256", "", "SHA-256 of the picture."),
        DataColumn("technique", "", "What was struck with."),
        DataColumn("athlete", "", "Code of who struck."),
        DataColumn("session", "", "Session of the print."),
        DataColumn("recording_sha256", "", "Recording of its strike; empty for a typical print."),
        DataColumn("strike", "", "Index of its strike in that recording."),
        DataColumn("reference", "", "What gave the picture its scale."),
        DataColumn("scale", "m", "Length of a pixel of the squared-up print."),
        DataColumn("patches", "", "Number of patches; the table contacts has a row for each."),
        DataColumn("sheet_prints", "", "Number of prints on the sheet; see the table sheet_prints."),
        DataColumn("which", "", "Which of them counts, as it was said; empty where nothing was."),
        DataColumn("lens_sha256", "", "Lens file of the camera; empty where none was used."),
        DataColumn("by_hand", "", "What was corrected by hand, in words; empty where nothing was."),
        *columns_of(PRINT_AREAS),
        _FLAGS,
        _WHY,
    )
    return DataTable("prints", columns, [_print_row(*pair, len(columns)) for pair in areas])


def _print_row(contact_print: Print, outcome: Measurement, width: int) -> list[Cell]:
    original, said, body = contact_print.original, contact_print.description, outcome.body
    row: list[Cell] = [original.name, original.sha256, said.technique, said.athlete, said.session]
    row += [said.recording, said.strike]
    if outcome.error is not None:
        return [*row, *[None] * (width - len(row) - 1), outcome.error.message]
    reference = body["reference"]
    row += [reference["kind"], float(reference["scale"]), len(body["patches"])]
    row += [len(body["prints"]), said.which, body.get("lens", {}).get("sha256")]
    row += ["; ".join(body.get("corrections", {}).get("said", ()))]
    return [*row, *cells_of(PRINT_AREAS, body), codes_of(body["flags"]), ""]


def _pressures(joined: Sequence[Joined]) -> DataTable:
    columns = (
        *_OF_RECORDING,
        _STRIKE,
        *columns_of(_PRESSURE_FIGURES),
        DataColumn("local_low", "Pa", "Greatest local pressure on the plate, mildest contact model."),
        DataColumn("local_high", "Pa", "Greatest local pressure on the plate, sharpest contact model."),
        DataColumn("local_lowest", "Pa", "The first with the lower end of the mean's interval."),
        DataColumn("local_highest", "Pa", "The second with the upper end of the mean's interval."),
        DataColumn("models", "", "The contact models with their factors."),
        DataColumn("on_tissue_low", "Pa", "Least it counts as beside published local pressures."),
        DataColumn("on_tissue_high", "Pa", "Most it counts as beside published local pressures."),
        DataColumn("own_print", "", "Whether the print is the strike's own; else it is a typical one."),
        DataColumn("prints_sha256", "", "SHA-256 of the prints the area comes from, parted by spaces."),
        _FLAGS,
        _WHY,
    )
    return DataTable("pressures", columns, [_pressure_row(one, len(columns)) for one in joined])


def _pressure_row(one: Joined, width: int) -> list[Cell]:
    row = [*_about(one.recording), int(one.strike["index"])]
    pressure = one.pressure
    if pressure is None:
        return [*row, *[None] * (width - len(row) - 1), one.why]
    figures = {"force": pressure.force, "area": pressure.area, "mean_pressure": pressure.mean_pressure}
    band = pressure.band
    return [
        *row,
        *cells_of(_PRESSURE_FIGURES, {name: as_dict(figure) for name, figure in figures.items()}),
        band.low,
        band.high,
        band.lowest,
        band.highest,
        band.model,
        pressure.on_tissue.low,
        pressure.on_tissue.high,
        pressure.own_print,
        " ".join(each.original.sha256 for each in one.prints),
        codes_of([flag.as_dict() for flag in pressure.flags]),
        "",
    ]


def _about(recording: Recording) -> list[Cell]:
    original, said = recording.original, recording.description
    return [original.name, original.sha256, said.technique, said.athlete, said.session, said.side]
