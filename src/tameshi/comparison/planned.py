"""How many strikes, and how many athletes, would tell two groups apart: from the scatter that these have."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from tameshi.comparison.difference import Difference
from tameshi.comparison.plan import Plan, plan_athletes, plan_strikes
from tameshi.comparison.sample import Sample
from tameshi.comparison.scatter import spread_within
from tameshi.comparison.trial import by_session, groups_of, mean_of
from tameshi.errors import UnmeasurableError
from tameshi.quantity import interval_of_sd


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What a plan is for.

    Parameters
    ----------
    share : float
        The difference to see, as a share of the mean of the second group.
    power : float
    """

    share: float
    power: float = 0.8


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """How many of what would tell two groups apart.

    Parameters
    ----------
    gap : float
        The difference to see.
    unit : str
        Of gap and scatter.
    sd : float
        Standard deviation from strike to strike that was used: of both groups, pooled.
    strikes : Plan or None
        Of one athlete in one session.
    strikes_range : (int, int) or None
        Strikes by power, were the standard deviation at either end of its 95 % interval.
    leaning_sd : float or None
        What athletes differ by in the difference itself; None where fewer than three struck both ways.
    each : int
        Strikes of each technique by each athlete, for the athletes.
    athletes : Plan or None
    why : str
        Why there is no plan for strikes or for athletes; empty where there are both.
    """

    gap: float
    unit: str
    sd: float
    strikes: Plan | None
    strikes_range: tuple[int, int] | None
    leaning_sd: float | None
    each: int
    athletes: Plan | None
    why: str


def planned(one: Sample, other: Sample, found: Difference | None, wanted: Wanted) -> Planned | None:
    """Return how many strikes and athletes tell two groups apart; None where no scatter is known.

    Parameters
    ----------
    one, other : Sample
    found : Difference or None
        Of these two; the scatter from athlete to athlete is taken from it.
    wanted : Wanted
    """
    shares = [(each.sd, each.sd_dof) for each in (one, other) if each.sd]
    if not shares:
        return None
    dof = sum(own for _, own in shares)
    sd = math.sqrt(sum(spread**2 * own for spread, own in shares) / dof)
    gap = abs(wanted.share * other.mean.value)
    strikes, why = _tried(lambda: plan_strikes(gap, sd, power=wanted.power))
    least, most = interval_of_sd(sd, dof)
    low, _ = _tried(lambda: plan_strikes(gap, least, power=wanted.power))
    high, _ = _tried(lambda: plan_strikes(gap, most, power=wanted.power))
    leaning = _leaning(found)
    each = max(1, round(float(np.median(_counts(found))))) if leaning is not None else 0
    athletes, why_not = _for_athletes(gap, sd, leaning, each, wanted.power)
    return Planned(
        gap=gap,
        unit=other.mean.unit,
        sd=sd,
        strikes=strikes,
        strikes_range=(low.by_power, high.by_power) if low and high else None,
        leaning_sd=leaning,
        each=each,
        athletes=athletes,
        why=" ".join(filter(None, (why, why_not))),
    )


def _leaning(found: Difference | None) -> float | None:
    """Return what athletes differ by in the difference itself: scatter of strikes is taken out."""
    if found is None or found.design.unit != "athlete" or not found.design.is_paired:
        return None
    cells = found.design.cells
    gaps = [mean_of(cell[0]) - mean_of(cell[1]) for cell in cells]
    # within sessions: what sessions differ by cancels where both ways were struck in them
    sides = [[trial for cell in cells for trial in cell[side]] for side in (0, 1)]
    sds = [spread_within(list(groups_of(side, by_session).values()))[0] for side in sides]
    of_strikes = np.mean([sum(sd**2 / len(own) for sd, own in zip(sds, cell, strict=True)) for cell in cells])
    return math.sqrt(max(0.0, float(np.var(gaps, ddof=1)) - float(of_strikes)))


def _for_athletes(
    gap: float, sd: float, leaning: float | None, each: int, power: float
) -> tuple[Plan | None, str]:
    if leaning is None:
        return None, "How many athletes it takes shows from three on who struck both ways."
    return _tried(lambda: plan_athletes(gap, athlete_sd=leaning, sd=sd, strikes=each, power=power))


def _counts(found: Difference | None) -> Sequence[int]:
    return [len(own) for cell in found.design.cells for own in cell] if found else [1]


def _tried(plan: Callable[[], Plan]) -> tuple[Plan | None, str]:
    try:
        return plan(), ""
    except UnmeasurableError as error:
        return None, error.message
