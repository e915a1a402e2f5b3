"""The level that a head pulse holds for three milliseconds.

Two readings of that are in use, and they differ where the pulse has more than one hump: *contiguous*, the
level held through one unbroken stretch; *summed*, the level above which all stretches together last as long.
Source: 49 CFR 571.208, S6.3 (summed; written of the chest).
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

import numpy as np

from tameshi.errors import WrongUseError
from tameshi.target.head.pulse import FloatArray, Pulse

Reading = Literal["contiguous", "summed"]
HELD = 0.003
"""How long the level is held. [s]"""

_HALVINGS = 60


def clip_level(pulse: Pulse, reading: Reading, *, held: float = HELD) -> float:
    """Return the highest level that a pulse holds for a time.

    Parameters
    ----------
    pulse : Pulse
    reading : "contiguous" or "summed"
        One unbroken stretch, or all stretches together.
    held : float
        [s]

    Returns
    -------
    float
        Level, 0 where the pulse is shorter; exact for the straight lines between samples. [g0]

    Raises
    ------
    WrongUseError
        ``unknown-reading``.
    """
    above: dict[str, Callable[[FloatArray, FloatArray, float], float]] = {
        "contiguous": _longest_above,
        "summed": _time_above,
    }
    if reading not in above:
        raise WrongUseError(
            "unknown-reading", f"There is no {reading!r} clip.", hint="Write contiguous or summed."
        )
    steps = held * pulse.rate
    start, end = pulse.acceleration[:-1], pulse.acceleration[1:]
    low, high = 0.0, float(pulse.acceleration.max())
    # at the first level above zero it is asked too, so that a pulse that is too short gives exactly zero
    if high <= 0.0 or above[reading](start, end, np.nextafter(0.0, 1.0)) < steps * (1.0 - 1e-9):
        return 0.0
    if above[reading](start, end, high) >= steps * (1.0 - 1e-9):
        return high
    for _ in range(_HALVINGS):
        level = 0.5 * (low + high)
        if above[reading](start, end, level) >= steps:
            low = level
        else:
            high = level
    return low


def _shares(start: FloatArray, end: FloatArray, level: float) -> FloatArray:
    """Return the share of each step that is at or above a level."""
    least, most = np.minimum(start, end), np.maximum(start, end)
    rise = most - least
    level_step = rise == 0.0
    share = (most - level) / np.where(level_step, 1.0, rise)
    share[level_step] = most[level_step] >= level
    return np.clip(share, 0.0, 1.0)


def _time_above(start: FloatArray, end: FloatArray, level: float) -> float:
    return float(_shares(start, end, level).sum())


def _longest_above(start: FloatArray, end: FloatArray, level: float) -> float:
    """Return the longest unbroken stretch at or above a level. [steps]"""
    share = _shares(start, end, level)
    total = np.concatenate(([0.0], np.cumsum(share)))
    # a stretch is broken where a sample lies below the level
    below = np.flatnonzero(np.concatenate((start, end[-1:])) < level)
    marks = np.concatenate((total[:1], total[below], total[-1:]))
    return float(np.diff(marks).max())
