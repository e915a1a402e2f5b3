"""The difference between two techniques: how large, how sure, and for whom."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import fdtrc, stdtr

from tameshi.comparison.design import Cell, Design, design_of
from tameshi.comparison.effect import Exceeding, exceeding, hedges_g
from tameshi.comparison.mean import Weighted, weighted_sum
from tameshi.comparison.resample import bca_interval
from tameshi.comparison.sample import SCATTER, digest
from tameshi.comparison.scatter import spread_within
from tameshi.comparison.trial import Trial, by_session, groups_of, mean_of, require
from tameshi.errors import UnmeasurableError
from tameshi.quantity import Quantity, effective_dof
from tameshi.reference import row

_Terms = list[Weighted]


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
    scatter_ratio_p : float
        Two-sided probability of scatters (within sessions) at least as unlike, were they alike; one where
        either is not known.
    """

    value: Quantity
    relative: float
    p: float
    hedges_g: Quantity | None
    exceeding: Exceeding | None
    bootstrap: tuple[float, float] | None
    design: Design
    counts: tuple[int, int]
    scatter_ratio_p: float

    @property
    def is_clear(self) -> bool:
        """Whether the 95 % interval leaves zero out."""
        return self.value.low > 0.0 or self.value.high < 0.0


def difference(one: Sequence[Trial], other: Sequence[Trial], *, by: str = "technique") -> Difference:
    """Return how two techniques differ.

    Parameters
    ----------
    one, other : sequence of Trial, at least two each
    by : str
        What they differ by on purpose, as in :func:`tameshi.comparison.design_of`.

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
    design = design_of(one, other, by=by)
    terms, scatter, dof = _estimate(design)
    if not scatter > 0.0:
        raise UnmeasurableError(
            "no-scatter", "All trials are equal, which no measurement is.", hint="Check the recordings."
        )
    key = f"difference:{digest([*one, *other])}"
    value = weighted_sum(terms, scatter, dof, name=SCATTER[design.unit], key=key)
    used = [[trial for cell in design.cells for trial in cell[side]] for side in (0, 1)]
    base = float(np.mean([trial.value.value for trial in used[1]]))
    return Difference(
        value=value,
        relative=value.value / base if base else math.nan,
        p=_p_of(value),
        hedges_g=hedges_g(design, (scatter, dof)),
        exceeding=exceeding(design),
        bootstrap=_bootstrap(design),
        design=design,
        counts=(len(used[0]), len(used[1])),
        scatter_ratio_p=_unlike(used),
    )


def _unlike(sides: Sequence[Sequence[Trial]]) -> float:
    """Return how often two scatters would be as unlike as these by chance: the F test of variances."""
    (one, first), (other, second) = (
        spread_within(list(groups_of(side, by_session).values())) for side in sides
    )
    if not (one > 0.0 and other > 0.0):
        return 1.0
    above = float(fdtrc(first, second, (one / other) ** 2))
    return 2.0 * min(above, 1.0 - above)


def _estimate(design: Design) -> tuple[_Terms, float, float]:
    """Return the weights of all trials, the standard uncertainty of their sum from scatter, and its dof."""
    cells = design.cells
    if not design.is_paired:
        return _two_means(design)
    weight = 1.0 / len(cells)
    by_strike = design.unit == "strike"
    terms: _Terms = []
    for place, cell in enumerate(cells):
        for own, sign in zip(cell, (1.0, -1.0), strict=True):
            # the unit that an error may be confined to is the strike or the cell
            terms += [
                Weighted(sign * weight / len(own), trial, len(terms) + number if by_strike else place)
                for number, trial in enumerate(own)
            ]
    if not by_strike:
        gaps = [mean_of(cell[0]) - mean_of(cell[1]) for cell in cells]
        return terms, float(np.std(gaps, ddof=1)) / math.sqrt(len(gaps)), len(gaps) - 1.0
    shares = []
    for side in (0, 1):
        sd, dof = spread_within([cell[side] for cell in cells])
        shares.append((sd * weight * math.sqrt(sum(1.0 / len(cell[side]) for cell in cells)), float(dof)))
    return terms, math.hypot(*(u for u, _ in shares)), effective_dof(shares)


def _two_means(design: Design) -> tuple[_Terms, float, float]:
    terms: _Terms = []
    shares = []
    number = 0
    for side, sign in ((0, 1.0), (1, -1.0)):
        units = _units(design.cells, side, by_strike=design.unit == "strike")
        for unit in units:
            terms += [Weighted(sign / len(units) / len(unit), trial, number) for trial in unit]
            number += 1
        means = np.array([mean_of(unit) for unit in units])
        shares.append((float(np.std(means, ddof=1)) / math.sqrt(len(means)), len(means) - 1.0))
    return terms, math.hypot(*(u for u, _ in shares)), effective_dof(shares)


def _units(cells: Sequence[Cell], side: int, *, by_strike: bool) -> list[list[Trial]]:
    if by_strike:
        return [[trial] for cell in cells for trial in cell[side]]
    return [cell[side] for cell in cells if cell[side]]


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
    by_strike = design.unit == "strike"
    counts = [
        sum(len(cell[side]) if by_strike else bool(cell[side]) for cell in design.cells) for side in (0, 1)
    ]
    if min(counts) < fewest or max(counts) > most:
        return None
    return bca_interval(
        [[mean_of(unit) for unit in _units(design.cells, side, by_strike=by_strike)] for side in (0, 1)]
    )
