"""Films of a study: measured once and kept, and joined with the strike that each shows."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from tameshi.errors import TameshiError
from tameshi.quantity import Measured, Quantity, from_record, to_record
from tameshi.study.describe import FilmKept, Recording, films
from tameshi.study.folder import Study
from tameshi.study.measure import OVERLAY, Made, Measurement, Progress, made
from tameshi.study.originals import read_original
from tameshi.study.pairing import Companion
from tameshi.study.results import Recipe

if TYPE_CHECKING:
    from tameshi.motion import EffectiveMass

TRACK = "track.json"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Filmed:
    """A film, what it told, and the mass behind the strike that it shows.

    Parameters
    ----------
    film : FilmKept
    measured : Measurement
    recording : Recording or None
        Of the strike that it shows.
    mass : EffectiveMass or None
        None where there is no strike, or no figure of it.
    why : str
        Why there is none.
    """

    film: FilmKept
    measured: Measurement
    recording: Recording | None
    mass: EffectiveMass | None
    why: str

    def figure(self, name: str) -> Measured:
        """Return a figure of the film by its name."""
        return from_record(self.measured.body[name])


def companions_of(kept: Iterable[FilmKept]) -> list[Companion]:
    """Return films as what belongs to strikes, for :func:`tameshi.study.pairing_of`.

    Parameters
    ----------
    kept : iterable of FilmKept
    """
    return [
        Companion(
            name=one.original.name,
            recording=one.description.recording,
            strike=one.description.strike,
            athlete=one.description.athlete,
            technique=one.description.technique,
        )
        for one in kept
    ]


def measure_kept_film(study: Study, film: FilmKept, *, at: datetime) -> Measurement:
    """Return what a film tells of its strike, measured now or before.

    Parameters
    ----------
    study : Study
    film : FilmKept
    at : datetime
        Now, with its time zone.
    """
    filming = dict(film.description.filming or {})
    recipe = Recipe(
        kind="clip",
        schema="tameshi.clip/1",
        inputs={"film": film.original.sha256},
        settings={"filming": filming},
    )

    def make() -> Made:
        from tameshi.motion import track_as_dict, track_png  # noqa: PLC0415  only where films are
        from tameshi.readers.clip import ClipOptions, clip_as_dict, measure_film  # noqa: PLC0415

        data = read_original(study, film.original)
        measured = measure_film(data, film.original.name, ClipOptions(**filming))
        track = json.dumps(track_as_dict(measured.film, measured.motion), allow_nan=False)
        files = {OVERLAY: track_png(measured.film, measured.motion), TRACK: track.encode()}
        return clip_as_dict(measured, to_record), files

    return made(study, film.original, recipe, make, at)


def measure_films(
    study: Study,
    strikes: Sequence[tuple[Recording, Measurement]],
    *,
    at: datetime,
    progress: Progress | None = None,
) -> list[Filmed]:
    """Return every film with what it told, and the mass behind the strike that it shows.

    Parameters
    ----------
    study : Study
    strikes
        As :func:`tameshi.study.measure_all` returns them.
    at : datetime
        Now, with its time zone.
    progress : callable or None
        Told the name of each film when it is done.
    """
    found = []
    for film in films(study):
        measured = measure_kept_film(study, film, at=at)
        found.append(_with_strike(film, measured, strikes))
        if progress is not None:
            progress(film.original.name)
    return found


def _with_strike(
    film: FilmKept, measured: Measurement, strikes: Sequence[tuple[Recording, Measurement]]
) -> Filmed:
    from tameshi.motion import effective_mass  # noqa: PLC0415  only where films are

    said = film.description
    pair = next((one for one in strikes if one[0].original.sha256 == said.recording), None)
    recording = pair[0] if pair else None

    def without(why: str) -> Filmed:
        return Filmed(film=film, measured=measured, recording=recording, mass=None, why=why)

    if measured.error is not None:
        return without(measured.error.message)
    if pair is None:
        return without("no strike of a recording belongs to the film")
    impulse = _impulse(pair[1], said.strike)
    speed, back = (from_record(measured.body[name]) for name in ("speed_at_contact", "rebound_speed"))
    if not isinstance(impulse, Quantity) or not isinstance(speed, Quantity):
        return without("the impulse of the strike, or the speed at contact, could not be measured")
    try:
        mass = effective_mass(
            impulse, speed, back if isinstance(back, Quantity) else None, key=film.original.sha256
        )
    except TameshiError as error:
        return without(error.message)
    return Filmed(film=film, measured=measured, recording=recording, mass=mass, why="")


def _impulse(outcome: Measurement, strike: int | None) -> Measured | None:
    if outcome.error is not None:
        return None
    found = [one for one in outcome.body["strikes"] if int(one["index"]) == strike]
    return from_record(found[0]["impulse"]) if found else None
