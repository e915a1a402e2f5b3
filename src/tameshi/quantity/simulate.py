"""Propagate distributions by Monte Carlo: the check on everything done to first order.

Source of the method: JCGM 101:2008, clauses 5 to 7.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import WrongUseError
from tameshi.quantity.coverage import LEVEL

FloatArray = NDArray[np.float64]
Draw = Callable[[np.random.Generator, int], FloatArray]
DEFAULT_DRAWS = 200_000


@dataclass(frozen=True, slots=True)
class Simulated:
    """What a Monte Carlo run found.

    Parameters
    ----------
    mean, u : float
        Mean and standard deviation of the draws.
    low, high : float
        Probabilistically symmetric coverage interval.
    shortest : (float, float)
        Shortest interval of the same coverage.
    draws : int
        How many draws were made.
    """

    mean: float
    u: float
    low: float
    high: float
    shortest: tuple[float, float]
    draws: int


def normal(mean: float, u: float) -> Draw:
    """Return draws from a normal distribution."""
    return lambda generator, count: generator.normal(mean, u, count)


def uniform(low: float, high: float) -> Draw:
    """Return draws from a rectangular distribution between two bounds."""
    return lambda generator, count: generator.uniform(low, high, count)


def scaled_t(mean: float, u: float, dof: float) -> Draw:
    """Return draws from a t-distribution shifted to mean and scaled by u (JCGM 101, 6.4.9)."""
    if math.isinf(dof):
        return normal(mean, u)
    return lambda generator, count: mean + u * generator.standard_t(dof, count)


def simulate(
    model: Callable[..., FloatArray],
    inputs: Sequence[Draw],
    *,
    generator: np.random.Generator,
    draws: int = DEFAULT_DRAWS,
    level: float = LEVEL,
) -> Simulated:
    """Push draws of the inputs through a model and describe what comes out.

    Parameters
    ----------
    model : callable
        Takes one (draws,) array per input, returns a (draws,) array.
    inputs : sequence of Draw
        From :func:`normal`, :func:`uniform`, :func:`scaled_t` or your own.
    generator : numpy Generator
        Randomness is given, never taken.
    draws : int
    level : float
        Coverage probability of the intervals.

    Raises
    ------
    WrongUseError
        If the model gives anything that is not finite.
    """
    results = np.sort(model(*(draw(generator, draws) for draw in inputs)))
    if not np.isfinite(results).all():
        raise WrongUseError("not-finite", "The model gave a result that is not a finite number.")
    covered = round(level * draws)
    tail = (draws - covered) // 2
    widths = results[covered:] - results[: draws - covered]
    start = int(np.argmin(widths))
    return Simulated(
        mean=float(results.mean()),
        u=float(results.std(ddof=1)),
        low=float(results[max(0, tail - 1)]),
        high=float(results[tail + covered - 1]),
        shortest=(float(results[start]), float(results[start + covered])),
        draws=draws,
    )
