"""A contact that loses energy: F = k x^n (1 + 3/2 c v), v being the speed of approach.

Source: K. H. Hunt, F. R. E. Crossley, Journal of Applied Mechanics 42, 440-445 (1975), cited from memory; the
exact restitution follows from separating speed and depth and holds for every k, mass and n.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import lambertw

from tameshi.errors import WrongUseError

FloatArray = NDArray[np.float64]
_LEAST_RESTITUTION = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class DissipativeContact:
    """A spring that hardens and damps.

    Parameters
    ----------
    stiffness : float
        k. [N/m^n]
    exponent : float
        n: 1 a straight spring, 3/2 a rounded body.
    dissipation : float
        c. [s/m]

    Raises
    ------
    WrongUseError
        ``wrong-contact`` where one of them is impossible.
    """

    stiffness: float
    exponent: float = 1.5
    dissipation: float = 0.0

    def __post_init__(self) -> None:
        if not (self.stiffness > 0.0 and self.exponent > 0.0 and self.dissipation >= 0.0):
            raise WrongUseError("wrong-contact", f"{self} is no contact.")

    def force(self, depth: ArrayLike, speed: ArrayLike) -> FloatArray:
        """Return the force at a depth [m] and a speed of approach [m/s]; bodies never pull. [N]"""
        deep = np.maximum(np.asarray(depth, dtype=np.float64), 0.0)
        elastic = self.stiffness * deep**self.exponent
        pushed: FloatArray = np.maximum(
            elastic * (1.0 + 1.5 * self.dissipation * np.asarray(speed, dtype=np.float64)), 0.0
        )
        return pushed


def restitution(damping: ArrayLike) -> FloatArray:
    """Return the restitution of an impact: speed of leaving over speed of meeting.

    Parameters
    ----------
    damping : array
        q = 3/2 c v, v being the speed of meeting.

    Returns
    -------
    array
        e of q - ln(1 + q) = -e q - ln(1 - e q).
    """
    q = np.asarray(damping, dtype=np.float64)
    if np.any(q < 0.0):
        raise WrongUseError("wrong-damping", "A contact that adds energy is none of ours.")
    # with u = -e q: (1 + u) exp(-(1 + u)) = (1 + q) exp(-(1 + q)), on the other branch of Lambert's function
    other = -np.real(lambertw(-(1.0 + q) * np.exp(-(1.0 + q)), 0))
    small = q < _SERIES_BELOW
    safe = np.where(small, 1.0, q)
    e: FloatArray = np.where(small, 1.0 - 2.0 * q / 3.0 + 4.0 * q**2 / 9.0, (1.0 - other) / safe)
    return e


_SERIES_BELOW = 1e-3


def damping_for(restitutions: ArrayLike) -> FloatArray:
    """Return q = 3/2 c v of impacts with some restitutions.

    Parameters
    ----------
    restitutions : array
        Above 0, up to 1.

    Returns
    -------
    array
        Interpolated in a table of the exact relation, to 1e-5 of the restitution.
    """
    wanted = np.asarray(restitutions, dtype=np.float64)
    if np.any((wanted < 0.0) | (wanted > 1.0)):
        raise WrongUseError("wrong-restitution", "A restitution lies between 0 and 1.")
    known, log_q = _relation()
    q: FloatArray = np.where(
        wanted >= 1.0, 0.0, np.expm1(np.interp(np.clip(wanted, _LEAST_RESTITUTION, 1.0), known, log_q))
    )
    return q


@cache
def _relation() -> tuple[FloatArray, FloatArray]:
    """Return restitutions in rising order and ln(1 + q) of each."""
    log_q = np.linspace(0.0, math.log1p(1.2 / _LEAST_RESTITUTION), 20_001)
    known = restitution(np.expm1(log_q))
    return known[::-1], log_q[::-1]
