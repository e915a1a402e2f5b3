"""How published values are spread: the range they cover and, where the study allows it, a distribution.

Tolerances are positive and lean to the right; a mean with a standard deviation, and a median with
percentiles, are taken as lognormal. With n specimens their parameters are uncertain themselves: the next
specimen then follows Student's t with n - 1 degrees of freedom on the logarithmic scale, widened by
sqrt(1 + 1/n).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from scipy.special import ndtri, stdtr, stdtrit

from tameshi.reference import row
from tameshi.tolerance.published import Published, Statistic

_LEAST_COUNT = 2
_P90 = 0.90


@dataclass(frozen=True, slots=True)
class Lognormal:
    """A lognormal distribution of tolerances, as known from n specimens.

    Parameters
    ----------
    median : float
        [coherent SI]
    sigma : float
        Standard deviation of the natural logarithm.
    count : int or None
        Specimens it rests on; None where unknown, and then it is taken as exact.
    sigma_below : float or None
        That of the lower half, where it was published apart.
    """

    median: float
    sigma: float
    count: int | None = None
    sigma_below: float | None = None

    def below(self, value: float) -> float:
        """Return the share of values that lie below this one."""
        if value <= 0.0:
            return 0.0
        distance = math.log(value / self.median)
        return float(stdtr(self._dof, distance / self._scale(distance)))

    def at(self, share: float) -> float:
        """Return the value below which this share lies."""
        score = float(stdtrit(self._dof, share))
        return self.median * math.exp(self._scale(score) * score)

    @property
    def _dof(self) -> float:
        return self.count - 1.0 if self.count is not None and self.count >= _LEAST_COUNT else math.inf

    def _scale(self, side: float) -> float:
        sigma = self.sigma if side >= 0.0 or self.sigma_below is None else self.sigma_below
        if self.count is None or self.count < _LEAST_COUNT:
            return sigma
        return sigma * math.sqrt(1.0 + 1.0 / self.count)


@dataclass(frozen=True, slots=True)
class Spread:
    """What a published row covers.

    Parameters
    ----------
    low, high : float
        Alike where one number was published. [coherent SI]
    distribution : Lognormal or None
    words : str
        What the range is.
    is_printed : bool
        Whether its ends stand in the publication; else they were worked out.
    """

    low: float
    high: float
    distribution: Lognormal | None
    words: str
    is_printed: bool = True

    @property
    def is_point(self) -> bool:
        """Whether it is one number."""
        return self.low == self.high


def lognormal_of_mean(mean: float, sd: float, count: int | None = None) -> Lognormal:
    """Return the lognormal distribution with this mean and standard deviation.

    Notes
    -----
    sigma² = ln(1 + (sd/mean)²), median = mean exp(-sigma²/2): textbook, common practice.
    """
    variance = math.log1p((sd / mean) ** 2)
    return Lognormal(mean * math.exp(-0.5 * variance), math.sqrt(variance), count)


def lognormal_of_median(
    median: float, percentile: float, share: float, count: int | None = None
) -> Lognormal:
    """Return the lognormal distribution with this median and this value at a share, ``0.9`` for P90."""
    return Lognormal(median, math.log(percentile / median) / float(ndtri(share)), count)


def spread_of(published: Published) -> Spread:
    """Return what a row covers, in coherent SI."""
    value, low, high = published.value, published.low, published.high
    match published.statistic:
        case Statistic.MEAN_AND_SD if value is not None and high is not None:
            return _distributed(lognormal_of_mean(value, high - value, published.count), "mean and SD")
        case Statistic.MEDIAN_AND_PERCENTILES if value is not None and high is not None:
            upper = lognormal_of_median(value, high, _P90, published.count)
            if low is None:
                return _distributed(upper, "median and 90th percentile")
            lower = lognormal_of_median(value, low, 1.0 - _P90)
            return _distributed(replace(upper, sigma_below=lower.sigma), "median, 10th and 90th percentile")
    if low is not None and high is not None:
        printed = published.statistic is not Statistic.INTERPOLATED
        return Spread(low, high, None, _RANGES.get(published.statistic, "as printed"), printed)
    (only,) = (number for number in (value, low, high) if number is not None)
    return Spread(only, only, None, _point_words(published))


_RANGES = {
    Statistic.RANGE: "lowest to highest as printed",
    Statistic.GROUP_MEANS: "from the mean of women to that of men",
    Statistic.RISK_RANGE: "from the least to the greatest estimate of the level that injures half",
    Statistic.LIMIT: "from the limit for slow clamping to that for short contact",
    Statistic.INTERPOLATED: "half less to half more than what its area suggests",
}
_POINTS = {
    Statistic.MEAN: "a mean: about half of the specimens bore less",
    Statistic.LIMIT: "one limit",
    Statistic.MINIMUM: "the least value proposed or seen",
    Statistic.THRESHOLD: "one threshold",
    Statistic.OBSERVED: "one observation",
    Statistic.FACTOR: "a factor",
}


def _point_words(published: Published) -> str:
    if published.statistic is Statistic.RISK and published.risk is not None:
        return f"the level that injures {published.risk:.0%}"
    return _POINTS.get(published.statistic, "one value")


def _distributed(distribution: Lognormal, words: str) -> Spread:
    level = float(row("tolerance_relations", "coverage")["probability"])
    low, high = (distribution.at(0.5 + side * 0.5 * level) for side in (-1, 1))
    words = f"where {level:.0%} of specimens lie, from {words}"
    return Spread(low, high, distribution, words, is_printed=False)
