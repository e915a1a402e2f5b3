"""The difference between two techniques: how large, how sure, and for whom."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import stdtr

from tameshi.comparison.design import Cell, Design, design_of
from tameshi.comparison.effect import Exceeding, exceeding, hedges_g
from tameshi.comparison.mean import Weighted, weighted_sum
from tameshi.comparison.resample import bca_interval
from tameshi.comparison.sample import digest
from tameshi.comparison.trial import Trial, mean_of, require
from tameshi.errors import UnmeasurableError
from tameshi.quantity import Quantity, effective_dof
from tameshi.reference import row

_LINE = {"athlete": "scatter of athletes", "session": "scatter of sessions", "strike": "scatter of strikes"}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Difference:
    """One technique less another.

    Parameters
    ----------
    value : Quantity
        Mean difference with its 95 % interval; shared calibration errors cancel as far as they are shared.
    relative : float
        The same over the mean of the second.
    p : float
        Two-sided probability of a difference at least as large were there none.
    hedges_g : Quantity or None
        In standard deviations from strike to strike; None where there are too few strikes.
    exceeding : Exceeding or None
        Probability that a strike of the first exceeds one of the second.
    bootstrap : (float, float) or None
        95 % BCa interval of the mean difference; None where units are too few, or so many
        that it would say the same.
    design : Design
    counts : (int, int)
        Trials that were used.
    """

    value: Quantity
    relative: float
    p: float
    hedges_g: Quantity | None
    exceeding: Exceeding | None
    bootstrap: tuple[float, float] | None
    design: Design
    counts: tuple[int, int]

    @property
    def is_clear(self) -> bool:
        """Whether the 95 % interval leaves zero out."""
        return self.value.low > 0.0 or self.value.high < 0.0


def difference(one: Sequence[Trial], other: Sequence[Trial]) -> Difference:
    """Return how two techniques differ.

    Parameters
    ----------
    one, other : sequence of Trial, at least two each

    Raises
    ------
    UnmeasurableError
        ``too-few-trials``; ``no-scatter`` where nothing shows how much strikes scatter.
    UnitError

    Notes
    -----
    Units that struck both ways: t interval of the mean of their differences, units weighted alike.
    Others: Welch's interval of two means (B. L. Welch, Biometrika 34 (1947) 28-35, value from memory).
    Strikes within several sessions: the mean of the differences within each, with scatter pooled over them.
    """
    require(one, 2, "A difference")
    require(other, 2, "A difference")
    design = design_of(one, other)
    weighted, scatter, dof = _estimate(design)
    if not scatter > 0.0:
        raise UnmeasurableError(
            "no-scatter", "All trials are equal, which no measurement is.", hint="Check the recordings."
        )
    key = f"difference:{digest([*one, *other])}"
    value = weighted_sum(weighted, scatter, dof, name=_LINE[design.unit], key=key)
    used = [[trial for cell in design.cells for trial in cell[side]] for side in (0, 1)]
    base = float(np.mean([trial.value.value for trial in used[1]]))
    return Difference(
        value=value,
        relative=value.value / base if base else math.nan,
        p=_p_of(value),
        hedges_g=hedges_g(design),
        exceeding=exceeding(design),
        bootstrap=_bootstrap(design),
        design=design,
        counts=(len(used[0]), len(used[1])),
    )


def _estimate(design: Design) -> tuple[Weighted, float, float]:
    """Return the weights of all trials, the standard uncertainty of their sum from scatter, and its dof."""
    cells = design.cells
    if not design.is_paired:
        return _two_means(design)
    weight = 1.0 / len(cells)
    weighted = [(weight / len(cell[0]), trial) for cell in cells for trial in cell[0]]
    weighted += [(-weight / len(cell[1]), trial) for cell in cells for trial in cell[1]]
    if design.unit != "strike":
        gaps = [mean_of(cell[0]) - mean_of(cell[1]) for cell in cells]
        return weighted, float(np.std(gaps, ddof=1)) / math.sqrt(len(gaps)), len(gaps) - 1.0
    terms = []
    for side in (0, 1):
        variance, dof = _pooled([cell[side] for cell in cells])
        terms.append((math.sqrt(variance * weight**2 * sum(1.0 / len(cell[side]) for cell in cells)), dof))
    return weighted, math.hypot(*(u for u, _ in terms)), effective_dof(terms)


def _two_means(design: Design) -> tuple[Weighted, float, float]:
    weighted: list[tuple[float, Trial]] = []
    terms = []
    for side, sign in ((0, 1.0), (1, -1.0)):
        units = _units(design.cells, side, by_strike=design.unit == "strike")
        weight = sign / len(units)
        weighted += [(weight / len(unit), trial) for unit in units for trial in unit]
        means = [mean_of(unit) for unit in units]
        terms.append((float(np.std(means, ddof=1)) / math.sqrt(len(means)), len(means) - 1.0))
    return weighted, math.hypot(*(u for u, _ in terms)), effective_dof(terms)


def _units(cells: Sequence[Cell], side: int, *, by_strike: bool) -> list[list[Trial]]:
    if by_strike:
        return [[trial] for cell in cells for trial in cell[side]]
    return [cell[side] for cell in cells if cell[side]]


def _pooled(groups: Sequence[Sequence[Trial]]) -> tuple[float, float]:
    """Return the variance within groups and its degrees of freedom."""
    dof = sum(len(group) - 1 for group in groups)
    squares = sum(float(np.var([trial.value.value for trial in group]) * len(group)) for group in groups)
    return squares / dof, float(dof)


def _p_of(value: Quantity) -> float:
    # the same truncated degrees of freedom as the interval, so that both say the same of zero
    dof = max(1.0, math.floor(value.dof)) if math.isfinite(value.dof) else 1e12
    return float(2.0 * stdtr(dof, -abs(value.value) / value.u))


def _bootstrap(design: Design) -> tuple[float, float] | None:
    fewest, most = (
        int(row("comparison_limits", f"{end} for bootstrap")["limit"]) for end in ("fewest", "most")
    )
    if design.is_paired and design.unit != "strike":
        gaps = [mean_of(cell[0]) - mean_of(cell[1]) for cell in design.cells]
        return bca_interval([gaps]) if fewest <= len(gaps) <= most else None
    if len(design.cells) > 1 and design.unit == "strike":
        return None  # within sessions: what is drawn anew is not one sample
    sides = [
        [mean_of(unit) for unit in _units(design.cells, side, by_strike=design.unit == "strike")]
        for side in (0, 1)
    ]
    few_enough = max(map(len, sides)) <= most
    return bca_interval(sides) if few_enough and min(map(len, sides)) >= fewest else None
