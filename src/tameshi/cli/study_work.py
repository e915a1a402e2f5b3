"""What commands do with a whole study: look at it, export it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from tameshi.cli.shown import progress
from tameshi.study import (
    Contact,
    Exported,
    Joined,
    Measurement,
    Original,
    Print,
    Recording,
    ToBreak,
    break_targets,
    contacts_of,
    export,
    join_study,
    measure_all,
    open_study,
    prints,
    recordings,
    rigs,
)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Seen:
    """A study as measured."""

    name: str
    units: str
    rigs: tuple[Original, ...]
    strikes: list[tuple[Recording, Measurement]]
    areas: list[tuple[Print, Measurement]]
    joined: list[Joined]
    contacts: tuple[Contact, ...]
    broken: tuple[ToBreak, ...]


def look_at(folder: Path) -> Seen:
    """Measure a study, or take what has been measured before."""
    now = datetime.now(UTC)
    with open_study(folder) as study:
        total = len(recordings(study)) + len(prints(study))
        with progress("measuring", total) as done:
            strikes, areas = measure_all(study, at=now, progress=done)
        joined = join_study(strikes, areas)
        return Seen(
            name=study.name,
            units=study.units,
            rigs=rigs(study),
            strikes=strikes,
            areas=areas,
            joined=joined,
            contacts=contacts_of(strikes, areas),
            broken=break_targets(study, strikes, at=now),
        )


def export_study(folder: Path, output: Path) -> Exported:
    """Write a study with its tables of results into one archive."""
    from tameshi.report import export_tables

    with open_study(folder) as study:
        tables = export_tables(study, at=datetime.now(UTC))
        return export(study, output, tables=tables)
