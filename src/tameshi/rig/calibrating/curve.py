"""From known loads to a calibration: the curve, what it is worth, and its uncertainty.

The reading is fitted as a polynomial of the load, as force standards do (deflection as a function
of force), and inverted where it is used. Loads are scaled before fitting: a quadratic in newtons
would otherwise lose half its digits.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tameshi.errors import UnmeasurableError, WrongUseError
from tameshi.rig.calibrating.misfit import misfit

DEGREES = (1, 2)
FEWEST_SPARE_READINGS = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Calibration:
    """A fitted calibration: reading = b0 + b1 F (+ b2 F^2).

    Parameters
    ----------
    identity : str
        Tells this calibration from others.
    coefficients : tuple of float
        b0, b1 (, b2) in the reading's unit per power of newton.
    covariance : tuple of tuple of float
        Covariance of the coefficients.
    residual_sd : float
        Residual standard deviation, in the reading's unit.
    dof : float
        Degrees of freedom of the residual standard deviation.
    lowest, greatest : float
        Range of the loads that were applied. [N]
    load_u : float
        Standard uncertainty of the loads, relative, common to all of them.
    misfit : float
        Greatest departure of the readings from the curve that scatter does not explain, in the
        reading's unit; the same in every strike.
    """

    identity: str
    coefficients: tuple[float, ...]
    covariance: tuple[tuple[float, ...], ...]
    residual_sd: float
    dof: float
    lowest: float
    greatest: float
    load_u: float = 0.0
    misfit: float = 0.0

    @property
    def degree(self) -> int:
        """Degree of the polynomial."""
        return len(self.coefficients) - 1


def fit_calibration(
    loads: ArrayLike, readings: ArrayLike, *, degree: int = 1, identity: str = "", load_u: float = 0.0
) -> Calibration:
    """Fit readings taken under known loads.

    Parameters
    ----------
    loads : (n,) array, n > degree + 1
        Applied loads. [N]
    readings : (n,) array
        What the chain read under each, in one unit (volts, usually).
    degree : int
        1 for a straight line, 2 where curvature is real.
    identity : str
        Tells this calibration from others; results that use it share its error.
    load_u : float
        Relative standard uncertainty common to all loads.

    Returns
    -------
    Calibration

    Raises
    ------
    WrongUseError
        If the degree is neither 1 nor 2, or loads and readings do not pair.
    UnmeasurableError
        If there are too few different loads, or the readings do not depend on them.

    Notes
    -----
    Source: ordinary least squares; JCGM 100:2008 H.3 for its uncertainty. Checked against the
    certified NIST StRD sets Norris (linear) and Pontius (quadratic, a load cell).
    """
    x = np.asarray(loads, dtype=np.float64)
    y = np.asarray(readings, dtype=np.float64)
    _check(x, y, degree)
    scale = float(np.max(np.abs(x)))
    design = (x[:, None] / scale) ** np.arange(degree + 1)
    orthogonal, triangular = np.linalg.qr(design)
    scaled = np.linalg.solve(triangular, orthogonal.T @ y)
    dof = len(x) - degree - 1
    residual_sd = float(np.linalg.norm(y - design @ scaled)) / math.sqrt(dof)
    inverse = np.linalg.inv(triangular)
    powers = scale ** np.arange(degree + 1)
    covariance = residual_sd**2 * (inverse @ inverse.T) / np.outer(powers, powers)
    coefficients = scaled / powers
    if coefficients[1] == 0.0 or abs(coefficients[1]) * scale < residual_sd:
        raise UnmeasurableError(
            "no-response",
            "The readings do not follow the loads.",
            hint="Check the columns (load first) and the wiring of the cell.",
        )
    return Calibration(
        identity=identity,
        coefficients=tuple(coefficients.tolist()),
        covariance=tuple(tuple(line) for line in covariance.tolist()),
        residual_sd=residual_sd,
        dof=float(dof),
        lowest=float(x.min()),
        greatest=float(x.max()),
        load_u=load_u,
        misfit=misfit(x, y, degree),
    )


def force_of_reading(calibration: Calibration, change: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the force that changes the reading from its unloaded value by ``change``.

    Parameters
    ----------
    calibration : Calibration
    change : (n,) array
        Reading minus the reading before contact, in the calibration's unit.

    Returns
    -------
    (n,) array
        Force. [N] The offset b0 plays no part: the cell is zeroed on the reading before contact.
    """
    if calibration.degree == 1:
        return change / calibration.coefficients[1]
    _, slope, curvature = calibration.coefficients
    # the root that tends to change/slope as curvature goes to zero, free of cancellation
    inside = np.maximum(slope * slope + 4.0 * curvature * change, 0.0)
    root: NDArray[np.float64] = 2.0 * change / (slope + math.copysign(1.0, slope) * np.sqrt(inside))
    return root


def force_loadings(calibration: Calibration, force: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return how each independent part of the fit's error moves a force.

    Parameters
    ----------
    calibration : Calibration
    force : (n,) array
        Forces found with it. [N]

    Returns
    -------
    (degree, n) array
        Signed contributions to the standard uncertainty of each force. [N]
    """
    coefficients = np.asarray(calibration.coefficients)
    powers = np.arange(1, calibration.degree + 1)
    covariance = np.asarray(calibration.covariance)[1:, 1:]
    scale = np.sqrt(np.diag(covariance))
    spread, axes = np.linalg.eigh(covariance / np.outer(scale, scale))
    root = scale[:, None] * axes * np.sqrt(np.clip(spread, 0.0, None))
    slope = (coefficients[1:] * powers) @ force[None, :] ** (powers[:, None] - 1)
    moved: NDArray[np.float64] = -(root.T @ force[None, :] ** powers[:, None]) / slope
    return moved


def _check(loads: NDArray[np.float64], readings: NDArray[np.float64], degree: int) -> None:
    if degree not in DEGREES:
        raise WrongUseError(
            "wrong-degree", f"A calibration of degree {degree} is not offered.", hint="Use 1 or 2."
        )
    if loads.ndim != 1 or loads.shape != readings.shape:
        raise WrongUseError("unpaired", f"{loads.size} loads do not pair with {readings.size} readings.")
    if not (np.isfinite(loads).all() and np.isfinite(readings).all()):
        raise UnmeasurableError("not-finite", "A load or a reading is not a number.", hint="Remove that row.")
    if len(loads) < degree + 1 + FEWEST_SPARE_READINGS or len(np.unique(loads)) < degree + 1:
        raise UnmeasurableError(
            "too-few-readings",
            f"{len(loads)} readings at {len(np.unique(loads))} loads cannot fix a curve of degree {degree} "
            "and its scatter.",
            hint="Take at least five loads, each at least twice.",
        )
