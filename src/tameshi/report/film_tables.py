"""What films told of strikes, as a table: a row a film, with the mass behind the strike that it shows."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from tameshi.quantity import Measured, as_dict
from tameshi.report.columns import cells_of, codes_of, columns_of
from tameshi.study import Cell, DataColumn, DataTable, Filmed

if TYPE_CHECKING:
    from tameshi.motion import EffectiveMass

FILM_FIGURES = {
    "speed_at_contact": "Speed at contact",
    "peak_speed": "Peak speed",
    "peak_acceleration": "Peak acceleration before contact",
    "movement_time": "Movement time",
    "reach": "Reach from guard",
    "impact_right": "Place of the marker at contact, right of the scale",
    "impact_up": "Place of the marker at contact, above the scale",
    "rebound_speed": "Speed back off the target",
}
MASS_FIGURES = {
    "effective_mass": "Effective mass",
    "kinetic_energy": "Kinetic energy at contact",
    "energy_given": "Energy given in contact",
    "restitution": "Restitution",
}
"""In the order of :func:`figures_of_mass`."""


def figures_of_mass(mass: EffectiveMass) -> tuple[Measured, ...]:
    """Return the quantities that ``MASS_FIGURES`` names."""
    return mass.mass, mass.energy, mass.energy_given, mass.restitution


def film_table(films: Sequence[Filmed]) -> DataTable:
    """Return the films of a study as a table.

    Parameters
    ----------
    films
        As :func:`tameshi.study.measure_films` returns them.
    """
    columns = (
        DataColumn("film", "", "File name of the film."),
        DataColumn("film_sha256", "", "SHA-256 of the film."),
        DataColumn("technique", "", "What was struck with."),
        DataColumn("athlete", "", "Code of who struck."),
        DataColumn("session", "", "Session of the film."),
        DataColumn("recording_sha256", "", "Recording of its strike; empty where none is told."),
        DataColumn("strike", "", "Index of its strike in that recording."),
        DataColumn("frame_rate", "Hz", "Frames a second, as taken."),
        *columns_of(FILM_FIGURES),
        *columns_of(MASS_FIGURES),
        DataColumn("mass_low", "kg", "Effective mass for the most rebound that there may be."),
        DataColumn("mass_high", "kg", "Effective mass for the least rebound that there may be."),
        DataColumn("rebound", "", "Whether the rebound was measured, bounded or is unknown."),
        DataColumn("flags", "", "Codes of its flags, parted by spaces."),
        DataColumn("why", "", "Why there is no result, or no mass; empty where there is."),
    )
    return DataTable("films", columns, [_row(one, len(columns)) for one in films])


def _row(one: Filmed, width: int) -> list[Cell]:
    original, said, found = one.film.original, one.film.description, one.measured
    row: list[Cell] = [original.name, original.sha256, said.technique, said.athlete, said.session]
    row += [said.recording, said.strike]
    if found.error is not None:
        return [*row, *[None] * (width - len(row) - 1), found.error.message]
    row += [float(found.body["film"]["rate"]), *cells_of(FILM_FIGURES, found.body)]
    flags = codes_of(found.body["flags"])
    mass = one.mass
    if mass is None:
        return [*row, *[None] * (width - len(row) - 2), flags, one.why]
    records = {
        name: as_dict(figure) for name, figure in zip(MASS_FIGURES, figures_of_mass(mass), strict=True)
    }
    return [*row, *cells_of(MASS_FIGURES, records), *mass.limits, mass.rebound, flags, ""]
