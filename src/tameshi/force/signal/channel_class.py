"""Channel frequency classes: the phaseless low-pass that impact tests agree on.

A two-pole Butterworth section runs forwards, then backwards, so that nothing is delayed. The
coefficients are those of SAE J211-1, Appendix C; the difference equation adds its b terms.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import WrongUseError
from tameshi.reference import row, table

FloatArray = NDArray[np.float64]
_PADDING = 0.010  # s on either side, as Appendix C advises


@dataclass(frozen=True, slots=True)
class Coefficients:
    """y[n] = a0 x[n] + a1 x[n-1] + a2 x[n-2] + b1 y[n-1] + b2 y[n-2]."""

    a0: float
    a1: float
    a2: float
    b1: float
    b2: float


def class_coefficients(channel_class: float, rate: float) -> Coefficients:
    """Return the coefficients of one pass of a channel frequency class.

    Parameters
    ----------
    channel_class : float
        60, 180, 600 or 1000. [Hz]
    rate : float
        [Hz]

    Notes
    -----
    Source: SAE J211-1:1995, Appendix C, equation C1.
    """
    design = 2.0 * math.pi * channel_class * float(row("channel_classes", "design")["factor"])
    wa = math.tan(0.5 * design / rate)
    root = math.sqrt(2.0) * wa
    below = 1.0 + root + wa * wa
    a0 = wa * wa / below
    return Coefficients(a0, 2.0 * a0, a0, -2.0 * (wa * wa - 1.0) / below, (-1.0 + root - wa * wa) / below)


def filter_class(samples: FloatArray, rate: float, channel_class: int) -> FloatArray:
    """Return samples filtered to a channel frequency class, without delay.

    Parameters
    ----------
    samples : (n,) array
        Without gaps.
    rate : float
        [Hz]
    channel_class : int
        60, 180, 600 or 1000.

    Raises
    ------
    WrongUseError
        If there is no such class, or the recording is too slow for it.
    """
    from scipy.signal import filtfilt  # noqa: PLC0415  1 s that an unfiltered recording need not pay

    classes = {key: entry for key, entry in table("channel_classes").rows.items() if "class" in entry}
    if str(channel_class) not in classes:
        raise WrongUseError(
            "unknown-class",
            f"There is no channel class {channel_class}.",
            hint=f"Classes: {', '.join(classes)}.",
        )
    least = classes[str(channel_class)]["least_rate"]
    if rate < least:
        raise WrongUseError(
            "class-beyond-rate",
            f"Class {channel_class} needs {least} samples a second or more; this recording has {rate:g}.",
            hint="Choose a lower class or record faster.",
        )
    c = class_coefficients(channel_class, rate)
    padding = min(len(samples) - 1, max(3, round(_PADDING * rate)))
    filtered: FloatArray = filtfilt(
        [c.a0, c.a1, c.a2], [1.0, -c.b1, -c.b2], samples, padtype="odd", padlen=padding
    )
    return filtered
