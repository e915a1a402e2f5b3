"""How repeatable a figure is from session to session: intraclass correlation and what change can be told."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence, Sized
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import fdtri, ndtri

from tameshi.comparison.trial import Trial, groups_of, mean_of
from tameshi.errors import UnmeasurableError
from tameshi.quantity import LEVEL

_FEWEST = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Correlation:
    """An intraclass correlation with its 95 % interval."""

    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Reliability:
    """How repeatable a figure is.

    Parameters
    ----------
    agreement, consistency : Correlation
        ICC(2,1), sessions drawn at random, their differences counted; ICC(3,1), these sessions only, what
        they differ by as a whole left out.
    sem_agreement, sem_consistency : float
        Standard error of measurement, in the unit of the figure.
    smallest_change, smallest_consistent : float
        Smallest change of one athlete between two sessions that is more than chance, at 95 %, by either.
    subjects, occasions : int
    left_out : int
        Sessions of athletes that are not in the table.
    """

    agreement: Correlation
    consistency: Correlation
    sem_agreement: float
    sem_consistency: float
    smallest_change: float
    smallest_consistent: float
    subjects: int
    occasions: int
    left_out: int = 0


def reliability(table: ArrayLike) -> Reliability:
    """Return how repeatable a figure is.

    Parameters
    ----------
    table : (n, k) array_like
        A row for each athlete, a column for each session.

    Raises
    ------
    UnmeasurableError
        ``too-few-trials`` with fewer than two athletes or sessions; ``no-scatter``.

    Notes
    -----
    Source: P. E. Shrout, J. L. Fleiss, Psychol. Bull. 86 (1979) 420-428; standard error and smallest change:
    J. P. Weir, J. Strength Cond. Res. 19 (2005) 231-240 (values from memory).
    """
    values = np.asarray(table, np.float64)
    n, k = values.shape if values.ndim == 2 else (0, 0)  # noqa: PLR2004
    if n < _FEWEST or k < _FEWEST:
        raise UnmeasurableError(
            "too-few-trials",
            "Reliability takes two athletes with two sessions each.",
            hint="Measure the same athletes again on another day.",
        )
    between, occasions, rest = _mean_squares(values)
    if not between + rest > 0.0:
        raise UnmeasurableError("no-scatter", "All values are equal.", hint="Check the recordings.")
    agreement = (between - rest) / (between + (k - 1) * rest + k * (occasions - rest) / n)
    consistency = (between - rest) / (between + (k - 1) * rest)
    sem_agreement = math.sqrt(max(0.0, rest + (occasions - rest) / n))
    sem_consistency = math.sqrt(rest)
    told = float(ndtri(0.5 * (1.0 + LEVEL))) * math.sqrt(2.0)
    low2, high2 = _interval_of_agreement(agreement, (between, occasions, rest), (n, k))
    low3, high3 = _interval_of_consistency(between / rest if rest > 0.0 else math.inf, (n, k))
    return Reliability(
        agreement=Correlation(value=agreement, low=low2, high=high2),
        consistency=Correlation(value=consistency, low=low3, high=high3),
        sem_agreement=sem_agreement,
        sem_consistency=sem_consistency,
        smallest_change=told * sem_agreement,
        smallest_consistent=told * sem_consistency,
        subjects=n,
        occasions=k,
    )


def table_of(trials: Sequence[Trial]) -> tuple[np.ndarray, int]:
    """Return means by athlete and session, in the order in which they come, and how many are left out.

    Parameters
    ----------
    trials : sequence of Trial
        Sessions of different athletes are taken for one occasion where they have the same code; else the
        first of each is, the second of each, and so on, of as many athletes and sessions as give the largest
        table.

    Returns
    -------
    table : (n, k) array
    left_out : int
        Sessions of athletes that are not in it.
    """
    by_athlete = {
        athlete: groups_of(own, lambda trial: trial.session)
        for athlete, own in groups_of(trials, lambda trial: trial.athlete).items()
    }
    whole = sum(map(len, by_athlete.values()))
    shared = set.intersection(*(set(own) for own in by_athlete.values())) if by_athlete else set()
    if len(shared) >= _FEWEST:
        names = [name for name in next(iter(by_athlete.values())) if name in shared]
        rows = [[mean_of(own[name]) for name in names] for own in by_athlete.values()]
        return np.array(rows), whole - sum(map(len, rows))
    lengths = sorted({len(own) for own in by_athlete.values() if len(own) >= _FEWEST})
    occasions = max(lengths, key=lambda k: k * _with(by_athlete.values(), k), default=_FEWEST)
    complete = [list(own.values())[:occasions] for own in by_athlete.values() if len(own) >= occasions]
    rows = [[mean_of(those) for those in own] for own in complete]
    return np.array(rows), whole - sum(map(len, rows))


def _with(athletes: Iterable[Sized], sessions: int) -> int:
    """Return how many athletes have so many sessions; nought of a single one, who shows nothing."""
    count = sum(len(own) >= sessions for own in athletes)
    return count if count >= _FEWEST else 0


def _mean_squares(values: np.ndarray) -> tuple[float, float, float]:
    """Return the mean squares between athletes, between occasions, and of the rest."""
    n, k = values.shape
    whole = values.mean()
    rows, columns = values.mean(axis=1), values.mean(axis=0)
    between = k * float(np.sum((rows - whole) ** 2)) / (n - 1)
    occasions = n * float(np.sum((columns - whole) ** 2)) / (k - 1)
    rest = values - rows[:, None] - columns[None, :] + whole
    return between, occasions, float(np.sum(rest**2)) / ((n - 1) * (k - 1))


def _interval_of_agreement(
    icc: float, squares: tuple[float, float, float], shape: tuple[int, int]
) -> tuple[float, float]:
    (between, occasions, rest), (n, k) = squares, shape
    f = occasions / rest if rest > 0.0 else math.inf
    if not math.isfinite(f):
        return icc, icc
    a, b = k * icc * f, n * (1.0 + (k - 1) * icc) - k * icc
    v = (k - 1) * (n - 1) * (a + b) ** 2 / ((n - 1) * a**2 + b**2)
    tail = 0.5 * (1.0 - LEVEL)
    upper, lower = float(fdtri(n - 1, v, 1.0 - tail)), float(fdtri(v, n - 1, 1.0 - tail))
    spread = k * occasions + (k * n - k - n) * rest
    low = n * (between - upper * rest) / (upper * spread + n * between)
    high = n * (lower * between - rest) / (spread + n * lower * between)
    return low, high


def _interval_of_consistency(f: float, shape: tuple[int, int]) -> tuple[float, float]:
    n, k = shape
    if not math.isfinite(f):
        return 1.0, 1.0
    tail, rest = 0.5 * (1.0 - LEVEL), (n - 1) * (k - 1)
    low = f / float(fdtri(n - 1, rest, 1.0 - tail))
    high = f * float(fdtri(rest, n - 1, 1.0 - tail))
    return (low - 1.0) / (low + k - 1.0), (high - 1.0) / (high + k - 1.0)
