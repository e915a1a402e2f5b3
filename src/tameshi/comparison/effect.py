"""How large a difference is beside the scatter: Hedges' g, and the chance that one strike exceeds another."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import gammaln, nctdtrinc, stdtrit

from tameshi.comparison.design import Design
from tameshi.comparison.scatter import spread_within
from tameshi.comparison.trial import Trial, by_session, groups_of, mean_of
from tameshi.quantity import LEVEL, Quantity, effective_dof

_TAIL = 0.5 * (1.0 - LEVEL)


@dataclass(frozen=True, slots=True)
class Exceeding:
    """The probability that one strike of the first technique exceeds one of the second, ties counted half.

    Parameters
    ----------
    value, low, high : float
        With its 95 % interval.
    """

    value: float
    low: float
    high: float


def small_sample_factor(dof: float) -> float:
    """Return J, what takes the bias out of a standardised difference.

    Parameters
    ----------
    dof : float
        Degrees of freedom of the standard deviation.

    Notes
    -----
    J = Gamma(m/2) / (sqrt(m/2) Gamma((m - 1)/2)). Source: L. V. Hedges, J. Educ. Stat. 6 (1981) 107-128
    (value from memory).
    """
    return float(math.exp(gammaln(dof / 2.0) - gammaln((dof - 1.0) / 2.0)) / math.sqrt(dof / 2.0))


def hedges_g(design: Design, scatter: tuple[float, float]) -> Quantity | None:
    """Return the difference in standard deviations from strike to strike within an athlete's session.

    Parameters
    ----------
    design : Design
    scatter : (float, float)
        Standard uncertainty of the mean difference from scatter, and its degrees of freedom.

    Returns
    -------
    Quantity or None
        Where strikes are the unit with the interval from the non-central t distribution, pooled; where
        athletes or sessions are, with theirs and that of the standard deviation together. None where fewer
        than three degrees of freedom are left.
    """
    sides = [[trial for cell in design.cells for trial in cell[side]] for side in (0, 1)]
    cells = [own for cell in design.cells for own in cell if own]
    if design.unit != "strike":
        cells = [own for side in sides for own in groups_of(side, by_session).values()]
    spread, dof = spread_within(cells)
    if dof < 3 or spread == 0.0:  # noqa: PLR2004  J and the interval need some
        return None
    gap, size = _gap_and_size(design)
    factor, d = small_sample_factor(dof), gap / spread
    if design.unit == "strike":
        low, high = (factor * bound / math.sqrt(size) for bound in _noncentral(d * math.sqrt(size), dof))
        return Quantity(factor * d, "1").with_interval(low, high)
    shares = [(scatter[0] / spread, scatter[1]), (abs(d) / math.sqrt(2.0 * dof), float(dof))]
    u = math.hypot(*(share for share, _ in shares))
    half = factor * u * float(stdtrit(max(1.0, effective_dof(shares)), 1.0 - _TAIL))
    return Quantity(factor * d, "1").with_interval(factor * d - half, factor * d + half)


def _gap_and_size(design: Design) -> tuple[float, float]:
    """Return the mean difference over cells and what stands for n1 n2 / (n1 + n2) in its variance."""
    cells = [cell for cell in design.cells if all(cell)]
    if cells:
        gap = float(np.mean([mean_of(cell[0]) - mean_of(cell[1]) for cell in cells]))
        spread = sum(1.0 / len(cell[0]) + 1.0 / len(cell[1]) for cell in cells) / len(cells) ** 2
        return gap, 1.0 / spread
    sides = [[cell[side] for cell in design.cells if cell[side]] for side in (0, 1)]
    means = [float(np.mean([mean_of(unit) for unit in side])) for side in sides]
    counts = [sum(map(len, side)) for side in sides]
    return means[0] - means[1], counts[0] * counts[1] / (counts[0] + counts[1])


def _noncentral(t: float, dof: float) -> tuple[float, float]:
    """Return the non-centralities under which t is the upper and the lower 2.5 % point.

    Source: J. H. Steiger, R. T. Fouladi, in What If There Were No Significance Tests? (1997) (from memory).
    """
    return float(nctdtrinc(dof, 1.0 - _TAIL, t)), float(nctdtrinc(dof, _TAIL, t))


def exceeding(design: Design) -> Exceeding | None:
    """Return the probability that a strike of the first technique exceeds one of the second.

    Parameters
    ----------
    design : Design

    Notes
    -----
    Placements of each strike among the other technique's (E. Brunner, U. Munzel, Biom. J. 42 (2000) 17-25,
    value from memory), the mean over cells, interval on the logit scale.
    """
    cells = [cell for cell in design.cells if all(cell)]
    if not cells:
        sides = [[cell[side] for cell in design.cells if cell[side]] for side in (0, 1)]
        return _of_units(sides[0], sides[1])
    found = [_placed(_values(one), _values(other)) for one, other in cells]
    value = float(np.mean([each[0] for each in found]))
    if len(cells) >= 3 and design.unit != "strike":  # noqa: PLR2004  scatter of units shows
        u = float(np.std([each[0] for each in found], ddof=1)) / math.sqrt(len(cells))
        dof = len(cells) - 1.0
    else:
        terms = [(part / len(cells), dof) for each in found for part, dof in each[1]]
        u = math.hypot(*(part for part, _ in terms))
        dof = effective_dof(terms)
    return _on_logit(value, u, dof, sum(len(one) * len(other) for one, other in cells))


def _of_units(one: Sequence[Sequence[Trial]], other: Sequence[Sequence[Trial]]) -> Exceeding | None:
    """Return the probability where each unit (athlete, session) struck one way: units count, alike."""
    shares = np.array([[_placed(_values(this), _values(that))[0] for that in other] for this in one])
    terms = [
        (float(np.std(shares.mean(axis=axis), ddof=1)) / math.sqrt(len(units)), len(units) - 1.0)
        for axis, units in ((1, one), (0, other))
    ]
    u = math.hypot(*(part for part, _ in terms))
    return _on_logit(float(shares.mean()), u, effective_dof(terms), len(one) * len(other))


def _placed(one: np.ndarray, other: np.ndarray) -> tuple[float, list[tuple[float, float]]]:
    """Return the share of pairs in which the first is greater, and its uncertainty from either sample."""
    terms = []
    for these, those in ((one, other), (other, one)):
        ranked = np.sort(those)
        below, up_to = np.searchsorted(ranked, these), np.searchsorted(ranked, these, side="right")
        placements = 0.5 * (below + up_to) / len(those)  # ties counted half
        if len(placements) > 1:
            u = float(np.std(placements, ddof=1)) / math.sqrt(len(placements))
            terms.append((u, len(placements) - 1.0))
    # the placements of the second in the first are what is left of one
    return 1.0 - float(placements.mean()), terms


def _on_logit(value: float, u: float, dof: float, pairs: int) -> Exceeding | None:
    if not math.isfinite(dof) and u == 0.0 and 0.0 < value < 1.0:
        return None
    edge = 0.5 / pairs
    inside = min(max(value, edge), 1.0 - edge)
    if u == 0.0:  # every strike of one exceeds every strike of the other: half a pair is what is not known
        u = edge
    k = float(stdtrit(max(1.0, dof if math.isfinite(dof) else 1e6), 1.0 - _TAIL))
    middle, half = math.log(inside / (1.0 - inside)), k * u / (inside * (1.0 - inside))
    ends = (min(max(end, -700.0), 700.0) for end in (middle - half, middle + half))
    low, high = (1.0 / (1.0 + math.exp(-end)) for end in ends)
    return Exceeding(value, min(low, value), max(high, value))


def _values(trials: Sequence[Trial]) -> np.ndarray:
    return np.array([trial.value.value for trial in trials])
