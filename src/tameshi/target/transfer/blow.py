"""A strike as the plate felt it: what a transfer starts from."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import UnmeasurableError, WrongUseError
from tameshi.quantity import Measured, Missing, Quantity
from tameshi.target.transfer.spread import Known

FloatArray = NDArray[np.float64]
BARE = "none"
_FEWEST_SAMPLES = 3


@dataclass(frozen=True, slots=True)
class Pad:
    """What lay on the plate, and does not lie on the body.

    Parameters
    ----------
    name : str or None
        ``"none"`` for a bare plate, a material; None where nobody said.
    stiffness : Range or Quantity or None
        Of the pad under the strike, where it is known. [N/m]
    """

    name: str | None
    stiffness: Known | None = None

    @property
    def is_bare(self) -> bool:
        """Whether the plate was bare."""
        return self.stiffness is None and self.name is not None and self.name.strip().lower() == BARE

    @property
    def is_known(self) -> bool:
        """Whether what it did to the strike can be taken back."""
        return self.is_bare or self.stiffness is not None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Blow:
    """A measured strike.

    Parameters
    ----------
    index : int
        Of the strike in its recording.
    peak_force : Quantity [N]
    impulse : Quantity [N s]
    duration : Quantity
        Of the contact. [s]
    pad : Pad
    force : (n,) array or None
        Recorded force of the contact, nothing before and after it. [N]
    rate : float
        Of that recording. [Hz]
    """

    index: int
    peak_force: Quantity
    impulse: Quantity
    duration: Quantity
    pad: Pad
    force: FloatArray | None = None
    rate: float = 0.0

    def __post_init__(self) -> None:
        if self.force is not None and not (self.rate > 0.0 and len(self.force) > 1):
            raise WrongUseError("wrong-pulse", "A recorded pulse needs samples and their rate.")

    @property
    def shape(self) -> float:
        """Mean force over peak force."""
        return self.impulse.value / (self.peak_force.value * self.duration.value)


def blow_of(
    *,
    index: int,
    peak_force: Measured,
    impulse: Measured,
    duration: Measured,
    pad: Pad,
    force: FloatArray | None = None,
    rate: float = 0.0,
) -> Blow:
    """Return a blow from the figures of a strike.

    Raises
    ------
    UnmeasurableError
        ``no-force``, ``no-impulse`` or ``no-duration`` where a figure is missing.
    """
    return Blow(
        index=index,
        peak_force=_given(peak_force, "force", "peak force"),
        impulse=_given(impulse, "impulse", "impulse"),
        duration=_given(duration, "duration", "contact duration"),
        pad=pad,
        force=force,
        rate=rate,
    )


def cut_pulse(force: FloatArray, *, start: float, rate: float, onset: float, end: float) -> FloatArray:
    """Return the part of a recorded force that is the contact, one sample more on either side.

    Parameters
    ----------
    force : (n,) array [N]
    start : float
        Time of its first sample. [s]
    rate : float [Hz]
    onset, end : float
        Of the contact. [s]

    Raises
    ------
    UnmeasurableError
        ``no-curve`` where the contact lies outside.
    """
    first = max(0, math.floor((onset - start) * rate) - 1)
    last = min(len(force), math.ceil((end - start) * rate) + 2)
    if last - first < _FEWEST_SAMPLES:
        raise UnmeasurableError("no-curve", "The recorded curve does not hold the contact.")
    return np.asarray(force[first:last], dtype=np.float64)


def _given(measured: Measured, code: str, what: str) -> Quantity:
    if isinstance(measured, Missing):
        raise UnmeasurableError(
            f"no-{code}", f"The strike has no {what}: {measured.why}.", hint="Take another strike."
        )
    return measured
