"""Where the force crosses a level: placed between samples, with what sampling leaves in doubt.

A straight line between the two samples on either side is too near the strike's foot on one side of a
bend; the line through the two samples inside it, carried outwards, errs the other way. The truth lies
between: about where a parabola would have it on a smooth flank, at the second where contact begins
with a kink. How far the two are apart, and how sharp the foot is, says how much is in doubt.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tameshi.force.signal.outwards import outwards

FloatArray = NDArray[np.float64]

_FLAT = 0.35  # slope outside over slope inside: below this contact may begin between the two samples
_LEFT_BY_PARABOLA = 0.42  # of the squared distance of both places: cubic error of smooth pulses
# by the foot's sharpness, as found by simulation: how far the line carried outwards is trusted over the
# parabola, and what of the distance of both places is left in doubt
_TRUST_GAIN, _TRUST_BASE, _LEAST_TRUST, _MOST_TRUST = 0.7, -0.35, 0.25, 1.0
_LEFT_GAIN, _LEFT_BASE, _LEAST_LEFT, _MOST_LEFT = 0.45, -0.36, 0.06, 0.52


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


def walk(averaged: FloatArray, top: int, direction: int, level: float, sharpness: float = 0.0) -> Crossing:
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
    sharpness : float
        Of the foot the level lies at.
    """
    index = min(max(outwards(averaged, top, direction, level), 0), len(averaged) - 1)
    share, doubt = _between(averaged, index, direction, level, sharpness)
    # a slope over two more samples is steadier than that between neighbours
    before, after = max(0, index - 2), min(len(averaged) - 1, index + 2)
    slope = abs(averaged[after] - averaged[before]) / max(1, after - before)
    inside = min(max(index - direction, 0), len(averaged) - 1)
    step = abs(float(averaged[inside] - averaged[index]))
    place = (index - direction) + direction * share
    return Crossing(float(place), max(float(slope), 0.5 * step, 1e-300), doubt)


def _between(
    averaged: FloatArray, index: int, direction: int, level: float, sharpness: float
) -> tuple[float, float]:
    """Return how far outwards from the last sample above the level it is crossed, and the doubt."""
    beyond, further_in = index + direction, index - 2 * direction
    if not 0 <= index - direction < len(averaged):
        return 0.0, 0.0
    outer, inner = float(averaged[index]), float(averaged[index - direction])
    step = inner - outer
    chord = min(1.0, max(0.0, (inner - level) / step)) if step > 0.0 else 0.0
    if not (0 <= beyond < len(averaged) and 0 <= further_in < len(averaged)):
        return chord, _MOST_LEFT * chord
    rise = float(averaged[further_in]) - inner
    if rise <= 0.0:
        return chord, 0.0
    kink = min(1.0, max(0.0, 1.0 - (outer - float(averaged[beyond])) / rise / _FLAT))
    carried_on = min(1.0, (inner - level) / (rise + kink * _steeper(averaged, index, direction, rise)))
    parabola = 0.5 * (1.0 - chord)
    trust = min(max(_TRUST_GAIN * sharpness + _TRUST_BASE, _LEAST_TRUST), _MOST_TRUST)
    left = min(max(_LEFT_GAIN * sharpness + _LEFT_BASE, _LEAST_LEFT), _MOST_LEFT)
    weight = parabola + trust * kink**2 * (1.0 - parabola)
    apart = abs(carried_on - chord)
    doubt = (_LEFT_BY_PARABOLA * apart + left * kink**2) * apart
    return chord + weight * (carried_on - chord), doubt


def _steeper(averaged: FloatArray, index: int, direction: int, rise: float) -> float:
    """Return how much steeper than further in a flank is that flattens already on its way to the top."""
    third = index - 3 * direction
    if not 0 <= third < len(averaged):
        return 0.0
    flattens = rise - float(averaged[third] - averaged[third + direction])
    return min(max(flattens, 0.0), rise)
