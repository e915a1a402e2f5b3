"""What the trials of one technique say: how many, their mean, their scatter, what stands out."""

from __future__ import annotations

import hashlib
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tameshi.comparison.mean import Weighted, own_variance, weighted_sum
from tameshi.comparison.scatter import spread_within, units_of
from tameshi.comparison.trial import Trial, by_athlete, by_session, groups_of, require
from tameshi.quantity import Quantity, interval_of_sd
from tameshi.reference import row

SCATTER = {"athlete": "scatter of athletes", "session": "scatter of sessions", "strike": "scatter of strikes"}
"""Line of a budget by what is drawn anew."""

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
        Mean of the units (athletes, sessions, strikes), weighted alike, with its 95 % interval.
    unit, reach : str
        What the interval of the mean counts, and what it holds for.
    sd : float or None
        Standard deviation from strike to strike within an athlete's session; None where none has two.
    sd_dof : int
        Degrees of freedom of it.
    sd_interval : (float, float) or None
        Its 95 % interval.
    total_sd : float or None
        Of all trials together, what athletes and sessions differ by included; None of a single one.
    cv : float or None
        ``sd`` over mean.
    human_sd : float or None
        What of ``sd`` the measurement does not explain.
    measurement_u : float
        Root mean square of what each trial alone is uncertain by.
    median, least, greatest : float
    best : str
        Label of the trial with the greatest value.
    outliers : tuple of int
        Places of trials that stand out; they are kept in every figure.
    """

    trials: tuple[Trial, ...]
    athletes: int
    sessions: int
    mean: Quantity
    unit: str
    reach: str
    sd: float | None
    sd_dof: int
    sd_interval: tuple[float, float] | None
    total_sd: float | None
    cv: float | None
    human_sd: float | None
    measurement_u: float
    median: float
    least: float
    greatest: float
    best: str
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
    Mean: JCGM 100:2008, 4.2.3, of the highest level of which there are enough: athletes, sessions of one
    athlete, else strikes, whose scatter is then that within sessions. Interval of a standard deviation:
    chi-square.
    """
    require(trials, 1, "A mean")
    values = np.array([trial.value.value for trial in trials])
    cells = list(groups_of(trials, by_session).values())
    sd, dof = spread_within(cells)
    own = own_variance(trials)
    mean, unit, reach = _mean(trials, own)
    greatest = int(values.argmax())
    return Sample(
        trials=tuple(trials),
        athletes=len(groups_of(trials, by_athlete)),
        sessions=len(cells),
        mean=mean,
        unit=unit,
        reach=reach,
        sd=sd if dof else None,
        sd_dof=dof,
        sd_interval=interval_of_sd(sd, dof) if dof else None,
        total_sd=float(np.std(values, ddof=1)) if len(values) > 1 else None,
        cv=None if not dof or mean.value == 0.0 else sd / mean.value,
        human_sd=math.sqrt(max(0.0, sd**2 - own)) if dof else None,
        measurement_u=math.sqrt(own),
        median=float(np.median(values)),
        least=float(values.min()),
        greatest=float(values[greatest]),
        best=trials[greatest].label,
        outliers=_standing_out(trials),
    )


def _mean(trials: Sequence[Trial], own: float) -> tuple[Quantity, str, str]:
    """Return the mean with its interval, what that counts, and what it holds for."""
    found = units_of(trials)
    count = len(found.units)
    terms = [
        Weighted(1.0 / count / len(unit), trial, place)
        for place, unit in enumerate(found.units)
        for trial in unit
    ]
    # scatter that came out smaller than what each trial alone is uncertain by is luck
    u = max(found.u, math.sqrt(own / len(trials)))
    key = f"sample:{digest(trials)}"
    return weighted_sum(terms, u, found.dof, name=SCATTER[found.kind], key=key), found.kind, found.reach


def _standing_out(trials: Sequence[Trial]) -> tuple[int, ...]:
    """Return the places of trials that stand out from their own session, judged by the scatter in all."""
    cells: dict[object, list[int]] = {}
    for place, trial in enumerate(trials):
        cells.setdefault(by_session(trial), []).append(place)
    # a session of one strike shows no scatter; where all are such, they are judged together
    several = [places for places in cells.values() if len(places) > 1] or [list(range(len(trials)))]
    order, off = [], []
    for places in several:
        values = np.array([trials[place].value.value for place in places])
        scale = math.sqrt(len(places) / max(1, len(places) - 1))  # the mean of few follows each of them
        order += places
        # not off their median: of few strikes one or two are it, and their noughts make the others stand out
        off += ((values - values.mean()) * scale).tolist()
    return tuple(sorted(order[place] for place in outliers_of(np.array(off))))


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
    key = "+".join([source.key for trial in trials for source in trial.value.parts])
    values = ",".join([repr(trial.value.value) for trial in trials])
    return hashlib.sha256(f"{key}|{values}".encode()).hexdigest()[:16]
