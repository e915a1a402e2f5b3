"""What a report says about films: the motion of each strike, the mass behind it, the picture of its track."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from tameshi.quantity import Measured, Quantity, from_record
from tameshi.report.budgets import budget
from tameshi.report.comparison import ComparisonDrawing, Moved, speed_mass
from tameshi.report.drawing import Budget
from tameshi.report.film_tables import FILM_FIGURES, MASS_FIGURES, figures_of_mass
from tameshi.report.frame import Frame
from tameshi.report.notation import Notation
from tameshi.report.parts import Fact, Link, Named, Picture, Refused, Remark
from tameshi.report.remarks import refusal, remarks
from tameshi.study import OVERLAY, Filmed

_PLACE = ("impact_right", "impact_up")
"""Figures that mean something beside other films only."""

_MM = 1e3
_UNNAMED = "technique not named"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FilmPart:
    """One film of a strike.

    Parameters
    ----------
    place : Link
    facts : tuple of Fact
    strike : Link or None
        The strike that it shows.
    picture : Picture or None
        Its track, drawn on the frames.
    motion : tuple of Named
        Figures of the motion.
    mass : tuple of Named
        Effective mass, energies and restitution; empty where no strike belongs to the film.
    why : str
        Why there is no mass.
    budget : Budget or None
        Of the speed at contact and the mass.
    remarks : tuple of Remark
    refused : Refused or None
    """

    place: Link
    facts: tuple[Fact, ...]
    strike: Link | None = None
    picture: Picture | None = None
    motion: tuple[Named, ...] = ()
    mass: tuple[Named, ...] = ()
    why: str = ""
    budget: Budget | None = None
    remarks: tuple[Remark, ...] = ()
    refused: Refused | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FilmsPart:
    """All films of a study.

    Parameters
    ----------
    films : tuple of FilmPart
    drawing : ComparisonDrawing or None
        Speed against effective mass, where any film has both.
    """

    films: tuple[FilmPart, ...]
    drawing: ComparisonDrawing | None


def films_part(films: Sequence[Filmed], frame: Frame) -> FilmsPart | None:
    """Return what is said about the films of a study; None where there are none.

    Parameters
    ----------
    films : sequence of Filmed
    frame : Frame
    """
    if not films:
        return None
    return FilmsPart(
        films=tuple(_film_part(one, number, frame) for number, one in enumerate(films, start=1)),
        drawing=speed_mass_of(films, frame.notation),
    )


def speed_mass_of(films: Sequence[Filmed], notation: Notation) -> ComparisonDrawing | None:
    """Return speed against effective mass of the films that tell both; None where none does.

    Parameters
    ----------
    films : sequence of Filmed
    notation : Notation
    """
    return speed_mass(tuple(_moved(films)), notation)


def _moved(films: Sequence[Filmed]) -> Iterator[Moved]:
    for one in films:
        if one.mass is None or one.measured.error is not None:
            continue
        speed, mass, said = one.figure("speed_at_contact"), one.mass.mass, one.film.description
        if isinstance(speed, Quantity) and isinstance(mass, Quantity) and min(speed.value, mass.value) > 0.0:
            yield Moved(
                group=said.technique or _UNNAMED,
                speed=speed,
                mass=mass,
                athlete=said.athlete or "",
                label=one.film.original.name,
            )


def _film_part(one: Filmed, number: int, frame: Frame) -> FilmPart:
    said, body, notation = one.film.description, one.measured.body, frame.notation
    place = Link(f"film-{number}", one.film.original.name)
    strike = None
    if said.recording in frame.recordings and said.strike is not None:
        strike = frame.strike(str(said.recording), said.strike)
    facts = tuple(_facts(one))
    if one.measured.error is not None:
        return FilmPart(place=place, facts=facts, strike=strike, refused=refusal(place, one.measured.error))
    masses: dict[str, Measured] = {}
    if one.mass is not None:
        masses = dict(zip(MASS_FIGURES.values(), figures_of_mass(one.mass), strict=True))
    return FilmPart(
        place=place,
        facts=facts,
        strike=strike,
        picture=_picture(place, one.measured.files),
        motion=tuple(
            Named(name, notation.entry(from_record(body[key])))
            for key, name in FILM_FIGURES.items()
            if key not in _PLACE
        ),
        mass=tuple(Named(name, notation.entry(measured)) for name, measured in masses.items()),
        why=one.why,
        budget=budget(
            [
                ("Speed at contact", from_record(body["speed_at_contact"])),
                ("Effective mass", one.mass.mass if one.mass else None),
            ],
            place,
        ),
        remarks=remarks(body["flags"]),
    )


def _facts(one: Filmed) -> Iterator[Fact]:
    said = one.film.description
    named = {
        "Technique": said.technique,
        "Athlete": said.athlete,
        "Session": said.session,
        "Note": said.note,
    }
    if one.measured.error is None:
        named |= _found(one.measured.body)
    yield from (Fact(name, words) for name, words in named.items() if words)


def _found(body: Mapping[str, Any]) -> dict[str, str | None]:
    """Return what the film itself showed."""
    film, contact, scale = body["film"], body["contact"], body["scale"]
    return {
        "Film": f"{film['width']} × {film['height']} pixels, {film['form']}, {film['frames']} frames",
        "Frames a second": f"{film['rate']:.4g}, by {film['rate_from']}",
        "Scale from": str(scale["from"]),
        "Resolution": f"{_MM * float(scale['metres_per_pixel']):.3g}\u00a0mm a pixel",
        "Contact told by": str(contact["by"]),
        "Speed fitted to": f"{contact['frames_before']} frames before contact",
    }


def _picture(place: Link, files: Mapping[str, bytes]) -> Picture | None:
    if OVERLAY not in files:
        return None
    return Picture(
        png=files[OVERLAY],
        alternative=f"Frames of {place.words} with the followed marker's way drawn on them.",
        caption="Every place where the marker was found, in the frame of contact; frames around the hand.",
    )
