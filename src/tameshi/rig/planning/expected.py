"""The strike a rig is planned for, as a pulse: a half-sine, skewed where its rise asks for that.

Up to the peak it is a quarter of one sine, from there on a quarter of another. Both meet flat at the
peak, so the pulse has no corner there; where both quarters are as long it is a half-sine.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import WrongUseError
from tameshi.quantity import parse_quantity

FloatArray = NDArray[np.float64]

RISE_OF_QUARTER = 2.0 / math.pi * (math.asin(0.9) - math.asin(0.1))
"""10-90 % rise of a quarter sine over its length."""
_EARLIEST, _LATEST = 0.02, 0.98  # where in the contact a peak may lie


@dataclass(frozen=True, slots=True, kw_only=True)
class ExpectedStrike:
    """The strike that a rig is checked for.

    Parameters
    ----------
    peak : float
        [N]
    duration : float
        Contact duration. [s]
    rise : float
        10-90 % rise time. [s]
    """

    peak: float
    duration: float
    rise: float

    @property
    def time_to_peak(self) -> float:
        """From the first touch to the peak. [s]"""
        return self.rise / RISE_OF_QUARTER


def expected_strike(peak: str, duration: str, rise: str | None = None) -> ExpectedStrike:
    """Return the strike a person typed: ``"3 kN"``, ``"8 ms"`` and, if known, its rise.

    Raises
    ------
    UnitError
        If a quantity has no unit or one of another kind.
    WrongUseError
        If one is zero, or the rise does not fit into the contact.
    """
    length = abs(parse_quantity(duration, "time"))
    climb = 0.5 * RISE_OF_QUARTER * length if rise is None else abs(parse_quantity(rise, "time"))
    strike = ExpectedStrike(peak=abs(parse_quantity(peak, "force")), duration=length, rise=climb)
    if not (strike.peak > 0.0 and strike.duration > 0.0):
        raise WrongUseError(
            "no-strike-expected", "A strike has a peak and a duration above zero.", hint="Check both."
        )
    if not _EARLIEST <= strike.time_to_peak / strike.duration <= _LATEST:
        shortest, longest = (1e3 * share * RISE_OF_QUARTER * length for share in (_EARLIEST, _LATEST))
        raise WrongUseError(
            "wrong-rise",
            f"A rise of {1e3 * climb:.3g} ms does not fit a contact of {1e3 * length:.3g} ms.",
            hint=f"From {shortest:.2g} to {longest:.2g} ms would.",
        )
    return strike


def force_of_strike(strike: ExpectedStrike, time: FloatArray) -> FloatArray:
    """Return the force on the plate at times from the first touch. [N]

    Parameters
    ----------
    strike : ExpectedStrike
    time : (n,) array
        [s]
    """
    rising = strike.time_to_peak
    falling = strike.duration - rising
    phase = np.where(time < rising, time / rising - 1.0, (time - rising) / falling)
    force: FloatArray = strike.peak * np.where(np.abs(phase) < 1.0, np.cos(0.5 * math.pi * phase), 0.0)
    return force
