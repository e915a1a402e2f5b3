"""What a strike offers for comparison: quantities with their kind, measured, bounded or modelled."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr, ndtri, stdtr, stdtrit

from tameshi.errors import WrongUseError
from tameshi.pressure import tissue_ratios
from tameshi.quantity import LEVEL, Measured, Missing, Quantity, parse_unit
from tameshi.tolerance.drawn import Drawn
from tameshi.tolerance.kind import Kind, kind_facts

Known = Quantity | Drawn
"""What is measured, or what a model gives."""

FloatArray = NDArray[np.float64]
_TAIL = 0.5 * (1.0 + LEVEL)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """A quantity of a strike with its kind.

    Parameters
    ----------
    kind : Kind
    least, most : Quantity or Drawn
        Alike where the quantity is known; else the bounds it lies between.
    at_least : float or None
        Where only a lower bound is known (a top that was cut off, a pad that a model cannot take back);
        ``least`` and ``most`` then hold it. [coherent SI]
    how : str
        How it comes about, in words.
    model : str
        Name of the model it was worked out by; empty where it was measured.
    """

    kind: Kind
    least: Known
    most: Known
    at_least: float | None = None
    how: str
    model: str = ""

    def __post_init__(self) -> None:
        wanted = parse_unit(kind_facts(self.kind).unit).dimension
        for end in (self.least, self.most):
            if parse_unit(end.unit).dimension != wanted:
                raise WrongUseError("wrong-unit", f"{end.unit} is no unit of a {self.kind}.")

    @property
    def is_band(self) -> bool:
        """Whether only bounds are known."""
        return self.least is not self.most


def contact_force(force: Measured) -> Reading | None:
    """Return the peak force on the plate as a reading; None where nothing is known of it."""
    if isinstance(force, Quantity):
        return Reading(kind=Kind.CONTACT_FORCE, least=force, most=force, how="peak force on the plate")
    return _bounded(Kind.CONTACT_FORCE, force, "a bound: the top of the recording was cut off")


def mean_pressure(mean: Measured) -> Reading | None:
    """Return force over contact area as a reading."""
    if isinstance(mean, Quantity):
        return Reading(
            kind=Kind.MEAN_PRESSURE, least=mean, most=mean, how="peak force over the area of the print"
        )
    return _bounded(Kind.MEAN_PRESSURE, mean, "a bound: the top of the recording was cut off")


def local_pressure_of(mean: Measured) -> Reading | None:
    """Return what a mean pressure says of the greatest local pressure: two bounds, never a value.

    Notes
    -----
    The band for soft tissue, as published local pressures were measured; see ``tameshi.pressure``.
    """
    if isinstance(mean, Missing):
        return None
    low, high = (ratio.factor for ratio in tissue_ratios())
    how = f"between {low:g} and {high:g} times the mean pressure of the print, as measured on soft tissue"
    return Reading(kind=Kind.LOCAL_PRESSURE, least=mean * low, most=mean * high, how=how)


def local_pressure(measured: Quantity) -> Reading:
    """Return a local pressure that was measured as such, under a film or a sensor."""
    return Reading(
        kind=Kind.LOCAL_PRESSURE, least=measured, most=measured, how="measured as a local pressure"
    )


def share_below(quantity: Known, value: float) -> float:
    """Return the probability that a quantity lies below a value.

    Notes
    -----
    Student's t about the best estimate; where the interval is not symmetric, a normal distribution on
    either side with the width that side has. Source: JCGM 100:2008, G.3; the two halves are ours.
    """
    if isinstance(quantity, Drawn):
        return quantity.below(value)
    distance = value - quantity.value
    if quantity.interval is not None:
        side = quantity.high - quantity.value if distance >= 0.0 else quantity.value - quantity.low
        width = side / float(ndtri(_TAIL))
        return float(ndtr(distance / width)) if width > 0.0 else _step(distance)
    if quantity.u == 0.0:
        return _step(distance)
    return float(stdtr(_dof(quantity), distance / quantity.u))


def quantiles(quantity: Known, shares: FloatArray) -> FloatArray:
    """Return the values below which a quantity lies with these probabilities."""
    if isinstance(quantity, Drawn):
        return np.array([quantity.at(float(share)) for share in shares])
    if quantity.interval is not None:
        scores = ndtri(shares) / float(ndtri(_TAIL))
        sides = np.where(scores < 0.0, quantity.value - quantity.low, quantity.high - quantity.value)
        return np.asarray(quantity.value + sides * scores, np.float64)
    if quantity.u == 0.0:
        return np.full(len(shares), quantity.value)
    return np.asarray(quantity.value + quantity.u * stdtrit(_dof(quantity), shares), np.float64)


def _dof(quantity: Quantity) -> float:
    # whole and never below one, as for the interval itself
    return max(1.0, float(math.floor(quantity.dof))) if math.isfinite(quantity.dof) else math.inf


def _step(distance: float) -> float:
    """Return the probability without uncertainty; on the value itself neither side is claimed."""
    if distance == 0.0:
        return 0.5
    return 1.0 if distance > 0.0 else 0.0


def _bounded(kind: Kind, missing: Missing, how: str) -> Reading | None:
    if missing.at_least is None:
        return None
    bound = Quantity(missing.at_least, missing.unit)
    return Reading(kind=kind, least=bound, most=bound, at_least=missing.at_least, how=how)
