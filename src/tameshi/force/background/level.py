"""The slow level of a recording: drift followed, strikes and long pushes not.

The level is taken chunk by chunk where most values lie; chunks that a long push has lifted are
known by their neighbours. What drift is left is taken away by local straight lines through all that
has no steep edge, for a strike rises fast and drift does not.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from tameshi.force.signal.centre import centre, centres

FloatArray = NDArray[np.float64]

_CHUNKS_IN_MEDIAN = 15
_FEWEST_CHUNKS = 3
_FEWEST_IN_CHUNK = 8
_OUTLYING = 9.0
_NEIGHBOURS = 4
_EXPLAINED = 0.5
_LIFTED = 4.0
# a strike lifts the signal by this many standard deviations within this time; drift does not
_STEEP, _STEEP_SPAN, _STEEP_REACH = 7.0, 0.005, 0.010
# a change of level over two chunks that is so many times the usual one is the edge of a push
_SUDDEN, _TAKEN_BACK, _LONGEST_PUSH = 20.0, 0.3, 50  # chunks
_LINE_REACH, _LINE_SHARE = 0.1, 0.3


def slow_level(means: FloatArray, block_rate: float, chunk: float) -> FloatArray:
    """Return the slow level at every block."""
    per_chunk = max(_FEWEST_IN_CHUNK, round(chunk * block_rate))
    count = len(means) // per_chunk
    if count < _FEWEST_CHUNKS:
        return _straight_level(means, per_chunk)
    edges = np.linspace(0, len(means), count + 1).astype(int)
    width = int(np.diff(edges).min())
    rows = means[edges[:-1, None] + np.arange(width)]
    known = np.isfinite(rows)
    whole = known.all(axis=1)
    levels = np.full(count, np.nan)
    levels[whole] = centres(rows[whole])[0]
    for place in np.flatnonzero(~whole & known.any(axis=1)):
        levels[place] = centre(rows[place][known[place]])[0]
    found = np.isfinite(levels)
    if found.sum() < _FEWEST_CHUNKS:
        return _straight_level(means, per_chunk)
    places = 0.5 * (edges[:-1] + edges[1:] - 1.0)
    return _interpolated(len(means), places[found], _without_pushes(levels[found]))


def _interpolated(count: int, places: FloatArray, levels: FloatArray) -> FloatArray:
    """Return a line through the levels, carried on straight beyond the outermost."""
    index = np.arange(count, dtype=np.float64)
    line = np.interp(index, places, levels)
    head = (levels[1] - levels[0]) / (places[1] - places[0])
    tail = (levels[-1] - levels[-2]) / (places[-1] - places[-2])
    line += head * np.minimum(index - places[0], 0.0) + tail * np.maximum(index - places[-1], 0.0)
    return line


def slow_remainder(
    residual: FloatArray, known: NDArray[np.bool_], block_rate: float, scale: float
) -> FloatArray:
    """Return what is left of the drift: local straight lines through all that has no steep edge."""
    lag = max(1, round(_STEEP_SPAN * block_rate))
    if len(residual) <= _FEWEST_CHUNKS * lag or scale == 0.0:
        return np.zeros(len(residual))
    steep = np.zeros(len(residual), dtype=bool)
    steep[lag:] = np.abs(residual[lag:] - residual[:-lag]) > _STEEP * scale
    lifted = np.abs(residual) > _LIFTED * scale
    reach = max(1, round(_STEEP_REACH * block_rate))
    busy = _spread(_whole_runs(lifted, steep), reach) | _spread(steep, lag)
    return _local_lines(residual, known & ~busy, max(2, round(_LINE_REACH * block_rate)))


def _whole_runs(marked: NDArray[np.bool_], wanted: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Return those runs of ``marked`` that hold at least one ``wanted``."""
    run = np.cumsum(np.diff(np.concatenate(([0], marked.view(np.int8)))) == 1)
    chosen = np.unique(run[marked & wanted])
    return marked & np.isin(run, chosen)


def _spread(marked: NDArray[np.bool_], reach: int) -> NDArray[np.bool_]:
    """Return ``marked`` widened by ``reach`` on both sides."""
    sums = np.concatenate(([0], np.cumsum(marked)))
    index = np.arange(len(marked))
    near = sums[np.minimum(index + reach + 1, len(marked))] - sums[np.maximum(index - reach, 0)]
    return np.asarray(near > 0)


