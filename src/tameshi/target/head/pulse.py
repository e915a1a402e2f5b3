"""The acceleration of a head as samples joined by straight lines, with its integral."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tameshi.errors import UnmeasurableError, WrongUseError

FloatArray = NDArray[np.float64]
FEWEST_SAMPLES = 2


@dataclass(frozen=True, slots=True, eq=False)
class Pulse:
    """An acceleration sampled at an even step; between samples it runs straight.

    Parameters
    ----------
    acceleration : (n,) array, n >= 2
        Size of the acceleration of the head's centre. [g0, multiples of standard gravity]
    rate : float
        [Hz]

    Raises
    ------
    WrongUseError
        ``wrong-rate`` where the rate is not a positive number.
    UnmeasurableError
        ``too-short``, or ``no-numbers`` where a sample is no finite number.
    """

    acceleration: FloatArray
    rate: float

    def __post_init__(self) -> None:
        samples = np.array(self.acceleration, dtype=np.float64).ravel()
        if not (np.isfinite(self.rate) and self.rate > 0.0):
            raise WrongUseError("wrong-rate", f"A rate of {self.rate!r} Hz is impossible.")
        if len(samples) < FEWEST_SAMPLES:
            raise UnmeasurableError("too-short", f"A pulse of {len(samples)} samples has no duration.")
        if not np.isfinite(samples).all():
            raise UnmeasurableError("no-numbers", "The acceleration has gaps or values that are no numbers.")
        samples.setflags(write=False)
        object.__setattr__(self, "acceleration", samples)

    @property
    def step(self) -> float:
        """Time from sample to sample. [s]"""
        return 1.0 / self.rate

    @property
    def duration(self) -> float:
        """Time from the first sample to the last. [s]"""
        return (len(self.acceleration) - 1) / self.rate


def pulse_of(acceleration: ArrayLike, rate: float) -> Pulse:
    """Return samples of an acceleration as a pulse.

    Parameters
    ----------
    acceleration : (n,) array-like [g0]
    rate : float [Hz]
    """
    return Pulse(np.asarray(acceleration, dtype=np.float64), rate)
