"""Means of trials, with scatter and shared measurement errors kept apart.

The errors that units share (one calibration, one sheet) do not average out: they stay whole, and cancel only
where two means share them. What one unit alone is wrong by is in the scatter of units already and is not
counted again.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from tameshi.comparison.trial import Trial
from tameshi.quantity import Quantity, Source


@dataclass(frozen=True, slots=True, eq=False)
class Weighted:
    """A trial in a sum: its weight, and the number of the unit (strike, session, athlete) it belongs to."""

    weight: float
    trial: Trial
    unit: int


def shared_parts(terms: Sequence[Weighted]) -> dict[Source, float]:
    """Return what errors that several units share do to a weighted sum of trials.

    Parameters
    ----------
    terms : sequence of Weighted
        Weights may be negative: an error shared by both sides of a difference then cancels.
    """
    first: dict[Source, int] = {}
    shared: set[Source] = set()
    for term in terms:
        for source in term.trial.value.parts:
            if first.setdefault(source, term.unit) != term.unit:
                shared.add(source)
    parts: dict[Source, float] = {}
    for term in terms:
        for source, part in term.trial.value.parts.items():
            if source in shared:
                parts[source] = parts.get(source, 0.0) + term.weight * part
    return parts


def own_variance(trials: Sequence[Trial]) -> float:
    """Return the mean square of the errors that only one trial has."""
    times = Counter(source for trial in trials for source in trial.value.parts)
    squares = (
        part**2 for trial in trials for source, part in trial.value.parts.items() if times[source] == 1
    )
    return math.fsum(squares) / len(trials)


def weighted_sum(terms: Sequence[Weighted], scatter: float, dof: float, *, name: str, key: str) -> Quantity:
    """Return a weighted sum of trials with its scatter and their shared errors.

    Parameters
    ----------
    terms : sequence of Weighted
    scatter : float
        Standard uncertainty from scatter, in the unit of the trials.
    dof : float
        Its degrees of freedom.
    name, key : str
        Line of the budget and identity of the scatter.
    """
    value = math.fsum(term.weight * term.trial.value.value for term in terms)
    parts = shared_parts(terms)
    parts[Source(key, name, dof)] = scatter
    return Quantity(value, terms[0].trial.value.unit, parts)
