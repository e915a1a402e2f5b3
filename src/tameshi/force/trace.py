"""A recording of one channel: samples, rate, unit, and where they come from."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import Flag, UnmeasurableError, WrongUseError

FloatArray = NDArray[np.float64]
FEWEST_SAMPLES = 8
_NOTHING = 1e-100  # of any unit: smaller than anything measured, and arithmetic fails near zero


@dataclass(frozen=True, slots=True)
class Origin:
    """Where a trace comes from.

    Parameters
    ----------
    file : str
        Name of the original.
    sha256 : str
        Digest of its bytes.
    channel : str
        Name of the channel in it.
    """

    file: str = ""
    sha256: str = ""
    channel: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class Trace:
    """Uniformly sampled readings of one channel.

    Parameters
    ----------
    samples : (n,) array, n >= 8
        Readings in ``unit``; NaN where the recording has none. Kept read-only.
    rate : float
        Samples a second. [Hz]
    unit : str
        ``"N"``, ``"V"``, or ``"1"`` for a share of full scale.
    origin : Origin
    flags : tuple of Flag
        What the reader noticed: gaps, irregular stamps, a cut-off end.

    Raises
    ------
    WrongUseError
        If the rate is not a positive number.
    UnmeasurableError
        If there are fewer than eight samples, or none of them is a number.
    """

    samples: FloatArray
    rate: float
    unit: str
    origin: Origin = field(default_factory=Origin)
    flags: tuple[Flag, ...] = ()

    def __post_init__(self) -> None:
        samples = np.array(self.samples, dtype=np.float64).ravel()
        if not (np.isfinite(self.rate) and self.rate > 0.0):
            raise WrongUseError(
                "wrong-rate", f"A rate of {self.rate!r} Hz is impossible.", hint="Give --rate."
            )
        if len(samples) < FEWEST_SAMPLES:
            raise UnmeasurableError(
                "too-short",
                f"The recording holds {len(samples)} samples; a strike cannot be told from noise in so few.",
                hint="Record from before the strike until well after it.",
            )
        samples[np.isinf(samples)] = np.nan
        samples[np.abs(samples) < _NOTHING] = 0.0
        if np.isnan(samples).all():
            raise UnmeasurableError(
                "no-numbers",
                "The recording holds no numbers in this channel.",
                hint="Pick another --channel.",
            )
        samples.setflags(write=False)
        object.__setattr__(self, "samples", samples)

    @property
    def duration(self) -> float:
        """Time from the first sample to the end of the last. [s]"""
        return len(self.samples) / self.rate
