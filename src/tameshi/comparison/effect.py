"""How large a difference is beside the scatter: Hedges' g, and the chance that one strike exceeds another."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import gammaln, nctdtrinc, stdtrit

from tameshi.comparison.design import Design
from tameshi.comparison.trial import Trial, mean_of
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


def hedges_g(design: Design) -> Quantity | None:
    """Return the difference in standard deviations from strike to strike within a cell.

    Parameters
    ----------
    design : Design

    Returns
    -------
    Quantity or None
        With the interval from the non-central t distribution; None where fewer than three degrees of freedom
        are left.
    """
    groups = [cell[side] for cell in design.cells for side in (0, 1) if cell[side]]
    dof = sum(len(group) - 1 for group in groups)
    if dof < 3:  # noqa: PLR2004  J and the interval need some
        return None
    squares = sum(float(np.var(_values(group)) * len(group)) for group in groups)
    spread = math.sqrt(squares / dof)
    gap, size = _gap_and_size(design)
    if spread == 0.0:
        return None
    factor, d = small_sample_factor(dof), gap / spread
    low, high = (factor * bound / math.sqrt(size) for bound in _noncentral(d * math.sqrt(size), dof))
    return Quantity(factor * d, "1").with_interval(low, high)


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
        one = [trial for cell in design.cells for trial in cell[0]]
        other = [trial for cell in design.cells for trial in cell[1]]
        cells = [(one, other)]
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
