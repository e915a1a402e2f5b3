"""Least squares that a few wrong points hardly pull at: Gauss-Newton steps with Huber's weights."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from tameshi.footprint.picture.arrays import FloatArray

Residuals = Callable[[FloatArray], tuple[FloatArray, FloatArray]]


@dataclass(frozen=True, slots=True)
class Robust:
    """How a fit is made robust.

    Parameters
    ----------
    rounds : int
        Gauss-Newton steps.
    after : float
        Residuals beyond so many scales count for less.
    smallest : float
        The scale of residuals is never taken to be smaller.
    settled : float
        A step that moves residuals by less, all together, is the last.
    """

    rounds: int
    after: float
    smallest: float
    settled: float = 0.0

    def scale(self, off: FloatArray) -> float:
        """Return the usual size of residuals, from their median."""
        return max(1.4826 * float(np.median(np.abs(off))), self.smallest)

    def weights(self, off: FloatArray) -> FloatArray:
        """Return how much each residual counts, (n,), 0 to 1."""
        return np.minimum(1.0, self.after * self.scale(off) / np.maximum(np.abs(off), 1e-12))


@dataclass(frozen=True, slots=True)
class Settled:
    """What a fit came to.

    Parameters
    ----------
    unknowns : (m,) array
    off : (n,) array
        Residuals.
    weights : (n,) array
    unit : (m, m) array
        Covariance of the unknowns for residuals that scatter by one.
    """

    unknowns: FloatArray
    off: FloatArray
    weights: FloatArray
    unit: FloatArray

    @property
    def dof(self) -> int:
        """Degrees of freedom, one at least."""
        return max(1, len(self.off) - len(self.unknowns))

    def variance(self, smallest: float) -> float:
        """Return the weighted mean square of the residuals, not below the square of ``smallest``."""
        return max(float(self.weights @ self.off**2) / self.dof, smallest**2)


def settle(start: FloatArray, residuals: Residuals, rule: Robust) -> Settled:
    """Fit unknowns to observations.

    Parameters
    ----------
    start : (m,) array
        A first guess.
    residuals : callable
        From unknowns to observed less fitted, (n,), and the slopes of the latter, (n, m).
    rule : Robust

    Notes
    -----
    Gauss-Newton with Huber's weights, slopes brought to one size; covariance (J'WJ)^-1. Derived.
    """
    unknowns, weights = start, None
    for _ in range(rule.rounds):
        off, slopes = residuals(unknowns)
        scaled = np.linalg.norm(slopes, axis=0)
        design = slopes / scaled
        normal = design.T if weights is None else design.T * weights
        step = np.linalg.lstsq(normal @ design, normal @ off, rcond=None)[0]
        unknowns = unknowns + step / scaled
        weights = rule.weights(off)
        if float(np.abs(step).max()) < rule.settled:
            break
    off, slopes = residuals(unknowns)
    scaled = np.linalg.norm(slopes, axis=0)
    design = slopes / scaled
    weights = np.ones(len(off)) if weights is None else weights
    unit = np.linalg.pinv((design.T * weights) @ design) / np.outer(scaled, scaled)
    return Settled(unknowns, off, weights, np.asarray(unit, np.float64))
