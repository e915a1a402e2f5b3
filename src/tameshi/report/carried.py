"""Techniques of a study carried over to parts of the body: a typical strike, and the greatest.

Typical is the mean of the strikes, and a mean has no pulse: the strike whose peak lies nearest to it stands
for it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from tameshi.quantity import Quantity
from tameshi.report.techniques import UNNAMED, Group
from tameshi.report.typical import typical
from tameshi.study import (
    Measurement,
    Recording,
    Study,
    Taken,
    TransferQuestion,
    modelled_of,
    transfer_recording,
)
from tameshi.tolerance import Modelled

Strikes = Sequence[tuple[Recording, Measurement]]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Carried:
    """A technique carried over to a part of the body.

    Parameters
    ----------
    question : TransferQuestion
    technique : str
        As :class:`tameshi.report.techniques.Group` names it.
    pad : str or None
    typical, greatest : Taken or None
        The strike nearest to the typical one, and the greatest; None where it has none, or where the two are
        the same.
    places : tuple of ((str, int) or None)
        Recording, by its SHA-256, and index of each of the two.
    """

    question: TransferQuestion
    technique: str
    pad: str | None
    typical: Taken | None
    greatest: Taken | None
    places: tuple[tuple[str, int] | None, tuple[str, int] | None]

    def modelled(self, taken: Taken | None) -> tuple[Modelled, ...]:
        """Return what one of the two offers to published values that need a model."""
        return () if taken is None or taken.found is None else modelled_of(taken.found)


def carry(
    study: Study,
    strikes: Strikes,
    groups: Sequence[Group],
    asked: Sequence[TransferQuestion],
    *,
    at: datetime,
) -> tuple[Carried, ...]:
    """Return every technique that a question is about, carried over to its part.

    Parameters
    ----------
    study : Study
    strikes : sequence of (Recording, Measurement)
    groups : sequence of Group
    asked : sequence of TransferQuestion
    at : datetime
        Now, with its time zone.
    """
    by_recording = {recording.original.sha256: (recording, outcome) for recording, outcome in strikes}

    def taken(question: TransferQuestion, place: tuple[str, int] | None) -> Taken | None:
        if place is None:
            return None
        recording, outcome = by_recording[place[0]]
        found = transfer_recording(study, recording, outcome, question, at=at, only=(place[1],))
        return found[0] if found else None

    return tuple(
        Carried(
            question=question,
            technique=group.technique,
            pad=group.pad,
            typical=taken(question, _places(group)[0]),
            greatest=taken(question, _places(group)[1]),
            places=_places(group),
        )
        for group in groups
        if group.struck
        for question in _about(group, asked)
    )


def _about(group: Group, asked: Sequence[TransferQuestion]) -> tuple[TransferQuestion, ...]:
    """Return the questions about a technique; one about just this technique goes before one about all."""
    named = None if group.technique == UNNAMED else group.technique
    ranked = sorted(asked, key=lambda one: one.technique is None)
    first: dict[str, TransferQuestion] = {}
    for question in ranked:
        if question.is_about(named):
            first.setdefault(question.part, question)
    return tuple(question for question in asked if first.get(question.part) is question)


def _places(group: Group) -> tuple[tuple[str, int] | None, tuple[str, int] | None]:
    """Return which strike is nearest to the typical one, and which is the greatest, where it is another."""
    known = [one for one in group.forces if isinstance(one, Quantity)]
    mean = typical(known, "scatter of strikes")
    greatest = group.struck[group.greatest]
    if mean is None:
        return None, greatest

    def distance(place: int) -> float:
        force = group.forces[place]
        return abs(force.value - mean.value) if isinstance(force, Quantity) else float("inf")

    nearest = group.struck[min(range(len(group.forces)), key=distance)]
    return nearest, None if nearest == greatest else greatest
