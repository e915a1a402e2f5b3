"""How two figures of the same strikes scatter together: a covariance, and the ellipse that draws it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tameshi.comparison.mean import own_variance
from tameshi.comparison.trial import Trial
from tameshi.errors import UnmeasurableError
from tameshi.reference import row

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Together:
    """How two figures scatter together from strike to strike, on logarithmic scales.

    Parameters
    ----------
    count : int
        Strikes that have both.
    centre : (2,) array
        Mean of the logarithms.
    covariance : (2, 2) array
        Of the logarithms, with what each strike's own measurement explains taken out.
    measured : (2,) array
        Variance of either logarithm that the measurement of a single strike explains.
    correlation : float
        Of the strikes as measured.
    """

    count: int
    centre: FloatArray
    covariance: FloatArray
    measured: FloatArray
    correlation: float

    @property
    def measured_share(self) -> tuple[float, float]:
        """What of the variance of either figure the measurement of single strikes explains."""
        whole = np.diag(self.covariance) + self.measured
        one, other = (float(min(1.0, share)) for share in self.measured / whole)
        return one, other

    @property
    def is_hidden(self) -> bool:
        """Whether the strikes scatter no more than they are measured, in any direction."""
        return not float(np.trace(self.covariance)) > 0.0

    def outline(self, share: float, *, points: int = 96) -> tuple[FloatArray, FloatArray]:
        """Return the ellipse that would hold a share of strikes, were their logarithms normal.

        Parameters
        ----------
        share : float
            Between 0 and 1.
        points : int

        Returns
        -------
        one, other : (points,) array
            In the units of the figures.

        Notes
        -----
        Radius of the chi-square distribution with two degrees of freedom, -2 ln(1 - share) squared.
        """
        around = np.linspace(0.0, 2.0 * math.pi, points)
        values, vectors = np.linalg.eigh(self.covariance)
        axes = vectors * np.sqrt(np.maximum(values, 0.0))
        radius = math.sqrt(-2.0 * math.log(1.0 - share))
        drawn = self.centre[:, None] + radius * axes @ np.vstack([np.cos(around), np.sin(around)])
        one, other = np.exp(drawn)
        return one, other


def together(one: Sequence[Trial], other: Sequence[Trial]) -> Together:
    """Return how two figures of the same strikes scatter together.

    Parameters
    ----------
    one, other : sequence of Trial
        The same strikes in the same order, all values above zero.

    Raises
    ------
    UnmeasurableError
        ``too-few-trials`` where fewer than three strikes have both.

    Notes
    -----
    Errors of one strike that are in both figures (a speed's in the mass that was worked out from it) are
    followed by their sources. What the measurement explains is taken out as far as a covariance is left.
    """
    fewest = int(row("comparison_limits", "fewest for ellipse")["limit"])
    if len(one) < fewest or len(one) != len(other):
        raise UnmeasurableError(
            "too-few-trials",
            f"How two figures go together shows from {fewest} strikes on that have both.",
            hint="Take prints of more strikes.",
        )
    logs = np.log([[trial.value.value for trial in side] for side in (one, other)])
    whole = np.cov(logs)
    measured = np.diag([_relative_variance(side) for side in (one, other)])
    measured[0, 1] = measured[1, 0] = _in_both(one, other)
    spread = np.sqrt(np.diag(whole))
    correlation = float(whole[0, 1] / (spread[0] * spread[1])) if np.all(spread > 0.0) else 0.0
    return Together(
        count=len(one),
        centre=logs.mean(axis=1),
        covariance=_left(whole, measured),
        measured=np.diag(measured).copy(),
        correlation=correlation,
    )


def _relative_variance(trials: Sequence[Trial]) -> float:
    return own_variance(trials) / float(np.mean([trial.value.value for trial in trials])) ** 2


def _in_both(one: Sequence[Trial], other: Sequence[Trial]) -> float:
    """Return the covariance of both logarithms from errors that one strike alone has in both figures."""
    strikes: dict[str, int] = {}
    for place, pair in enumerate(zip(one, other, strict=True)):
        for source in {source.key for trial in pair for source in trial.value.parts}:
            strikes[source] = place if source not in strikes else -1
    products = [
        part * that.value.parts[source] / (this.value.value * that.value.value)
        for this, that in zip(one, other, strict=True)
        for source, part in this.value.parts.items()
        if source in that.value.parts and strikes[source.key] >= 0
    ]
    return math.fsum(products) / len(one)


def _left(whole: FloatArray, measured: FloatArray) -> FloatArray:
    """Return what is left of a covariance; directions in which nothing is are flat."""
    values, vectors = np.linalg.eigh(whole - measured)
    return np.asarray((vectors * np.maximum(values, 0.0)) @ vectors.T)
