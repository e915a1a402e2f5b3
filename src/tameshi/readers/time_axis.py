"""From time stamps to a sampling rate, with gaps, repeats and jitter in the open.

Stamps are often rounded (0.00, 0.00, 0.01), sometimes jitter, sometimes jump where samples were
lost. Rounding is harmless and passed over; jitter is put onto an even grid and flagged; lost samples
become NaN and are flagged. Stamps that run backwards are refused.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import Flag, UnreadableError

FloatArray = NDArray[np.float64]

_REPEATS_OF_ROUNDING = 0.01
_GAP = 1.6
_JITTER = 0.05
_TWICE = 2.01
_SAME_STEP = 0.02  # of the last digit
_ENOUGH_TO_TELL = 20
_BLOCK = 65_536
_ENDS_SUFFICE = 100_000
_MOST_MISSING = 50.0  # times the samples there are: beyond, the stamps are not one recording


@dataclass(frozen=True, slots=True, eq=False)
class Axis:
    """An even time axis and where the rows of a file fall on it.

    Parameters
    ----------
    rate : float
        [Hz]
    count : int
        Samples on the even axis.
    place : (n,) array of int, or None
        Index on the axis of every kept row; None where rows and samples are the same.
    kept : (n,) array of bool, or None
        Rows that are kept (repeats are not).
    jitter : bool
        True where samples have to be interpolated onto the axis.
    position : (m,) array or None
        Exact position of every kept row, in samples, where there is jitter.
    flags : tuple of Flag
    """

    rate: float
    count: int
    place: NDArray[np.intp] | None
    kept: NDArray[np.bool_] | None
    jitter: bool
    position: FloatArray | None
    flags: tuple[Flag, ...]


def even_axis(stamps: FloatArray, *, where: str, place_of: Callable[[int], str]) -> Axis:
    """Return the even axis that time stamps lie on.

    Parameters
    ----------
    stamps : (n,) array
        Without NaN. [s]
    where : str
        Name of the file, for messages.
    place_of : callable
        What to call the place of a stamp in messages: ``"night.csv, line 12"``.

    Raises
    ------
    UnreadableError
        ``time-runs-backwards``, ``time-stands-still`` or ``time-jumps``.
    """
    shortest, longest = _extreme_steps(stamps)
    even = _even(stamps, shortest, longest)
    if even is not None:
        return even
    steps = np.diff(stamps)
    if shortest < 0.0:
        back = int(np.argmax(steps < 0.0))
        raise UnreadableError(
            "time-runs-backwards",
            f"{place_of(back + 1)}: time goes from {stamps[back]:.9g} s back to {stamps[back + 1]:.9g} s.",
            hint="Cut the file into single recordings, or give --rate to count samples instead.",
        )
    if len(steps) == 0 or stamps[-1] <= stamps[0]:
        raise UnreadableError(
            "time-stands-still",
            f"{where}: all time stamps are {stamps[0]:g} s.",
            hint="Give --rate to count samples instead.",
        )
    repeats = float(np.mean(steps == 0.0))
    if repeats > _REPEATS_OF_ROUNDING:
        return _rounded(stamps, steps)
    return _two_steps(stamps, steps) or _stamped(stamps, place_of)


def _extreme_steps(stamps: FloatArray) -> tuple[float, float]:
    """Return the shortest and longest step, block by block: most files need no more than that."""
    shortest, longest = np.inf, -np.inf
    for start in range(0, len(stamps) - 1, _BLOCK):
        steps = np.diff(stamps[start : start + _BLOCK + 1])
        shortest, longest = min(shortest, float(steps.min())), max(longest, float(steps.max()))
    return shortest, longest


def _even(stamps: FloatArray, shortest: float, longest: float) -> Axis | None:
    """Return the axis where no step is out of the ordinary, None where one is."""
    if len(stamps) < 2 or shortest <= 0.0:  # noqa: PLR2004  no step at all
        return None
    step = float((stamps[-1] - stamps[0]) / (len(stamps) - 1))
    if longest > (1.0 + _JITTER) * step or shortest < (1.0 - _JITTER) * step:
        return None
    rate = 1.0 / _fitted_step(stamps)
    return Axis(rate, len(stamps), None, None, jitter=False, position=None, flags=())


def _two_steps(stamps: FloatArray, steps: FloatArray) -> Axis | None:
    """Return the axis of stamps whose steps are one number of last digits or the next.

    Even stamps rounded to a few digits look so; they stay within a digit of an even grid all the way,
    which neither jitter nor lost samples do.
    """
    short, long = float(steps.min()), float(steps.max())
    digit = long - short
    middle = 0.5 * (short + long)
    if long > _TWICE * short or np.any(np.abs(np.abs(steps - middle) / (0.5 * digit) - 1.0) > _SAME_STEP):
        return None
    few = min(np.count_nonzero(steps > middle), np.count_nonzero(steps < middle))
    if long > _GAP * short and few < _ENOUGH_TO_TELL:  # a few double steps are lost samples
        return None
    step = float((stamps[-1] - stamps[0]) / len(steps))
    off = np.abs(stamps - (stamps[0] + step * np.arange(len(stamps))))
    if float(off.max()) > 1.5 * digit:
        return None
    rate = 1.0 / _fitted_step(stamps)
    return Axis(rate, len(stamps), None, None, jitter=False, position=None, flags=())


def _fitted_step(stamps: FloatArray) -> float:
    """Return the step of nearly even stamps: fitted, where so few that a digit at their ends tells."""
    count = len(stamps)
    if count > _ENDS_SUFFICE:
        return float((stamps[-1] - stamps[0]) / (count - 1))
    index = np.arange(count) - 0.5 * (count - 1)
    return float(np.dot(index, stamps - stamps[0]) / np.dot(index, index))


def _step_between_changes(stamps: FloatArray, steps: FloatArray) -> float:
    """Return the step of stamps that repeat: they change at the same phase, but start and end at any."""
    changes = np.flatnonzero(steps > 0.0)
    first, last = int(changes[0]) + 1, int(changes[-1]) + 1
    if last == first:
        return float((stamps[-1] - stamps[0]) / (len(stamps) - 1))
    return float((stamps[last] - stamps[first]) / (last - first))


def _rounded(stamps: FloatArray, steps: FloatArray) -> Axis:
    """Return the axis of stamps too coarse for their rate: samples are counted between the ends."""
    count = len(stamps)
    step = _step_between_changes(stamps, steps)
    resolution = float(np.min(steps[steps > 0.0]))
    off = np.abs(stamps - (stamps[0] + step * np.arange(count)))
    flags: tuple[Flag, ...] = ()
    if float(off.max()) > 2.0 * resolution + step:
        flags = (
            Flag(
                "irregular-sampling",
                f"Time stamps are rounded to {resolution:g} s and do not rise evenly; samples were counted "
                "instead.",
            ),
        )
    return Axis(float(1.0 / step), count, None, None, jitter=False, position=None, flags=flags)


def _stamped(stamps: FloatArray, place_of: Callable[[int], str]) -> Axis:
    """Return the axis of stamps that tell samples apart."""
    kept = np.concatenate(([True], np.diff(stamps) > 0.0))
    times = stamps[kept]
    steps = np.diff(times)
    usual = float(np.median(steps))
    regular = steps[steps < _GAP * usual]
    step = float(np.mean(regular)) if len(regular) else usual
    skipped = np.round(steps / step) - 1.0  # in floating point: a jump may be longer than any count
    skipped[steps < _GAP * usual] = 0.0
    skipped = np.maximum(skipped, 0.0)
    if float(skipped.sum()) > _MOST_MISSING * len(times):
        worst = int(np.argmax(steps))
        raise UnreadableError(
            "time-jumps",
            f"{place_of(int(np.flatnonzero(kept)[worst + 1]))}: time jumps by {steps.max():g} s where "
            f"samples are {step:g} s apart.",
            hint="Cut the file into single recordings, or give --rate to count samples instead.",
        )
    lost = skipped.astype(np.intp)
    missing = int(lost.sum())
    place = np.concatenate(([0], np.cumsum(lost + 1))).astype(np.intp)
    wander = np.abs(np.diff(times)[lost == 0] / step - 1.0)
    jitter = bool(len(wander)) and float(np.max(wander)) > _JITTER
    return Axis(
        rate=1.0 / step,
        count=int(place[-1]) + 1,
        place=place if missing or not kept.all() else None,
        kept=None if kept.all() else kept,
        jitter=jitter,
        position=(times - times[0]) / step if jitter else None,
        flags=_flags(
            missing, int(np.count_nonzero(lost)), int(np.count_nonzero(~kept)), wander, step, jitter=jitter
        ),
    )


def _flags(
    missing: int, gaps: int, repeats: int, wander: FloatArray, step: float, *, jitter: bool
) -> tuple[Flag, ...]:
    flags = []
    if missing:
        places = f"{gaps} places" if gaps > 1 else "one place"
        flags.append(Flag("gap", f"{missing} samples are missing in {places}, by the time stamps."))
    if repeats:
        flags.append(
            Flag("irregular-sampling", f"{repeats} time stamps are repeated; the repeats were left out.")
        )
    if jitter:
        worst = float(np.max(wander))
        flags.append(
            Flag(
                "irregular-sampling",
                f"Steps between time stamps differ from {step:g} s by up to {worst:.0%}; samples were "
                "interpolated onto an even grid.",
            )
        )
    return tuple(flags)


def onto_axis(values: FloatArray, axis: Axis) -> FloatArray:
    """Return the values of a file's rows as samples on the even axis.

    Parameters
    ----------
    values : (n,) array
        One value a row.
    axis : Axis

    Returns
    -------
    (axis.count,) array
        NaN where samples are missing.
    """
    rows = values if axis.kept is None else values[axis.kept]
    if axis.place is None and not axis.jitter:
        return rows
    place = np.arange(len(rows)) if axis.place is None else axis.place
    samples = np.full(axis.count, np.nan)
    if axis.position is None:
        samples[place] = rows
        return samples
    grid = np.arange(axis.count, dtype=np.float64)
    filled = np.interp(grid, axis.position, rows)
    present = np.zeros(axis.count, dtype=bool)
    present[np.clip(np.round(axis.position).astype(np.intp), 0, axis.count - 1)] = True
    # a sample is known where a row lies within one step of it
    near = present.copy()
    near[1:] |= present[:-1]
    near[:-1] |= present[1:]
    return np.where(near, filled, np.nan)
