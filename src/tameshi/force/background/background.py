"""The quiet level of a whole recording, coarsely: slow drift, mains hum, and the size of the noise.

Strikes are short and recordings long, so the level is taken where most samples lie. This is only
what finding strikes needs; the baseline under each strike is fitted afterwards, next to it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tameshi.force.background.hum import HIGHEST_SHARE, find_hum
from tameshi.force.background.level import slow_level, slow_remainder
from tameshi.force.settings import Settings
from tameshi.force.signal.centre import centre
from tameshi.rig import recover_force

FloatArray = NDArray[np.float64]

_ROUNDS = 2
_CORNER_TO_NATURAL = 1.4  # just enough to flatten the resonance; more lifts noise
_MOST_FOR_STEP = 50_000
_ROUNDED, _WHOLE_SHARE, _LEAST_STEP = 0.05, 0.95, 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Background:
    """A recording averaged over short blocks, its quiet level taken away.

    Parameters
    ----------
    size : int
        Samples in a block.
    residual : (b,) array
        Block means less level and hum, in the trace's unit.
    scale : float
        Standard deviation of the quiet residual.
    mains : float or None
        Mains frequency whose hum was found. [Hz]
    lowest, highest : float
        Of the level.
    """

    size: int
    residual: FloatArray
    scale: float
    mains: float | None
    lowest: float
    highest: float


def find_background(
    means: FloatArray,
    rate: float,
    size: int,
    settings: Settings,
    *,
    step: float,
    cell: tuple[float, float] | None = None,
) -> Background:
    """Return a recording without its quiet level.

    Parameters
    ----------
    means : (b,) array
        Means over blocks of samples; NaN where a block has none.
    rate : float
        Of the samples. [Hz]
    size : int
        Samples in a block.
    settings : Settings
    step : float
        Smallest difference between readings, zero where they are continuous.
    cell : (float, float) or None
        Natural frequency [Hz] and damping ratio of the cell, so that its ringing on from one strike
        does not hide the next.

    Returns
    -------
    Background
    """
    block_rate = rate / size
    missing = np.isnan(means)
    if cell is not None and cell[0] < HIGHEST_SHARE * block_rate:
        means = _without_ringing(means, block_rate, cell)
    hum, mains = np.zeros(len(means)), None
    for _ in range(_ROUNDS):  # each of level and hum is found better once the other is taken away
        level = slow_level(means - hum, block_rate, settings.chunk)
        above = np.where(missing, 0.0, means - level)
        spread = centre(above[~missing])[1]
        mains, hum = find_hum(above, block_rate, spread)
        if mains is None:
            break
    residual = np.where(missing, 0.0, above - hum)
    spread = spread if mains is None else centre(residual[~missing])[1]
    slow = slow_remainder(residual, ~missing, block_rate, spread)
    residual, level = np.where(missing, 0.0, residual - slow), level + slow
    short = len(means) < round(settings.chunk * block_rate)
    scale = max(centre(residual[~missing], quarter=short)[1], 0.3 * step / math.sqrt(size))
    return Background(
        size=size,
        residual=residual,
        scale=scale,
        mains=mains,
        lowest=float(level.min()),
        highest=float(level.max()),
    )


def _without_ringing(means: FloatArray, rate: float, cell: tuple[float, float]) -> FloatArray:
    """Return block means with the cell's response undone; gaps stay gaps."""
    missing = np.isnan(means)
    index = np.arange(len(means))
    whole = np.interp(index, index[~missing], means[~missing])
    level = centre(whole)[0]
    corner = min(_CORNER_TO_NATURAL * cell[0], HIGHEST_SHARE * rate)
    steady = recover_force(whole - level, rate, cell[0], cell[1], corner) + level
    return np.where(missing, np.nan, steady)


def smallest_step(samples: FloatArray) -> float:
    """Return the converter's step as seen in the samples, zero where readings are continuous."""
    distinct = np.unique(samples[:: max(1, len(samples) // _MOST_FOR_STEP)])
    distinct = distinct[np.isfinite(distinct)]
    if len(distinct) < 3:  # noqa: PLR2004  two levels say nothing about a step
        return 0.0
    gaps = np.diff(distinct)
    smallest = float(gaps.min())
    if smallest <= _LEAST_STEP * (distinct[-1] - distinct[0]):
        return 0.0
    # steps show as gaps that are whole multiples of the smallest; rounding noise does not
    multiples = gaps / smallest
    whole = np.abs(multiples - np.round(multiples)) < _ROUNDED
    return smallest if np.mean(whole) > _WHOLE_SHARE else 0.0
