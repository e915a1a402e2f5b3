"""What the trials of one technique say: how many, their mean, their scatter, what stands out."""

from __future__ import annotations

import hashlib
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tameshi.comparison.mean import own_variance, weighted_sum
from tameshi.comparison.trial import Trial, by_athlete, by_session, groups_of, require
from tameshi.quantity import Quantity, interval_of_sd
from tameshi.reference import row

SCATTER = "scatter of strikes"
_TO_SD = 1.4826  # median absolute deviation of a normal sample to its standard deviation


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sample:
    """What repeated trials say.

    Parameters
    ----------
    trials : tuple of Trial
    athletes, sessions : int
        How many different ones.
    mean : Quantity
        With the interval of a mean over strikes of these athletes and sessions.
    sd : float or None
        Standard deviation from strike to strike, all together; None of a single one.
    sd_interval : (float, float) or None
        Its 95 % interval.
    cv : float or None
        Standard deviation over mean.
    human_sd : float or None
        What of it the measurement does not explain.
    measurement_u : float
        Root mean square of what each trial alone is uncertain by.
    median, least, greatest : float
    outliers : tuple of int
        Places of trials that stand out; they are kept in every figure.
    """

    trials: tuple[Trial, ...]
    athletes: int
    sessions: int
    mean: Quantity
    sd: float | None
    sd_interval: tuple[float, float] | None
    cv: float | None
    human_sd: float | None
    measurement_u: float
    median: float
    least: float
    greatest: float
    outliers: tuple[int, ...]


def sample_of(trials: Sequence[Trial]) -> Sample:
    """Return what the trials of one technique say.

    Parameters
    ----------
    trials : sequence of Trial, at least one

    Raises
    ------
    UnmeasurableError, UnitError

    Notes
    -----
    Mean: JCGM 100:2008, 4.2.3; interval of a standard deviation: chi-square. Both take strikes for
    independent, which holds within one athlete and session. What differs from athlete to athlete is kept
    apart by :func:`tameshi.comparison.difference`.
    """
    require(trials, 1, "A mean")
    values = np.array([trial.value.value for trial in trials])
    count = len(values)
    sd = float(np.std(values, ddof=1)) if count > 1 else None
    own = own_variance(trials)
    mean_value = float(values.mean())
    scatter = math.sqrt(max((sd or 0.0) ** 2, own) / count)
    mean = weighted_sum(
        [(1.0 / count, trial) for trial in trials],
        scatter,
        max(1.0, count - 1.0),
        name=SCATTER,
        key=f"sample:{digest(trials)}",
    )
    return Sample(
        trials=tuple(trials),
        athletes=len(groups_of(trials, by_athlete)),
        sessions=len(groups_of(trials, by_session)),
        mean=mean,
        sd=sd,
        sd_interval=None if sd is None else interval_of_sd(sd, count - 1),
        cv=None if sd is None or mean_value == 0.0 else sd / mean_value,
        human_sd=None if sd is None else math.sqrt(max(0.0, sd**2 - own)),
        measurement_u=math.sqrt(own),
        median=float(np.median(values)),
        least=float(values.min()),
        greatest=float(values.max()),
        outliers=outliers_of(values),
    )


def outliers_of(values: np.ndarray) -> tuple[int, ...]:
    """Return the places of values that stand out from the others.

    Parameters
    ----------
    values : (n,) array

    Notes
    -----
    Modified z-score beyond the limit of the table, from the median and the median absolute deviation. Source:
    B. Iglewicz, D. C. Hoaglin, How to Detect and Handle Outliers (1993), ASQC Basic References 16 (value from
    memory).
    """
    fewest = int(row("comparison_limits", "fewest for outliers")["limit"])
    if len(values) < fewest:
        return ()
    off = np.abs(values - np.median(values))
    spread = _TO_SD * float(np.median(off))
    if spread == 0.0:
        return ()
    limit = float(row("comparison_limits", "outlier")["limit"])
    return tuple(int(place) for place in np.flatnonzero(off / spread > limit))


def digest(trials: Sequence[Trial]) -> str:
    """Return what names a set of trials."""
    key = "+".join(sorted(source.key for trial in trials for source in trial.value.parts))
    values = ",".join(repr(trial.value.value) for trial in trials)
    return hashlib.sha256(f"{key}|{values}".encode()).hexdigest()[:16]
