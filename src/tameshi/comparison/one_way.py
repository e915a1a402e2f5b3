"""Whether groups (athletes, sessions) differ by more than their strikes scatter."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import fdtrc

from tameshi.errors import UnmeasurableError


@dataclass(frozen=True, slots=True, kw_only=True)
class OneWay:
    """One-way analysis of variance.

    Parameters
    ----------
    f, p : float
    between, within : float
        Mean squares.
    dofs : (int, int)
    """

    f: float
    p: float
    between: float
    within: float
    dofs: tuple[int, int]


def one_way(groups: Sequence[Sequence[float]]) -> OneWay:
    """Return the one-way analysis of variance of some groups.

    Parameters
    ----------
    groups : sequence of sequences of float

    Raises
    ------
    UnmeasurableError
        ``too-few-trials`` where nothing is left to show the scatter.

    Notes
    -----
    Everything is taken about a value amid the data first: numbers that agree in their leading digits keep the
    others (NIST StRD, lower and higher level of difficulty).
    """
    values = [np.asarray(group, np.float64) for group in groups if len(group)]
    count, total = len(values), sum(map(len, values))
    if count < 2 or total <= count:  # noqa: PLR2004
        raise UnmeasurableError(
            "too-few-trials",
            "Groups are compared from two on, with more trials than groups.",
            hint="Strike more.",
        )
    amid = float(np.median(values[0]))
    values = [group - amid for group in values]
    sums = [math.fsum(group) for group in values]
    means = [whole / len(group) for whole, group in zip(sums, values, strict=True)]
    middle = math.fsum(sums) / total
    between = math.fsum(len(group) * (mean - middle) ** 2 for mean, group in zip(means, values, strict=True))
    within = math.fsum(math.fsum((group - mean) ** 2) for mean, group in zip(means, values, strict=True))
    dofs = (count - 1, total - count)
    squares = between / dofs[0], within / dofs[1]
    f = squares[0] / squares[1] if squares[1] > 0.0 else math.inf
    return OneWay(f=f, p=float(fdtrc(*dofs, f)), between=squares[0], within=squares[1], dofs=dofs)
