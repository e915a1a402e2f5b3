"""Make quantities from what is known: repeated readings, stated bounds, a covariance matrix."""

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tameshi.errors import WrongUseError
from tameshi.quantity.number import Quantity
from tameshi.quantity.source import Source

FEWEST_READINGS = 2


def from_readings(readings: ArrayLike, unit: str, *, key: str, name: str) -> Quantity:
    """Return the mean of repeated independent readings.

    Parameters
    ----------
    readings : (n,) array, n >= 2
        Readings in ``unit``.
    unit : str
        Coherent SI unit.
    key, name : str
        Identity and budget line of the scatter.

    Returns
    -------
    Quantity
        Mean, with u = s/sqrt(n) on n - 1 degrees of freedom.

    Raises
    ------
    WrongUseError
        If there are fewer than two readings.

    Notes
    -----
    Source: JCGM 100:2008, 4.2.3 (type A evaluation).
    """
    column = np.asarray(readings, dtype=np.float64).reshape(-1, 1)
    return from_simultaneous_readings(column, [unit], key=key, name=name)[0]


def from_simultaneous_readings(
    readings: ArrayLike, units: Sequence[str], *, key: str, name: str
) -> tuple[Quantity, ...]:
    """Return the means of several quantities read together, with their correlation.

    Parameters
    ----------
    readings : (n, k) array, n >= 2
        One row an observation, one column a quantity, in ``units``.
    units : k coherent SI units
    key, name : str
        Identity and budget line of their common scatter.

    Returns
    -------
    tuple of k Quantity

    Raises
    ------
    WrongUseError
        If there are fewer than two rows.

    Notes
    -----
    Source: JCGM 100:2008, 5.2.3 and example H.2 (covariance of means).
    """
    observed = np.asarray(readings, dtype=np.float64)
    count = len(observed)
    if count < FEWEST_READINGS:
        raise WrongUseError("too-few-readings", "One reading has no scatter to work with.")
    covariance = np.atleast_2d(np.cov(observed, rowvar=False)) / count
    means = observed.mean(axis=0)
    return from_covariance(means, covariance, units, key=key, name=name, dof=count - 1)


def from_covariance(
    values: ArrayLike,
    covariance: ArrayLike,
    units: Sequence[str],
    *,
    key: str,
    name: str,
    dof: float = math.inf,
) -> tuple[Quantity, ...]:
    """Return correlated quantities from their covariance matrix.

    Parameters
    ----------
    values : (k,) array
    covariance : (k, k) array
        Covariance of the values, positive semidefinite.
    units : k coherent SI units
    key, name : str
        Identity and budget line of the estimate they come from.
    dof : float
        Degrees of freedom they share.

    Returns
    -------
    tuple of k Quantity
        Each a sum of the same k independent sources.
    """
    best = np.asarray(values, dtype=np.float64)
    loadings = _square_root(np.atleast_2d(np.asarray(covariance, dtype=np.float64)))
    sources = [Source(f"{key}:{axis}", name, dof, group=key) for axis in range(len(best))]
    return tuple(
        Quantity(float(value), unit, dict(zip(sources, row, strict=True)))
        for value, unit, row in zip(best, units, loadings, strict=True)
    )


def rectangular(value: float, half_width: float, unit: str, *, key: str, name: str) -> Quantity:
    """Return a quantity known only to lie within value ± half_width, anywhere equally likely.

    Notes
    -----
    Source: JCGM 100:2008, 4.3.7 (type B evaluation).
    """
    return Quantity(value, unit, {Source(key, name): rectangular_u(half_width)})


def rectangular_u(half_width: float) -> float:
    """Return the standard uncertainty of a rectangular distribution: half width over sqrt 3."""
    return half_width / math.sqrt(3.0)


def _square_root(covariance: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return L with L L' the covariance; scaled first, as coefficients differ by many decades."""
    scale = np.sqrt(np.clip(np.diag(covariance), 0.0, None))
    scale[scale == 0.0] = 1.0
    spread, axes = np.linalg.eigh(covariance / np.outer(scale, scale))
    root: NDArray[np.float64] = scale[:, None] * axes * np.sqrt(np.clip(spread, 0.0, None))
    return root
