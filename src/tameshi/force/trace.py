"""A recording of one channel: samples, rate, unit, and where they come from."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import Flag, UnmeasurableError, WrongUseError

FloatArray = NDArray[np.float64]
Samples = NDArray[np.floating]
FEWEST_SAMPLES = 8
_PIECE = 1_000_000
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
        Readings in ``unit``; NaN or infinite where the recording has none. Floating-point numbers are kept
        as they come, also mapped from a file, and seen read-only.
    rate : float
        Samples a second. [Hz]
    unit : str
        ``"N"``, ``"V"``, or ``"1"`` for a share of full scale.
    origin : Origin
    flags : tuple of Flag
        What the reader noticed: gaps, irregular stamps, a cut-off end.
    spacing : float or None
        Widest step between readings, where they came at uneven times and straight lines fill the samples
        between. What the samples can tell is limited by it, not by the rate. [s]

    Raises
    ------
    WrongUseError
        If the rate is not a positive number.
    UnmeasurableError
        If there are fewer than eight samples, or none of them is a number.
    """

    samples: Samples
    rate: float
    unit: str
    origin: Origin = field(default_factory=Origin)
    flags: tuple[Flag, ...] = ()
    spacing: float | None = None

    def __post_init__(self) -> None:
        samples = np.asarray(self.samples).ravel()
        if samples.dtype not in (np.float32, np.float64):
            samples = samples.astype(np.float64)
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
        pieces = (samples[start : start + _PIECE] for start in range(0, len(samples), _PIECE))
        if not any(np.isfinite(piece).any() for piece in pieces):
            raise UnmeasurableError(
                "no-numbers",
                "The recording holds no numbers in this channel.",
                hint="Pick another --channel.",
            )
        samples = samples.view()
        samples.setflags(write=False)
        object.__setattr__(self, "samples", samples)

    @property
    def duration(self) -> float:
        """Time from the first sample to the end of the last. [s]"""
        return len(self.samples) / self.rate

    def readings(self, start: int = 0, stop: int | None = None) -> FloatArray:
        """Return a stretch of the samples to work on, NaN where there is no reading.

        Parameters
        ----------
        start, stop : int
            First sample, and one past the last; to the end where None.

        Returns
        -------
        (n,) array
            A copy.
        """
        part = np.array(self.samples[start:stop], dtype=np.float64)
        part[np.isinf(part)] = np.nan
        part[np.abs(part) < _NOTHING] = 0.0
        return part
