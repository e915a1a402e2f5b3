"""Where the force crosses a level: placed between samples, with what sampling leaves in doubt.

A straight line between the two samples on either side is too near the strike's foot on one side of a
bend; the line through the two samples inside it, carried outwards, errs the other way. The truth lies
between: about where a parabola would have it on a smooth flank, at the second where contact begins
with a kink. How far the two are apart says how much is in doubt.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tameshi.force.outwards import outwards

FloatArray = NDArray[np.float64]

_FLAT = 0.35  # slope outside over slope inside: below this contact may begin between the two samples
_LEFT_BY_PARABOLA = 0.56  # of the squared distance of both places: cubic error of smooth pulses
_LEFT_BY_KINK = 0.36  # of the distance itself


@dataclass(frozen=True, slots=True)
class Crossing:
    """Where a level is crossed.

    Parameters
    ----------
    index : float
        Place, in samples.
    slope : float
        Steepness there, positive. [N a sample]
    doubt : float
        Standard uncertainty of the place that comes of seeing samples only, in samples.
    """

    index: float
    slope: float
    doubt: float


def walk(averaged: FloatArray, top: int, direction: int, level: float) -> Crossing:
    """Walk outwards from a top to the first crossing of a level.

    Parameters
    ----------
    averaged : (n,) array
        Force, averaged as the noise demands. [N]
    top : int
        Where to start, a sample above the level.
    direction : -1 or 1
    level : float
        [N]
    """
    index = min(max(outwards(averaged, top, direction, level), 0), len(averaged) - 1)
    share, doubt = _between(averaged, index, direction, level)
    # a slope over two more samples is steadier than that between neighbours
    before, after = max(0, index - 2), min(len(averaged) - 1, index + 2)
    slope = abs(averaged[after] - averaged[before]) / max(1, after - before)
    step = abs(float(averaged[index - direction] - averaged[index]))
    place = (index - direction) + direction * share
    return Crossing(float(place), max(float(slope), 0.5 * step, 1e-300), doubt)


def _between(averaged: FloatArray, index: int, direction: int, level: float) -> tuple[float, float]:
    """Return how far outwards from the last sample above the level it is crossed, and the doubt."""
    beyond, further_in = index + direction, index - 2 * direction
    outer, inner = float(averaged[index]), float(averaged[index - direction])
    step = inner - outer
    chord = min(1.0, max(0.0, (inner - level) / step)) if step > 0.0 else 0.0
    if not (0 <= beyond < len(averaged) and 0 <= further_in < len(averaged)):
        return chord, _LEFT_BY_KINK * chord
    rise = float(averaged[further_in]) - inner
    if rise <= 0.0:
        return chord, 0.0
    carried_on = min(1.0, (inner - level) / rise)
    kink = min(1.0, max(0.0, 1.0 - (outer - float(averaged[beyond])) / rise / _FLAT))
    parabola = 0.5 * (1.0 - chord)
    weight = parabola + 0.5 * kink * (1.0 - parabola)
    apart = abs(carried_on - chord)
    doubt = (_LEFT_BY_PARABOLA * apart + _LEFT_BY_KINK * kink) * apart
    return chord + weight * (carried_on - chord), doubt
