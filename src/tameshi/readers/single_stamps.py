"""Stamps that tell samples apart, on an even clock that jitters or has lost samples."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import Flag
from tameshi.readers.axis import Axis, IndexArray, first_rows, open_places
from tameshi.readers.lost_samples import GAP, missing_samples, require_one_recording, shared_stamps

FloatArray = NDArray[np.float64]

_JITTER = 0.05
_FEW = 0.05
_OFF_MULTIPLE = 0.1


def axis_of_single_stamps(stamps: FloatArray, place_of: Callable[[int], str]) -> Axis | None:
    """Return the axis of stamps that tell samples apart, None where there is no even clock behind them.

    Parameters
    ----------
    stamps : (n,) array
        Rising; few are repeated. [s]
    place_of : callable
        What to call the place of a stamp in messages.

    Raises
    ------
    UnreadableError
        ``time-jumps``.
    """
    first = first_rows(stamps)
    times = stamps[first]
    steps = np.diff(times)
    usual = float(np.median(steps))
    wide = steps >= GAP * usual
    step = float(np.mean(steps[~wide]))
    require_one_recording(stamps, float((times[-1] - times[0]) / step), step, place_of)
    wander = float(np.max(np.abs(steps[~wide] / step - 1.0)))
    few_are_wide = np.count_nonzero(wide) <= _FEW * len(steps)
    if wander <= _JITTER and (few_are_wide or _are_multiples(steps[wide] / step, len(stamps) - len(first))):
        return _with_lost_samples(stamps, first, step, wide)
    few_are_odd = np.count_nonzero(wide | (steps <= usual / GAP)) <= _FEW * len(steps)
    return _with_jitter(stamps, first, step, wide, wander) if few_are_odd else None


def _are_multiples(wide: FloatArray, shared: int) -> bool:
    """Return whether wide steps are whole numbers of steps, as samples lost from an even clock leave them.

    Stamps that are repeated as well are coarse ones: their steps are whole numbers of anything.
    """
    return not shared and bool(np.all(np.abs(wide - np.round(wide)) <= _OFF_MULTIPLE))


def _with_lost_samples(stamps: FloatArray, first: IndexArray, step: float, wide: NDArray[np.bool_]) -> Axis:
    """Return the axis of stamps whose steps are alike, but for those that have lost samples in them."""
    lost = _lost((stamps[first] - stamps[0]) / step, wide)
    missing = int(lost.sum())
    place = np.arange(len(first)) + np.concatenate(([0], np.cumsum(lost)))
    return Axis(
        rate=1.0 / step,
        count=int(place[-1]) + 1,
        first=None if len(first) == len(stamps) else first,
        place=place if missing else None,
        flags=(*missing_samples(missing, int(np.count_nonzero(lost))), *shared_stamps(len(stamps), first)),
    )


def _with_jitter(
    stamps: FloatArray, first: IndexArray, step: float, wide: NDArray[np.bool_], wander: float
) -> Axis:
    """Return the axis of stamps that lie about an even clock."""
    position, holes = (stamps[first] - stamps[0]) / step, np.flatnonzero(wide)
    axis = Axis(
        rate=1.0 / step,
        count=round(float(position[-1])) + 1,
        first=None if len(first) == len(stamps) else first,
        position=position,
        holes=holes,
    )
    told = Flag(
        "irregular-sampling",
        f"Steps between time stamps differ from {step:g} s by up to {wander:.0%}; samples were interpolated "
        "onto an even grid.",
    )
    missing = missing_samples(len(open_places(axis)), len(holes))
    return replace(axis, flags=(*missing, *shared_stamps(len(stamps), first), told))


def _lost(position: FloatArray, wide: NDArray[np.bool_]) -> IndexArray:
    """Return how many samples are missing after each one, so that each stretch lies where its stamps say."""
    lost = np.zeros(len(wide), np.intp)
    after = np.flatnonzero(wide) + 1
    behind = np.maximum.accumulate(np.round(position[after] - after))
    lost[after - 1] = np.diff(behind, prepend=0.0).astype(np.intp)
    return np.maximum(lost, 0)
