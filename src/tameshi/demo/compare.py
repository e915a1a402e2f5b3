"""Set what was measured in the demo study beside what is true of it."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any

import numpy as np

from tameshi.demo.build import Built
from tameshi.files import read_bytes
from tameshi.quantity import Quantity, from_record
from tameshi.study import (
    Filmed,
    Joined,
    Measurement,
    Recording,
    join_study,
    measure_all,
    measure_films,
    open_study,
)

_LARGEST_TRUTH = 10_000_000
_SAME_STRIKE = 0.02
_FIGURES = {
    "peak force": "peak_force",
    "impulse": "impulse",
    "contact duration": "contact_duration",
    "rise time": "rise_time",
    "time to peak": "time_to_peak",
}


@dataclass(frozen=True, slots=True)
class Compared:
    """One measured figure beside its truth.

    Parameters
    ----------
    figure : str
        What it is: ``"peak force"``.
    of : str
        Technique.
    where : str
        File and, for a strike, its index.
    value, low, high, true : float
        In coherent SI units.
    """

    figure: str
    of: str
    where: str
    value: float
    low: float
    high: float
    true: float

    @property
    def holds(self) -> bool:
        """Whether the 95 % interval holds the truth."""
        return self.low <= self.true <= self.high

    @property
    def error(self) -> float:
        """Relative difference from the truth."""
        return self.value / self.true - 1.0

    def as_dict(self) -> dict[str, Any]:
        """Return it as JSON holds it."""
        return {**asdict(self), "holds": self.holds}


@dataclass(frozen=True, slots=True)
class Summary:
    """How one figure of one technique fared.

    Parameters
    ----------
    figure, of : str
    count, held : int
        Figures compared, and those whose interval holds the truth.
    median_error, largest_error : float
        Absolute, relative to the truth.
    median_half_width : float
        Of the 95 % interval, relative.
    """

    figure: str
    of: str
    count: int
    held: int
    median_error: float
    largest_error: float
    median_half_width: float


def compare_demo(built: Built, *, at: datetime) -> tuple[Compared, ...]:
    """Return every figure of the demo study beside its truth.

    Parameters
    ----------
    built : Built
    at : datetime
        Now, with its time zone.
    """
    truth = json.loads(read_bytes(built.truth, limit=_LARGEST_TRUTH))
    with open_study(built.study) as study:
        strikes, areas = measure_all(study, at=at)
        films = measure_films(study, strikes, at=at)
    rows = list(_strikes(strikes, truth["strikes"]))
    for contact_print, found in areas:
        name = contact_print.original.name
        technique = contact_print.description.technique or ""
        row = _row(
            "contact area",
            technique,
            name,
            found.body.get("contact_area"),
            truth["prints"][name]["contact_area"],
        )
        rows += [row] if row else []
    rows += _pressures(join_study(strikes, areas), truth["strikes"])
    rows += _films(films, truth["films"])
    return tuple(rows)


def summarise(rows: Iterable[Compared]) -> tuple[Summary, ...]:
    """Return one line for each figure of each technique, in the order they came."""
    groups: dict[tuple[str, str], list[Compared]] = {}
    for row in rows:
        groups.setdefault((row.figure, row.of), []).append(row)
    return tuple(_summary(figure, of, group) for (figure, of), group in groups.items())


def _summary(figure: str, of: str, group: list[Compared]) -> Summary:
    errors = np.abs([row.error for row in group])
    widths = [0.5 * (row.high - row.low) / row.value for row in group]
    return Summary(
        figure=figure,
        of=of,
        count=len(group),
        held=sum(row.holds for row in group),
        median_error=float(np.median(errors)),
        largest_error=float(np.max(errors)),
        median_half_width=float(np.median(widths)),
    )


def _strikes(
    measured: list[tuple[Recording, Measurement]], truth: dict[str, list[dict[str, float]]]
) -> Iterator[Compared]:
    for recording, found in measured:
        name = recording.original.name
        for strike in found.body.get("strikes", ()):
            true = _true_of(truth[name], strike["onset"])
            if true is None:
                continue
            for figure, key in _FIGURES.items():
                technique = recording.description.technique or ""
                row = _row(figure, technique, f"{name}:{strike['index']}", strike[key], true[key])
                if row:
                    yield row


def _pressures(joined: list[Joined], truth: dict[str, list[dict[str, float]]]) -> Iterator[Compared]:
    for one in joined:
        name = one.recording.original.name
        true = _true_of(truth[name], one.strike["onset"])
        if one.pressure is None or true is None:
            continue
        mean = one.pressure.mean_pressure
        figure = "mean pressure, own print" if one.pressure.own_print else "mean pressure, typical print"
        technique = one.recording.description.technique or ""
        where = f"{name}:{one.strike['index']}"
        yield Compared(figure, technique, where, mean.value, mean.low, mean.high, true["mean_pressure"])


def _films(films: list[Filmed], truth: dict[str, dict[str, float]]) -> Iterator[Compared]:
    for one in films:
        name, technique = one.film.original.name, one.film.description.technique or ""
        record, true = one.measured.body.get("speed_at_contact"), truth[name]
        speed = _row("speed at contact", technique, name, record, true["speed_at_contact"])
        if speed:
            yield speed
        mass = one.mass.mass if one.mass else None
        if isinstance(mass, Quantity):
            known = true["effective_mass"]
            yield Compared("effective mass", technique, name, mass.value, mass.low, mass.high, known)


def _row(figure: str, of: str, where: str, record: dict[str, Any] | None, true: float) -> Compared | None:
    measured = from_record(record) if record else None
    if not isinstance(measured, Quantity):
        return None
    return Compared(figure, of, where, measured.value, measured.low, measured.high, true)


def _true_of(strikes: list[dict[str, float]], onset: float) -> dict[str, float] | None:
    near = [true for true in strikes if abs(true["onset"] - onset) < _SAME_STRIKE]
    return near[0] if near else None
