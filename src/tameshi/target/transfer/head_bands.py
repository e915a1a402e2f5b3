"""Measures of a head pulse for every draw, from the shape of the recorded pulse.

A pulse A f(t/tau) has HIC_W = A^2.5 tau HIC_(W/tau) of f, GSI = A^2.5 tau GSI of f, and a 3 ms clip of A
times the clip of f for 3 ms/tau. So each measure is worked out for some windows only, and read off between
them.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tameshi.target.head import Pulse, clip_level, injury_criterion, severity_index
from tameshi.target.head.clip import HELD, Reading
from tameshi.target.head.metrics import LONG, SHORT
from tameshi.target.transfer.band import BOTH, Band, band_of, limits
from tameshi.target.transfer.recorded import STANDARD_GRAVITY

FloatArray = NDArray[np.float64]
_WINDOWS = 24


@dataclass(frozen=True, slots=True, kw_only=True)
class HeadBands:
    """Bands of the measures of a head pulse; always modelled.

    Parameters
    ----------
    peak : Band
        Greatest acceleration. [m/s2]
    hic15, hic36, severity : Band
        As the trade has them, accelerations in g0. [s]
    clip_contiguous, clip_summed : Band
        Level held for 3 ms, unbroken and in all; not known on either side where a pad cannot be taken back,
        as a harder contact is higher and shorter at once. [m/s2]
    """

    peak: Band
    hic15: Band
    hic36: Band
    severity: Band
    clip_contiguous: Band
    clip_summed: Band


def head_bands(pulse: Pulse, size: FloatArray, stretch: FloatArray, *, known: str) -> HeadBands:
    """Return bands of the measures of a head pulse.

    Parameters
    ----------
    pulse : Pulse
        The recorded shape: the force as the acceleration of 1 kg. [g0]
    size : (d,) array
        Acceleration over that of the recorded shape.
    stretch : (d,) array
        Duration over the recorded one.
    known : "both", "at least" or "at most"
        Which side of the bands holds.
    """
    weight = size**2.5 * stretch

    def clip(reading: Reading) -> Band:
        if known != BOTH:
            return limits(None, None, "m/s2")
        level = _between(lambda held: clip_level(pulse, reading, held=held), HELD / stretch)
        return band_of(STANDARD_GRAVITY * size * level, "m/s2")

    def hic(longest: float) -> FloatArray:
        return weight * _between(lambda window: injury_criterion(pulse, window).value, longest / stretch)

    top = float(pulse.acceleration.max())
    return HeadBands(
        peak=band_of(STANDARD_GRAVITY * top * size, "m/s2", known=known),
        hic15=band_of(hic(SHORT), "s", known=known),
        hic36=band_of(hic(LONG), "s", known=known),
        severity=band_of(weight * severity_index(pulse), "s", known=known),
        clip_contiguous=clip("contiguous"),
        clip_summed=clip("summed"),
    )


def _between(measure: Callable[[float], float], windows: FloatArray) -> FloatArray:
    """Return a measure for many windows, worked out for some and read off between them."""
    least, most = float(windows.min()), float(windows.max())
    worked_out = np.geomspace(least, most, _WINDOWS) if most > least else np.array([least])
    values = [measure(float(one)) for one in worked_out]
    read_off: FloatArray = np.interp(windows, worked_out, values)
    return read_off
