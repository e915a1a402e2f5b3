"""Look a long recording over in one pass, for the stretches where anything happens at all.

Means over short blocks are held against those a tenth of a second earlier: that takes away the level,
its drift, and hum of either mains with all its harmonics. Sums over 1, 2, 4, ... of these differences
are held against their own median in their second. What stands out is looked at closely afterwards,
with quiet recording on either side; what does not, no closer look would call a strike.

Nothing is kept of a piece once it has been looked over, so that memory does not grow with length.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from tameshi.force.signal.blocks import block_means

Samples = NDArray[np.floating]

_LONGEST_UNDIVIDED = 60.0  # s: a shorter recording is one stretch
_LONGEST_STRETCH = 30.0  # s: what is busy for longer is cut where it is quietest
_BESIDE = 1.0  # s of recording taken along on either side, as drift and hum are found from it
_LAG = 0.1  # s: whole periods of both mains
_ROW = 1.0  # s: span over which the usual difference is found
_ROWS_AT_ONCE = 32
_BLOCK = 0.001  # s
_WIDTHS = (1, 2, 4, 8, 16)  # blocks
_LONGEST_PUSH = 5.0  # s: what began within this time before may still go on
_UNFINISHED = 0.1  # of its height: a level left changed by this much is a push that goes on
_STANDS_OUT = 5.1  # standard deviations of a difference, 7.2 of a mean: a closer look asks for 7
_MEDIAN_TO_SIGMA = 1.4826
_ROUNDED_BELOW = 0.42  # of a converter's step: the least scatter of a difference of readings
_SAMPLED = 2  # every so many of the finest differences tell the median
_FEWEST_ROWS = 4
_LUCK = 1.25


@dataclass(frozen=True, slots=True)
class Stretch:
    """A part of a recording to look at closely.

    Parameters
    ----------
    start, stop : int
        First sample, and one past the last; quiet recording on either side included.
    first, last : int
        Events that begin from ``first`` on and before ``last`` belong to it and to no other.
    """

    start: int
    stop: int
    first: int
    last: int


@dataclass(frozen=True, slots=True)
class Scan:
    """What the first look gave.

    Parameters
    ----------
    stretches : tuple of Stretch
        In order of time; the whole recording where it is short.
    scatter : float or None
        Standard deviation of single quiet samples, in the recording's unit; None for a short recording,
        which was not looked over.
    """

    stretches: tuple[Stretch, ...]
    scatter: float | None


def scan(samples: Samples, rate: float, *, step: float) -> Scan:
    """Return the stretches of a recording where anything happens.

    Parameters
    ----------
    samples : (n,) array
        May be mapped from a file; may hold NaN.
    rate : float
        [Hz]
    step : float
        Smallest difference between readings, zero where they are continuous.
    """
    count = len(samples)
    if count <= _LONGEST_UNDIVIDED * rate:
        return Scan((Stretch(0, count, 0, count),), None)
    size = max(1, round(_BLOCK * rate))
    hits, scales = _hits(samples, size, rate / size, _ROUNDED_BELOW * step / size**0.5)
    beside = round(_BESIDE * rate)
    stretches = [
        Stretch(max(0, first - beside), min(count, last + beside), first, last)
        for busy in _finished(_joined(hits * size, beside), samples, rate)
        for first, last in _divided(busy, round(_LONGEST_STRETCH * rate))
    ]
    scatter = float(np.median(scales)) * (0.5 * size) ** 0.5 if len(scales) else 0.0
    return Scan(tuple(_whole(stretches, count)), scatter)


def _hits(
    samples: Samples, size: int, block_rate: float, least: float
) -> tuple[NDArray[np.intp], NDArray[np.float64]]:
    """Return spans of blocks in which something stands out, and the usual scatter of differences."""
    lag, row = round(_LAG * block_rate), round(_ROW * block_rate) // max(_WIDTHS) * max(_WIDTHS)
    count = len(samples) // size
    before: NDArray[np.floating] | None = None
    spans: list[NDArray[np.intp]] = []
    scales: list[NDArray[np.float64]] = []
    reach = lag + max(_WIDTHS)
    for start in range(0, count, _ROWS_AT_ONCE * row):
        stop = min(count, start + _ROWS_AT_ONCE * row)
        # the last piece reaches back, so that it holds whole rows as well
        rows = max(1, -(-(stop - start) // row))
        first = max(0, stop - rows * row)
        means = _means(samples, size, first, stop, before if first == start else None, reach)
        before = means[-reach:]
        differences = means[lag:] - means[:-lag]
        found, scale = _standing_out(differences, rows, row, least)
        spans.append(found + first)
        scales.append(scale)
    return np.concatenate(spans), np.concatenate(scales)


def _means(
    samples: Samples, size: int, start: int, stop: int, before: NDArray[np.floating] | None, reach: int
) -> NDArray[np.floating]:
    """Return block means from ``start`` to ``stop``, and ``reach`` of them before."""
    kind = samples.dtype if samples.dtype in (np.float32, np.float64) else np.dtype(np.float32)
    means = np.empty(reach + stop - start, dtype=kind)
    own = samples[start * size : stop * size].reshape(-1, size)
    # einsum sums rows as fast as memory gives them
    np.einsum("ij->i", own.astype(kind, copy=False), out=means[reach:])
    means[reach:] /= size
    if not np.isfinite(means[reach:].sum()):
        means[reach:][~np.isfinite(means[reach:])] = np.nan
    if before is not None and len(before) == reach:
        means[:reach] = before
    elif start >= reach:
        earlier = samples[(start - reach) * size : start * size].reshape(-1, size)
        means[:reach] = block_means(earlier.ravel(), size)
    else:  # the recording begins here: what comes a lag later stands in for what came before
        means[:reach] = np.resize(means[reach : 2 * reach], reach)
    return means


def _standing_out(
    differences: NDArray[np.floating], rows: int, row: int, least: float
) -> tuple[NDArray[np.intp], NDArray[np.float64]]:
    """Return the spans of blocks, counted from the first row, where sums of differences stand out."""
    spans = []
    sums, stride = differences, 1
    usual = np.zeros(rows)
    for width in _WIDTHS:
        if width > 1:
            # neighbouring sums of a width overlap by half of it
            sums = sums[:-1] + sums[1:] if width == 2 else sums[:-2:2] + sums[2::2]  # noqa: PLR2004
            stride = width // 2
        table = sums[len(sums) - rows * row // stride :].reshape(rows, -1)
        scale = _usual(table[:, ::_SAMPLED] if stride < _SAMPLED else table)
        if width == 1:
            usual = scale
        allowed = _STANDS_OUT * np.maximum(scale, least * width**0.5)
        highest = np.maximum(table.max(axis=1), -table.min(axis=1))
        for place in np.flatnonzero(~(highest <= allowed)):  # NaN stands out as well
            over = np.flatnonzero(~(np.abs(table[place]) <= allowed[place]))
            spans.append(place * row + over * stride)
    # a row without any reading is no event
    blank = np.isnan(usual) & np.isnan(differences[-rows * row :].reshape(rows, row)).all(axis=1)
    spans = [span[~blank[span // row]] for span in spans]
    found = np.concatenate(spans) if spans else np.empty(0, dtype=np.intp)
    return found, usual[np.isfinite(usual)]


def _usual(table: NDArray[np.floating]) -> NDArray[np.float64]:
    """Return the standard deviation of every row, by the median of its absolute values."""
    middle = table.shape[1] // 2
    own: NDArray[np.float64] = _MEDIAN_TO_SIGMA * np.partition(np.abs(table), middle, axis=1)[:, middle]
    # a row's few values may be close together by luck, which its neighbours tell
    padded = np.concatenate((own[:1], own, own[-1:]))
    near = (padded[:-2] + own + padded[2:]) / 3.0
    return np.maximum(own, np.minimum(near, _LUCK * own))


def _joined(places: NDArray[np.intp], gap: int) -> list[NDArray[np.intp]]:
    """Return groups of places closer together than a gap."""
    ordered = np.unique(places)
    return np.split(ordered, np.flatnonzero(np.diff(ordered) > gap) + 1) if len(ordered) else []


def _finished(groups: list[NDArray[np.intp]], samples: Samples, rate: float) -> list[NDArray[np.intp]]:
    """Return the groups with those joined that are the beginning and the end of one long push."""
    joined: list[NDArray[np.intp]] = []
    for group in groups:
        near = joined and group[0] - joined[-1][-1] < _LONGEST_PUSH * rate
        if near and _goes_on(samples, joined[-1], round(_LAG * rate)):
            joined[-1] = np.concatenate((joined[-1], group))
        else:
            joined.append(group)
    return joined


def _goes_on(samples: Samples, group: NDArray[np.intp], span: int) -> bool:
    """Return whether the level after a group is another than before it."""
    before = samples[max(0, group[0] - 2 * span) : max(1, group[0] - span)].astype(np.float64)
    after = samples[group[-1] + span : group[-1] + 2 * span].astype(np.float64)
    during = samples[group[0] : group[-1] + 1].astype(np.float64)
    if not all(np.isfinite(part).any() for part in (before, after, during)):
        return True
    level = np.nanmean(before)
    return bool(abs(np.nanmean(after) - level) > _UNFINISHED * np.nanmax(np.abs(during - level)))


def _divided(places: NDArray[np.intp], longest: int) -> list[tuple[int, int]]:
    """Return a busy group as parts no longer than asked, cut in their widest gaps."""
    parts: list[tuple[int, int]] = []
    waiting = [places]
    while waiting:
        part = waiting.pop()
        if part[-1] - part[0] <= longest or len(part) < _FEWEST_ROWS:
            parts.append((int(part[0]), int(part[-1]) + 1))
            continue
        # not near the ends: a part worth its own look is at least a quarter of what is allowed
        inner = (part[:-1] > part[0] + longest // 4) & (part[1:] < part[-1] - longest // 4)
        cut = int(np.argmax(np.where(inner, np.diff(part), -1))) + 1
        waiting += [part[:cut], part[cut:]]
    return sorted(parts)


def _whole(stretches: list[Stretch], count: int) -> list[Stretch]:
    """Return the stretches with the recording's quiet places shared out between neighbours."""
    middles = [(one.last + other.first) // 2 for one, other in pairwise(stretches)]
    edges = [0, *middles, count][: len(stretches) + 1]
    return [
        Stretch(one.start, one.stop, max(one.start, start), min(one.stop, stop))
        for one, (start, stop) in zip(stretches, pairwise(edges), strict=True)
    ]
