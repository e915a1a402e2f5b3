"""Means of trials, with scatter and shared measurement errors kept apart.

The errors that units share (one calibration, one sheet) do not average out: they stay whole, and cancel only
where two means share them. What one unit alone is wrong by is in the scatter of units already and is not
counted again.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from typing import NamedTuple

from tameshi.comparison.trial import Trial
from tameshi.quantity import Quantity, Source


class Weighted(NamedTuple):
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
    first: dict[str, int] = {}  # by key: hashing a whole source for each trial takes most of the time
    shared: dict[str, list[float]] = {}
    sources: dict[str, Source] = {}
    for _, trial, unit in terms:
        for source in trial.value.parts:
            if first.setdefault(source.key, unit) != unit and source.key not in shared:
                shared[source.key] = []
                sources[source.key] = source
    if not shared:
        return {}
    for weight, trial, _ in terms:
        for source, part in trial.value.parts.items():
            if source.key in shared:
                shared[source.key].append(weight * part)
    return {sources[key]: math.fsum(own) for key, own in shared.items()}


def own_variance(trials: Sequence[Trial]) -> float:
    """Return the mean square of the errors that only one trial has."""
    times = Counter([source.key for trial in trials for source in trial.value.parts])
    squares = [
        part * part
        for trial in trials
        for source, part in trial.value.parts.items()
        if times[source.key] == 1
    ]
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
