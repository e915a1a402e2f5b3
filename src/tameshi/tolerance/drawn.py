"""What a model gives: no value with an uncertainty, but draws, kept as their quantiles.

Read off between the quantiles on a logarithmic scale against normal scores, on which draws of products of
positive quantities lie nearly straight; beyond the outermost the last slope goes on.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr, ndtri

from tameshi.errors import WrongUseError
from tameshi.quantity import LEVEL

FloatArray = NDArray[np.float64]
_TAIL = 0.5 * (1.0 - LEVEL)
_EVEN = 0.5


@dataclass(frozen=True, slots=True)
class Drawn:
    """Draws of a positive quantity, as quantiles.

    Parameters
    ----------
    unit : str
        Coherent SI unit.
    shares : tuple of float
        Of the draws that lie below each value, rising.
    values : tuple of float
        Never falling; one value alone stands for draws that are all alike.

    Raises
    ------
    WrongUseError
        ``wrong-draws`` where they are no quantiles of a positive quantity.
    """

    unit: str
    shares: tuple[float, ...]
    values: tuple[float, ...]

    def __post_init__(self) -> None:
        rising = all(one < other for one, other in pairwise(self.shares))
        kept = all(one <= other for one, other in pairwise(self.values))
        inside = all(0.0 < share < 1.0 for share in self.shares)
        fits = len(self.shares) == len(self.values) > 0 and self.values[0] > 0.0
        if not (rising and kept and inside and fits and math.isfinite(self.values[-1])):
            raise WrongUseError("wrong-draws", f"{self.values!r} are no quantiles of a positive quantity.")

    @property
    def value(self) -> float:
        """Their median."""
        return self.at(_EVEN)

    @property
    def low(self) -> float:
        """Lower end of the band that holds 95 % of them."""
        return self.at(_TAIL)

    @property
    def high(self) -> float:
        """Its upper end."""
        return self.at(1.0 - _TAIL)

    def at(self, share: float) -> float:
        """Return the value below which a share of the draws lies."""
        if self._is_alike:
            return self.values[0]
        scores, logarithms = self._line
        return math.exp(_read_off(float(ndtri(share)), scores, logarithms))

    def below(self, value: float) -> float:
        """Return the share of the draws below a value; on one they all have neither side is claimed."""
        if value <= 0.0:
            return 0.0
        if self._is_alike:
            return _EVEN if value == self.values[0] else float(value > self.values[0])
        scores, logarithms = self._line
        return float(ndtr(_read_off(math.log(value), logarithms, scores)))

    @property
    def _is_alike(self) -> bool:
        return self.values[0] == self.values[-1]

    @property
    def _line(self) -> tuple[FloatArray, FloatArray]:
        """Return normal scores and logarithms of the values, each value once."""
        last = {value: share for share, value in zip(self.shares, self.values, strict=True)}
        return ndtri(np.array(list(last.values()))), np.log(np.array(list(last)))


def _read_off(place: float, along: Sequence[float] | FloatArray, read: Sequence[float] | FloatArray) -> float:
    """Return what stands at a place of a broken line whose ends go on straight."""
    first, last = (0, 1), (len(along) - 2, len(along) - 1)
    for (one, other), beyond in ((first, place < along[0]), (last, place > along[-1])):
        if beyond:
            slope = (read[other] - read[one]) / (along[other] - along[one])
            return float(read[one] + slope * (place - along[one]))
    return float(np.interp(place, along, read))
