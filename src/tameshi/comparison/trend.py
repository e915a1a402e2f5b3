"""Whether strikes change within a session: warming up, tiring."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import stdtr

from tameshi.comparison.sample import digest
from tameshi.comparison.scatter import people_and_days
from tameshi.comparison.trial import Trial, by_session, groups_of
from tameshi.errors import UnmeasurableError
from tameshi.quantity import Quantity, Source, coverage_factor
from tameshi.reference import row

_FEWEST = 4  # strikes in one session
_Line = tuple[np.ndarray, np.ndarray]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Trend:
    """Change within a session.

    Parameters
    ----------
    per_strike : Quantity
        Mean change from one strike to the next, in the unit of the trials.
    over_session : float
        What that adds up to over a session of mean length, over the mean.
    over_interval : (float, float)
        The same of the ends of the 95 % interval.
    p : float
        Two-sided, were there no change.
    strikes, sessions : int
    reach : str
        What it holds for, in words.
    """

    per_strike: Quantity
    over_session: float
    over_interval: tuple[float, float]
    p: float
    strikes: int
    sessions: int
    reach: str


def trend(trials: Sequence[Trial]) -> Trend:
    """Return how a figure changes from strike to strike within sessions.

    Parameters
    ----------
    trials : sequence of Trial
        In each session they are counted in their order.

    Raises
    ------
    UnmeasurableError
        ``too-few-trials`` where no session has four strikes.

    Notes
    -----
    A straight line through the strikes of each session about their mean (least squares); from three athletes,
    or three sessions of one athlete, on the mean of their slopes, with the scatter of those. Errors that the
    trials of a session share change its level and not its slope; the rest is in the scatter.
    """
    sessions = [one for one in groups_of(trials, by_session).values() if len(one) >= _FEWEST]
    if not sessions:
        raise UnmeasurableError(
            "too-few-trials", f"A trend takes {_FEWEST} strikes in one session.", hint="Strike more."
        )
    lines = [_centred(one) for one in sessions]
    slope, u, dof, reach = _slope(lines, sessions)
    used = [trial for one in sessions for trial in one]
    unit = used[0].value.unit
    found = Quantity(slope, unit, {Source(f"trend:{digest(used)}", "scatter of strikes", dof): u})
    mean = float(np.mean([trial.value.value for trial in used]))
    length = float(np.mean([line[0][-1] - line[0][0] for line in lines]))
    over = length / mean if mean else math.nan
    return Trend(
        per_strike=found,
        over_session=slope * over,
        over_interval=(min(found.low * over, found.high * over), max(found.low * over, found.high * over)),
        p=float(2.0 * stdtr(dof, -abs(slope) / u)) if u > 0.0 else float(slope == 0.0),
        strikes=len(used),
        sessions=len(sessions),
        reach=reach,
    )


def _centred(session: Sequence[Trial]) -> _Line:
    """Return places and values of a session's strikes, both about their means."""
    ordered = sorted(session, key=lambda trial: trial.order)
    values = np.array([trial.value.value for trial in ordered])
    return np.arange(len(ordered)) - 0.5 * (len(ordered) - 1), values - values.mean()


def _slope(lines: Sequence[_Line], used: Sequence[Sequence[Trial]]) -> tuple[float, float, float, str]:
    """Return slope, standard uncertainty, degrees of freedom, and what it holds for."""
    athletes = [session[0].athlete for session in used]
    people = list(dict.fromkeys(athletes))
    fewest = int(row("comparison_limits", "fewest units")["limit"])
    if len(people) >= fewest:
        own = [
            _fitted([line for line, who in zip(lines, athletes, strict=True) if who == one])[0]
            for one in people
        ]
        return *_mean_slope(own), f"athletes like these {len(own)}"
    if len(people) == 1 and len(lines) >= fewest:
        own = [_fitted([line])[0] for line in lines]
        return *_mean_slope(own), f"sessions like these {len(own)} of this one athlete"
    whole = [trial for session in used for trial in session]
    return *_fitted(lines), f"strikes {people_and_days(whole)} only"


def _mean_slope(own: Sequence[float]) -> tuple[float, float, float]:
    return float(np.mean(own)), float(np.std(own, ddof=1)) / math.sqrt(len(own)), len(own) - 1.0


def _fitted(lines: Sequence[_Line]) -> tuple[float, float, float]:
    place, value = (np.concatenate([line[side] for line in lines]) for side in (0, 1))
    spread = float(place @ place)
    slope = float(place @ value) / spread
    dof = len(place) - len(lines) - 1.0
    rest = value - slope * place
    return slope, math.sqrt(float(rest @ rest) / dof / spread), dof


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Band:
    """A straight line through strikes of one session, with the 95 % band of the line itself.

    Parameters
    ----------
    place, middle, low, high : (m,) array
    """

    place: np.ndarray
    middle: np.ndarray
    low: np.ndarray
    high: np.ndarray


def band_of(place: ArrayLike, values: ArrayLike, *, steps: int = 25) -> Band:
    """Return the least-squares line through strikes of one session with its 95 % band.

    Parameters
    ----------
    place : (n,) array_like, n >= 4
        Numbers or times of the strikes, not all alike.
    values : (n,) array_like
    steps : int

    Raises
    ------
    UnmeasurableError
        ``too-few-trials``.

    Notes
    -----
    Pointwise band of the mean. Source: N. R. Draper, H. Smith, Applied Regression Analysis (1998), 1.4 (value
    from memory).
    """
    x, y = np.asarray(place, np.float64), np.asarray(values, np.float64)
    if len(x) < _FEWEST or np.ptp(x) == 0.0:
        raise UnmeasurableError(
            "too-few-trials", f"A trend takes {_FEWEST} strikes in one session.", hint="Strike more."
        )
    slope, u, dof = _fitted([(x - x.mean(), y - y.mean())])
    grid = np.linspace(x.min(), x.max(), steps)
    rest = u * math.sqrt(float(np.sum((x - x.mean()) ** 2)))  # standard deviation about the line
    half = coverage_factor(dof) * np.hypot(rest / math.sqrt(len(x)), u * (grid - x.mean()))
    middle = y.mean() + slope * (grid - x.mean())
    return Band(place=grid, middle=middle, low=middle - half, high=middle + half)
