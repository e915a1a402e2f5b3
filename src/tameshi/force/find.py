"""Find the events of a recording: stretches where the force stands clear of the noise.

Block means are averaged again over 1, 2, 4, ... blocks, and each average is held against its own
scatter, so that a weak long push is found as surely as a strong short strike, and correlated noise
counts for what it is.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tameshi.force.background import Background
from tameshi.force.centre import centre
from tameshi.force.settings import Settings

FloatArray = NDArray[np.float64]
_LONGEST_AVERAGE = 0.016
_EDGE_SHARE = 0.02
_EDGE_SCATTER = 2.0


@dataclass(frozen=True, slots=True)
class Event:
    """A stretch of samples that holds one or more contacts.

    Parameters
    ----------
    start, stop : int
        First sample, and one past the last.
    height : float
        Greatest block mean in it, above the quiet level, in the trace's unit.
    """

    start: int
    stop: int
    height: float


def find_events(background: Background, rate: float, settings: Settings, *, sign: float = 1.0) -> list[Event]:
    """Return the events in a recording, in order of time.

    Parameters
    ----------
    background : Background
    rate : float
        Of the samples. [Hz]
    settings : Settings
    sign : float
        1 for pushes that raise the reading, -1 for pushes that lower it.

    Returns
    -------
    list of Event
        Closer together than ``settings.joined_gap`` they are one event.
    """
    residual = sign * background.residual
    if background.scale == 0.0 and not residual.any():
        return []
    short = len(residual) * background.size < settings.chunk * rate
    seeds = np.zeros(len(residual), dtype=bool)
    width = 1
    while width <= max(1, _LONGEST_AVERAGE * rate / background.size) and width <= len(residual) // 4:
        average = moving_mean(residual, width)
        scatter = max(centre(average, quarter=short)[1], background.scale / width**0.5)
        seeds |= average > settings.detection * scatter
        width *= 2
    gap = max(1, round(settings.joined_gap * rate / background.size))
    grown = [_grow(residual, start, stop, background.scale) for start, stop in _runs(seeds)]
    merged = _merge(grown, gap)
    size = background.size
    return [Event(start * size, stop * size, float(residual[start:stop].max())) for start, stop in merged]


def moving_mean(values: FloatArray, width: int) -> FloatArray:
    """Return the mean over a centred window, shorter near the ends."""
    if width <= 1:
        return values
    sums = np.concatenate(([0.0], np.cumsum(values)))
    index = np.arange(len(values))
    stop = np.minimum(index + (width + 1) // 2, len(values))
    start = np.maximum(index - width // 2, 0)
    mean: FloatArray = (sums[stop] - sums[start]) / (stop - start)
    return mean


def _runs(marked: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """Return start and stop of every run of True."""
    edges = np.flatnonzero(np.diff(np.concatenate(([0], marked.view(np.int8), [0]))))
    return list(zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True))


def _grow(residual: FloatArray, start: int, stop: int, scale: float) -> tuple[int, int]:
    """Widen a run to where the signal is back in the noise or down to a few per cent of its top."""
    floor = max(_EDGE_SCATTER * scale, _EDGE_SHARE * float(residual[start:stop].max()))
    while start > 0 and residual[start - 1] > floor:
        start -= 1
    while stop < len(residual) and residual[stop] > floor:
        stop += 1
    return start, stop


def _merge(runs: list[tuple[int, int]], gap: int) -> list[tuple[int, int]]:
    merged: list[tuple[int, int]] = []
    for start, stop in sorted(runs):
        if merged and start - merged[-1][1] < gap:
            merged[-1] = (merged[-1][0], max(stop, merged[-1][1]))
        else:
            merged.append((start, stop))
    return merged
