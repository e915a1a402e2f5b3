"""What is known of an input: a range or a measured quantity, and draws from it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import UnmeasurableError, WrongUseError
from tameshi.quantity import Quantity, Source

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Range:
    """A positive value known to lie between two others, as likely in each equal ratio.

    Parameters
    ----------
    low, high : float

    Raises
    ------
    WrongUseError
        ``wrong-range`` unless 0 < low <= high.
    """

    low: float
    high: float

    def __post_init__(self) -> None:
        if not (0.0 < self.low <= self.high < math.inf):
            raise WrongUseError("wrong-range", f"There is nothing between {self.low!r} and {self.high!r}.")

    def draw(self, generator: np.random.Generator, count: int) -> FloatArray:
        """Return draws of it."""
        drawn: FloatArray = np.exp(generator.uniform(math.log(self.low), math.log(self.high), count))
        return drawn


Known = Range | Quantity
"""What is known of a mass, a speed or a stiffness."""


def draw_known(known: Known, generator: np.random.Generator, count: int) -> FloatArray:
    """Return draws of what is known, positive ones only.

    Raises
    ------
    UnmeasurableError
        ``too-uncertain`` where it may as well be nothing.
    """
    if isinstance(known, Range):
        return known.draw(generator, count)
    return draw_together((known,), generator, count)[0]


def draw_together(
    quantities: Sequence[Quantity], generator: np.random.Generator, count: int
) -> tuple[FloatArray, ...]:
    """Return draws of measured quantities, correlated by the sources they share.

    Parameters
    ----------
    quantities : sequence of Quantity
    generator : numpy Generator
    count : int

    Returns
    -------
    tuple of (count,) arrays

    Raises
    ------
    UnmeasurableError
        ``too-uncertain`` where a 95 % interval reaches nought: nothing can be passed on by it.
    """
    for one in quantities:
        if not one.low > 0.0:
            raise UnmeasurableError(
                "too-uncertain",
                f"A figure of {one.value:.3g} {one.unit} is known to ±{one.expanded():.2g} {one.unit} only: "
                "too little to work on with.",
                hint="Record the strike again with a rig that can see it.",
            )
    errors = {
        source: _standard(source, generator, count)
        for source in sorted({source for one in quantities for source in one.parts}, key=lambda one: one.key)
    }
    drawn = [
        one.value + sum((part * errors[of] for of, part in one.parts.items()), np.zeros(count))
        for one in quantities
    ]
    # a tail of few degrees of freedom may cross nought: there it is folded back
    return tuple(
        np.maximum(np.abs(one), 1e-6 * abs(of.value)) for one, of in zip(drawn, quantities, strict=True)
    )


def _standard(source: Source, generator: np.random.Generator, count: int) -> FloatArray:
    if math.isfinite(source.dof):
        return generator.standard_t(max(1.0, source.dof), count)
    return generator.standard_normal(count)
