"""Uncertain inputs of a prediction, drawn evenly over what they may be, and what each does to a result.

The draws are points of a low-discrepancy sequence, not random: the same target and strike always give the
same chance. Each input is a function of its own standard normal variable.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import special

from tameshi.quantity import LEVEL, Quantity, Source

FloatArray = NDArray[np.float64]
_POWER = 12
DRAWS = 2**_POWER
"""Points drawn: a chance of one half is known within 0.3 %."""
_LEAST_SHARE = 0.001
_ROUNDING = 1e-9
_FARTHEST = 6.0  # standard deviations: two strikes do not make a third a thousand times as hard


@dataclass(frozen=True, slots=True)
class Lognormal:
    """A median and the standard deviation of the logarithm; Student's where it is an estimate."""

    median: float
    spread: float
    dof: float = math.inf

    @property
    def is_known(self) -> bool:
        """Whether it does not vary at all."""
        return self.spread == 0.0

    def values(self, normal: FloatArray) -> FloatArray:
        """Return the values that belong to standard normal ones."""
        deviate = normal
        if math.isfinite(self.dof):
            deviate = np.clip(special.stdtrit(self.dof, special.ndtr(normal)), -_FARTHEST, _FARTHEST)
        values: FloatArray = self.median * np.exp(self.spread * deviate)
        return values


@dataclass(frozen=True, slots=True)
class Weibull:
    """A median and the Weibull modulus: the weakest link breaks."""

    median: float
    modulus: float

    @property
    def is_known(self) -> bool:
        """Whether it does not vary at all."""
        return False

    def values(self, normal: FloatArray) -> FloatArray:
        """Return the values that belong to standard normal ones."""
        # the survivors' share is that of the mirrored normal, without loss of digits in the tail
        survivors = -special.log_ndtr(-normal)
        values: FloatArray = self.median * (survivors / math.log(2.0)) ** (1.0 / self.modulus)
        return values


@dataclass(frozen=True, slots=True)
class Between:
    """Anywhere between two positive ends, evenly on a logarithmic scale."""

    low: float
    high: float

    @property
    def is_known(self) -> bool:
        """Whether it does not vary at all."""
        return self.low == self.high

    def values(self, normal: FloatArray) -> FloatArray:
        """Return the values that belong to standard normal ones."""
        values: FloatArray = self.low * (self.high / self.low) ** special.ndtr(normal)
        return values


Variable = Lognormal | Weibull | Between


@dataclass(frozen=True, slots=True, eq=False)
class Drawn:
    """Draws of all inputs.

    Parameters
    ----------
    values : mapping of str to (n,) array
        In the order they were given.
    normals : mapping of str to (n,) array
        The standard normal variable behind each that varies.
    """

    values: Mapping[str, FloatArray]
    normals: Mapping[str, FloatArray]


def draw(variables: Mapping[str, Variable]) -> Drawn:
    """Return :data:`DRAWS` joint draws of independent inputs.

    Parameters
    ----------
    variables : mapping of str to Variable
        By the name they have in a budget.
    """
    from scipy.stats import qmc  # noqa: PLC0415  slow to load, and only a prediction needs it

    varying = [name for name, variable in variables.items() if not variable.is_known]
    points = qmc.Sobol(max(1, len(varying)), scramble=False).random_base2(_POWER)
    # the first point of the sequence is the corner itself: all are moved by half a step
    deviates = special.ndtri(points + 0.5 / DRAWS)
    normals = {name: deviates[:, place] for place, name in enumerate(varying)}
    still = np.zeros(DRAWS)
    values = {name: variable.values(normals.get(name, still)) for name, variable in variables.items()}
    return Drawn(values, normals)


def shares(result: FloatArray, drawn: Drawn) -> dict[str, float]:
    """Return what share of a result's variance each input explains, greatest first.

    Parameters
    ----------
    result : (n,) array
        Best on a scale on which the inputs add up, such as a logarithm.
    drawn : Drawn

    Returns
    -------
    dict
        Squared correlation with each input's normal variable: in a linear model the squared importance factor
        of the first-order reliability method. ``together`` is what no input explains alone.
    """
    spread = float(np.std(result))
    if spread == 0.0:
        return {}
    found = {
        name: (float(np.mean(result * normal)) - float(np.mean(result)) * float(np.mean(normal))) ** 2
        / (spread * float(np.std(normal))) ** 2
        for name, normal in drawn.normals.items()
    }  # fmt: skip
    total = sum(found.values())
    scale = max(1.0, total)
    kept = {name: share / scale for name, share in found.items() if share > _LEAST_SHARE}
    kept["together"] = max(0.0, 1.0 - sum(kept.values()))
    return dict(sorted(kept.items(), key=lambda item: -item[1]))


def as_quantity(samples: FloatArray, unit: str, drawn: Drawn) -> Quantity:
    """Return draws of a positive result as a quantity: median, 95 % interval, and what it hangs on.

    Parameters
    ----------
    samples : (n,) array
        Positive.
    unit : str
        Coherent SI unit.
    drawn : Drawn
    """
    median = float(np.median(samples))
    spread = float(np.std(samples))
    if spread <= _ROUNDING * median:
        return Quantity(median, unit)  # nothing it hangs on varies
    tail = 0.5 * (1.0 - LEVEL)
    low, high = np.quantile(samples, (tail, 1.0 - tail))
    parts = {
        Source(f"breaking:{name}", name): spread * math.sqrt(share)
        for name, share in shares(np.log(samples), drawn).items()
    }
    quantity = Quantity(median, unit, parts)
    return quantity.with_interval(float(low), float(high)) if parts else quantity