def _local_lines(values: FloatArray, counted: NDArray[np.bool_], reach: int) -> FloatArray:
    """Return at every place the straight line fitted to the counted values within ``reach``."""
    index = np.arange(len(values), dtype=np.float64)
    start = np.maximum(np.arange(len(values)) - reach, 0)
    stop = np.minimum(np.arange(len(values)) + reach + 1, len(values))

    def within(terms: FloatArray) -> FloatArray:
        sums = np.concatenate(([0.0], np.cumsum(np.where(counted, terms, 0.0))))
        summed: FloatArray = sums[stop] - sums[start]
        return summed

    weight = within(np.ones(len(values)))
    enough = weight >= _LINE_SHARE * (stop - start)
    if not enough.any():
        return np.zeros(len(values))
    weight = np.maximum(weight, 1.0)
    middle, mean = within(index) / weight, within(values) / weight
    spread = within(index * index) / weight - middle**2
    slope = (within(index * values) / weight - middle * mean) / np.maximum(spread, 1.0)
    line = mean + slope * (index - middle)
    return np.interp(index, index[enough], line[enough])


def _without_pushes(levels: FloatArray) -> FloatArray:
    """Return chunk levels with those that a long push has lifted replaced by their neighbours'.

    A level far from what is typical round it may still be drift, at its turning point: then the
    chunks on either side, carried on, meet it. A push they miss.
    """
    # an odd window, as wide as the recording allows
    width = min(_CHUNKS_IN_MEDIAN, (len(levels) - 1) // 2 * 2 + 1)
    departure = levels - _running_median(levels, width)
    doubtful = np.abs(departure) > _OUTLYING * float(np.median(np.abs(departure)))
    doubtful |= _pushed(levels)
    bridged = levels.copy()
    edges = np.flatnonzero(np.diff(np.concatenate(([0], doubtful.view(np.int8), [0]))))
    for start, stop in zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True):
        bridged[start:stop] = _bridge(levels, doubtful, start, stop)
    explained = np.abs(levels - bridged) < _EXPLAINED * np.abs(departure)
    return np.where(doubtful & ~explained, bridged, levels)


def _pushed(levels: FloatArray) -> NDArray[np.bool_]:
    """Return which chunks lie between a sudden change of level and the one that takes it back.

    A push of seconds fills any window that a median could be taken over, and only its edges tell it.
    """
    pushed = np.zeros(len(levels), dtype=bool)
    if len(levels) < _CHUNKS_IN_MEDIAN:
        return pushed
    steps = levels[2:] - levels[:-2]  # over two: an edge may fall within a chunk
    usual = float(np.median(np.abs(steps)))
    edges = np.flatnonzero(np.abs(steps) > _SUDDEN * usual)
    place = 0
    for first in edges.tolist():
        if first < place:
            continue
        jump = levels[first + 2] - levels[first]
        ahead = levels[first + 3 : first + 3 + _LONGEST_PUSH]
        back = np.flatnonzero(np.abs(ahead - levels[first]) < _TAKEN_BACK * abs(jump))
        if len(back):
            place = first + 3 + int(back[0])
            pushed[first + 1 : place] = True
    return pushed


def _bridge(levels: FloatArray, doubtful: NDArray[np.bool_], start: int, stop: int) -> FloatArray:
    """Return what the trusted levels next to a doubtful run lead one to expect in it."""
    trusted = np.flatnonzero(~doubtful)
    before, after = trusted[trusted < start][-_NEIGHBOURS:], trusted[trusted >= stop][:_NEIGHBOURS]
    known = np.concatenate((before, after))
    middle = 0.5 * (start + stop)
    # a cubic bends as drift does; with neighbours on one side only a straight line is trusted
    degree = min(3 if len(before) and len(after) else 1, len(known) - 1)
    if degree < 0:
        return levels[start:stop]
    fitted = np.polynomial.polynomial.polyfit(known - middle, levels[known], degree)
    place = np.arange(start, stop) - middle
    return np.asarray(np.polynomial.polynomial.polyval(place, fitted), dtype=np.float64)


def _straight_level(means: FloatArray, per_chunk: int) -> FloatArray:
    """Return the level of a recording too short for chunks: a line through its outer thirds.

    Shorter than one chunk, a strike may fill a third of it, and only a constant can be trusted.
    """
    known = means[np.isfinite(means)]
    third = len(means) // 3
    head, tail = (part[np.isfinite(part)] for part in (means[:third], means[-third:]))
    if len(means) < per_chunk or not (len(head) and len(tail)):
        return np.full(len(means), centre(known, quarter=True)[0])
    places = (0.5 * third, len(means) - 0.5 * third)
    slope = (centre(tail)[0] - centre(head)[0]) / (places[1] - places[0])
    line: FloatArray = slope * (np.arange(len(means), dtype=np.float64) - places[0])
    offset = centre((means - line)[np.isfinite(means)])[0]
    return np.asarray(line + offset, dtype=np.float64)


def _running_median(values: FloatArray, width: int) -> FloatArray:
    """Return the median of a sliding window; windows near the ends are mirrored about the end value."""
    reach = width // 2
    head = 2.0 * values[0] - values[reach:0:-1]
    tail = 2.0 * values[-1] - values[-2 : -reach - 2 : -1]
    padded = np.concatenate((head, values, tail))
    windows = np.lib.stride_tricks.sliding_window_view(padded, width)
    median: FloatArray = np.sort(windows, axis=1)[:, reach]
    return median
