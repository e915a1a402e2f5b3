"""How far a fitted calibration lies from the readings because the curve itself is of the wrong form.

Scatter averages out and stands in the covariance of the fit; a bend that a straight line cannot follow does
not, and is the same error in every strike. A curve of one degree more shows it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tameshi.reference import row

FloatArray = NDArray[np.float64]

_POINTS = 101


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class AddedTerm:
    """A polynomial against the one of a degree less.

    Parameters
    ----------
    f, chance : float
        F of the added term, and the chance of it, were the term none.
    without, with_it : Polynomial
        Both fits: load to reading.
    """

    f: float
    chance: float
    without: np.polynomial.Polynomial
    with_it: np.polynomial.Polynomial


def misfit(loads: FloatArray, readings: FloatArray, degree: int) -> float:
    """Return the greatest departure of the readings from a fitted polynomial that scatter does not explain.

    Parameters
    ----------
    loads : (n,) array
        [N]
    readings : (n,) array
    degree : int
        Of the fitted polynomial.

    Returns
    -------
    float
        Greatest distance from it of the polynomial of one degree more, both zeroed, in the reading's unit;
        zero where the F test of the added term does not reach the stated chance, or cannot be made.

    Notes
    -----
    Source: F test of one term in linear least squares; common practice.
    """
    term = added_term(loads, readings, degree + 1)
    if term is None or term.chance >= row("calibration_limits", "curvature")["value"]:
        return 0.0
    at = np.linspace(0.0, float(loads.max()), _POINTS)
    apart = term.with_it(at) - term.without(at)
    return float(np.max(np.abs(apart - (term.with_it(0.0) - term.without(0.0)))))


def added_term(loads: FloatArray, readings: FloatArray, degree: int) -> AddedTerm | None:
    """Return what the highest term of a polynomial is worth, None where the readings are too few to tell.

    Parameters
    ----------
    loads, readings : (n,) array
    degree : int
        Of the polynomial with the term.
    """
    from scipy.special import fdtrc  # noqa: PLC0415  0.15 s that --help need not pay

    dof = len(loads) - degree - 1
    if dof < 1 or len(np.unique(loads)) <= degree:
        return None
    without, with_it = (np.polynomial.Polynomial.fit(loads, readings, one) for one in (degree - 1, degree))
    before, after = (float(np.sum((readings - fit(loads)) ** 2)) for fit in (without, with_it))
    rounding = (np.finfo(np.float64).eps * float(np.max(np.abs(readings)))) ** 2 * len(loads)
    f = max(0.0, before - after) / (max(after, rounding) / dof)
    return AddedTerm(f=f, chance=float(fdtrc(1.0, dof, f)), without=without, with_it=with_it)
