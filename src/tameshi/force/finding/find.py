"""Find the events of a recording: stretches where the force stands clear of the noise.

Block means are averaged again over 1, 2, 4, ... blocks, and each average is held against its own
scatter, so that a weak long push is found as surely as a strong short strike, and correlated noise
counts for what it is.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tameshi.force.background.background import Background
from tameshi.force.settings import Settings
from tameshi.force.signal.blocks import moving_mean
from tameshi.force.signal.centre import centre

FloatArray = NDArray[np.float64]
_LONGEST_AVERAGE = 0.016
_EDGE_SHARE = 0.02
_EDGE_SCATTER = 2.0
_ENOUGH_FOR_SCATTER = 1000


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


def find_events(
    background: Background, rate: float, settings: Settings
) -> tuple[tuple[Event, ...], tuple[Event, ...]]:
    """Return the events in a recording, in order of time.

    Parameters
    ----------
    background : Background
    rate : float
        Of the samples. [Hz]
    settings : Settings

    Returns
    -------
    tuple of Event, tuple of Event
        Pushes that raise the reading, and pushes that lower it. Closer together than
        ``settings.joined_gap`` they are one event.
    """
    residual = background.residual
    if background.scale == 0.0 and not residual.any():
        return (), ()
    raised, lowered = _seeds(background, rate, settings)
    gap = max(1, round(settings.joined_gap * rate / background.size))
    found = []
    for values, seeds in ((residual, raised), (-residual, lowered)):
        grown = [_grow(values, start, stop, background.scale) for start, stop in _runs(seeds)]
        found.append(tuple(_event(values, run, background.size) for run in _merge(grown, gap)))
    return found[0], found[1]


def _seeds(
    background: Background, rate: float, settings: Settings
) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Return where an average over some width stands clear of its scatter, upwards and downwards."""
    residual = background.residual
    short = len(residual) * background.size < settings.chunk * rate
    raised, lowered = np.zeros(len(residual), dtype=bool), np.zeros(len(residual), dtype=bool)
    width = 1
    while width <= max(1, _LONGEST_AVERAGE * rate / background.size) and width <= len(residual) // 4:
        average = moving_mean(residual, width)
        # neighbouring averages tell the same, and a thousand of them tell their scatter
        apart = 1 if short else max(1, width // 2, len(average) // _ENOUGH_FOR_SCATTER)
        scatter = max(centre(average[::apart], quarter=short)[1], background.scale / width**0.5)
        raised |= average > settings.detection * scatter
        lowered |= average < -settings.detection * scatter
        width *= 2
    return raised, lowered


def _event(values: FloatArray, run: tuple[int, int], size: int) -> Event:
    start, stop = run
    return Event(start * size, stop * size, float(values[start:stop].max()))


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
