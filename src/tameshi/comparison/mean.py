"""Means of trials, with scatter and shared measurement errors kept apart.

The errors that trials share (one calibration, one sheet) do not average out: they stay whole, and cancel only
where two means share them. A trial's own errors are in the scatter already and are not counted again.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence

from tameshi.comparison.trial import Trial
from tameshi.quantity import Quantity, Source

Weighted = Sequence[tuple[float, Trial]]


def shared_parts(weighted: Weighted) -> dict[Source, float]:
    """Return what errors that several trials share do to a weighted sum of them.

    Parameters
    ----------
    weighted : sequence of (float, Trial)
        Weights may be negative: an error shared by both sides of a difference then cancels.
    """
    times = Counter(source for _, trial in weighted for source in trial.value.parts)
    parts: dict[Source, float] = {}
    for weight, trial in weighted:
        for source, part in trial.value.parts.items():
            if times[source] > 1:
                parts[source] = parts.get(source, 0.0) + weight * part
    return parts


def own_variance(trials: Sequence[Trial]) -> float:
    """Return the mean square of the errors that only one trial has."""
    times = Counter(source for trial in trials for source in trial.value.parts)
    squares = (
        part**2 for trial in trials for source, part in trial.value.parts.items() if times[source] == 1
    )
    return math.fsum(squares) / len(trials)


def weighted_sum(weighted: Weighted, scatter: float, dof: float, *, name: str, key: str) -> Quantity:
    """Return a weighted sum of trials with its scatter and their shared errors.

    Parameters
    ----------
    weighted : sequence of (float, Trial)
    scatter : float
        Standard uncertainty from scatter, in the unit of the trials.
    dof : float
        Its degrees of freedom.
    name, key : str
        Line of the budget and identity of the scatter.
    """
    unit = weighted[0][1].value.unit
    value = math.fsum(weight * trial.value.value for weight, trial in weighted)
    parts = shared_parts(weighted)
    parts[Source(key, name, dof)] = scatter
    return Quantity(value, unit, parts)
