"""How many strikes, and athletes, a comparison takes."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from scipy.special import nctdtr, stdtrit

from tameshi.errors import UnmeasurableError, WrongUseError
from tameshi.quantity import LEVEL

_MOST = 100_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """How many are needed.

    Parameters
    ----------
    by_power : int
        Of each technique, to find the difference with the wanted power.
    by_width : int
        Of each technique, for an interval no wider than plus or minus the difference.
    power : float
        What the first then has.
    unit : str
        ``"strikes of each technique"`` or ``"athletes"``.
    words : str
    """

    by_power: int
    by_width: int
    power: float
    unit: str
    words: str


def power_of_two_means(count: float, effect: float, level: float = 1.0 - LEVEL) -> float:
    """Return the power of a two-sided t test of two means.

    Parameters
    ----------
    count : float
        Trials of each.
    effect : float
        Difference over standard deviation.
    level : float

    Notes
    -----
    Non-central t. Source: J. Cohen, Statistical Power Analysis for the Behavioral Sciences (1988), ch. 2
    (value from memory).
    """
    return _power(2.0 * count - 2.0, effect * math.sqrt(0.5 * count), level)


def power_of_one_mean(count: float, effect: float, level: float = 1.0 - LEVEL) -> float:
    """Return the power of a two-sided t test of one mean, or of paired differences."""
    return _power(count - 1.0, effect * math.sqrt(count), level)


def plan_strikes(gap: float, sd: float, *, power: float = 0.8) -> Plan:
    """Return how many strikes of each technique tell a difference, for one athlete in one session.

    Parameters
    ----------
    gap : float
        The difference to see, in the unit of the figure.
    sd : float
        Standard deviation from strike to strike.
    power : float
        Between 0.5 and 0.99.

    Raises
    ------
    WrongUseError
        ``not-positive``, ``bad-power``.
    UnmeasurableError
        ``too-many``.
    """
    _check(gap, sd, power)
    effect = abs(gap) / sd
    count = _smallest(lambda n: power_of_two_means(n, effect) >= power)
    width = _smallest(
        lambda n: float(stdtrit(2.0 * n - 2.0, 0.5 * (1.0 + LEVEL))) * math.sqrt(2.0 / n) <= effect
    )
    reached = power_of_two_means(count, effect)
    words = (
        f"{count} strikes of each technique find this difference in {reached:.0%} of such comparisons; "
        f"{width} make the interval narrower than the difference to either side."
    )
    return Plan(by_power=count, by_width=width, power=reached, unit="strikes of each technique", words=words)


def plan_athletes(gap: float, *, athlete_sd: float, sd: float, strikes: int, power: float = 0.8) -> Plan:
    """Return how many athletes, each striking both ways, tell a difference that holds for others like them.

    Parameters
    ----------
    gap : float
    athlete_sd : float
        Standard deviation of the difference from athlete to athlete.
    sd : float
        Standard deviation from strike to strike.
    strikes : int
        Of each technique by each athlete.
    power : float

    Raises
    ------
    WrongUseError, UnmeasurableError
        As :func:`plan_strikes`.
    """
    if strikes < 1 or athlete_sd < 0.0:
        raise WrongUseError("not-positive", "Strikes and scatter have to be above zero.", hint="Give both.")
    spread = math.sqrt(athlete_sd**2 + 2.0 * sd**2 / strikes)
    _check(gap, spread, power)
    effect = abs(gap) / spread
    count = _smallest(lambda n: power_of_one_mean(n, effect) >= power)
    width = _smallest(lambda n: float(stdtrit(n - 1.0, 0.5 * (1.0 + LEVEL))) / math.sqrt(n) <= effect)
    reached = power_of_one_mean(count, effect)
    words = (
        f"{count} athletes with {strikes} strikes of each technique find this difference in {reached:.0%} of "
        f"such studies; {width} make the interval narrower than the difference to either side."
    )
    return Plan(by_power=count, by_width=width, power=reached, unit="athletes", words=words)


def _power(dof: float, noncentrality: float, level: float) -> float:
    critical = float(stdtrit(dof, 1.0 - 0.5 * level))
    return float(1.0 - nctdtr(dof, noncentrality, critical) + nctdtr(dof, noncentrality, -critical))


def _smallest(enough: Callable[[int], bool]) -> int:
    low, high = 1, 2
    while not enough(high):
        low, high = high, 2 * high
        if high > _MOST:
            raise UnmeasurableError(
                "too-many", "More than 100 000 would be needed.", hint="Look for a larger difference."
            )
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if enough(middle) else (middle, high)
    return high


def _check(gap: float, sd: float, power: float) -> None:
    if not (sd > 0.0 and gap != 0.0):
        raise WrongUseError(
            "not-positive", "The difference and the scatter have to differ from zero.", hint="Give both."
        )
    if not 0.5 <= power <= 0.99:  # noqa: PLR2004
        raise WrongUseError("bad-power", f"{power:g} is no useful power.", hint="Take 0.8 or 0.9.")
