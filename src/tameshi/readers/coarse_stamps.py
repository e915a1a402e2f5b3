"""Stamps too coarse for their rate: several rows share each, as 0.00, 0.00, 0.01, 0.01.

The rows were sampled evenly and the stamps rounded, or a block of rows was stamped when it arrived. Then
counting rows tells their times better than the stamps do; but only where the count keeps up with the stamps.
Where stamps jump, samples were lost, as many as the count then falls behind. Where the count wanders off
from one stretch to the next there was no even clock, and rows are not counted.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import Flag, UnreadableError
from tameshi.readers.axis import FINEST_STEP, Axis, IndexArray
from tameshi.readers.lost_samples import GAP, missing_samples, require_one_recording

FloatArray = NDArray[np.float64]

_NEARLY_ALL = 0.95
_FEW = 0.05
_SAWTOOTH = 1.5  # steps of the stamps: how far rounded stamps lie from the count, and a margin
_STRETCH = 40  # steps of the stamps over which the rate is compared
_SAME_RATE = 0.05


def axis_of_coarse_stamps(
    stamps: FloatArray, steps: FloatArray, where: str, place_of: Callable[[int], str]
) -> Axis | None:
    """Return the axis on which the rows are counted, None where counting them would falsify time.

    Parameters
    ----------
    stamps : (n,) array
        Rising, some repeated. [s]
    steps : (n - 1,) array
        Between them. [s]
    where : str
        Name of the file, for messages.
    place_of : callable
        What to call the place of a stamp in messages.

    Raises
    ------
    UnreadableError
        ``time-too-coarse`` or ``time-jumps``.
    """
    positive = steps[steps > FINEST_STEP]
    coarse = float(np.quantile(positive, _NEARLY_ALL))
    step = _step_between_changes(stamps, steps, np.zeros(len(steps), dtype=bool))
    if step is None:
        raise UnreadableError(
            "time-too-coarse",
            f"{where}: {len(stamps)} rows share {len(positive) + 1} time stamps, which tell no rate.",
            hint="Give --rate to count samples instead.",
        )
    if _sawtooth((stamps - stamps[0]) / step - np.arange(len(stamps))) <= _SAWTOOTH * coarse / step + 1.0:
        return Axis(rate=1.0 / step, count=len(stamps))
    jumps = steps > GAP * float(np.median(positive))
    step = _step_between_changes(stamps, steps, jumps)
    if step is None or np.count_nonzero(jumps) > _FEW * len(positive):
        return None
    return _counted_between_jumps(stamps, jumps, step, coarse, place_of)


def _step_between_changes(stamps: FloatArray, steps: FloatArray, jumps: NDArray[np.bool_]) -> float | None:
    """Return the step of stamps that repeat: they change at the same phase, but start and end at any.

    Rows next to a jump are left out: their stamp may have lost some.
    """
    changes = np.flatnonzero(steps > FINEST_STEP)
    whole = ~jumps[changes[:-1]] & ~jumps[changes[1:]]
    rows = np.diff(changes)[whole].sum()
    if not rows:
        return None
    return float(np.diff(stamps[changes + 1])[whole].sum() / rows)


def _counted_between_jumps(
    stamps: FloatArray, jumps: NDArray[np.bool_], step: float, coarse: float, place_of: Callable[[int], str]
) -> Axis | None:
    require_one_recording(stamps, float((stamps[-1] - stamps[0]) / step), step, place_of)
    index = np.arange(len(stamps))
    behind = (stamps - stamps[0]) / step - index  # how far the count of rows is behind the stamps
    starts = np.concatenate(([0], np.flatnonzero(jumps) + 1))
    centre = 0.5 * (np.minimum.reduceat(behind, starts) + np.maximum.reduceat(behind, starts))
    lost = np.maximum(np.round(np.diff(centre)), 0.0).astype(np.intp)
    passed = np.repeat(np.concatenate(([0], np.cumsum(lost))), np.diff(np.append(starts, len(stamps))))
    left = behind - passed
    if not _keeps_up(left, step, coarse):
        return None
    missing, wander = int(lost.sum()), _sawtooth(left) * step
    flags = missing_samples(missing, int(np.count_nonzero(lost)), about=True)
    if wander > _SAWTOOTH * coarse + step:
        flags.append(
            Flag(
                "irregular-sampling",
                f"Several rows share each time stamp, and the stamps wander by up to {wander:.2g} s about an "
                "even clock; rows were counted.",
            )
        )
    place: IndexArray = index + passed
    return Axis(
        rate=1.0 / step, count=int(place[-1]) + 1, place=place if missing else None, flags=tuple(flags)
    )


def _keeps_up(left: FloatArray, step: float, coarse: float) -> bool:
    """Return whether the rate is the same all along: within a stretch, and from one to the next."""
    rows = max(1, math.ceil(_STRETCH * coarse / step))
    starts = np.arange(0, len(left), rows)
    low, high = np.minimum.reduceat(left, starts), np.maximum.reduceat(left, starts)
    allowed = _SAWTOOTH * coarse / step + 1.0 + _SAME_RATE * rows
    return bool(np.all(high - low <= allowed) and np.all(np.abs(np.diff(low + high)) <= 2.0 * allowed))


def _sawtooth(left: FloatArray) -> float:
    return float(left.max() - left.min())
