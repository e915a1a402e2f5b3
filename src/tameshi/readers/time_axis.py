"""From time stamps to a sampling rate, with gaps, repeats and jitter in the open.

Stamps are often rounded (0.00, 0.00, 0.01), sometimes jitter, sometimes jump where samples were
lost. Rounding is harmless and passed over; jitter is put onto an even grid and flagged; lost samples
become NaN and are flagged. Stamps that run backwards are refused.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import Flag, UnreadableError

FloatArray = NDArray[np.float64]

_REPEATS_OF_ROUNDING = 0.01
_GAP = 1.6
_JITTER = 0.05
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


def even_axis(stamps: FloatArray, *, where: str, first_line: int) -> Axis:
    """Return the even axis that time stamps lie on.

    Parameters
    ----------
    stamps : (n,) array
        Without NaN. [s]
    where : str
        Name of the file, for messages.
    first_line : int
        Line of the first stamp, for messages.

    Raises
    ------
    UnreadableError
        ``time-runs-backwards`` or ``time-stands-still``.
    """
    steps = np.diff(stamps)
    back = np.flatnonzero(steps < 0.0)
    if len(back):
        line = first_line + int(back[0]) + 1
        raise UnreadableError(
            "time-runs-backwards",
            f"{where}, line {line}: time goes from {stamps[back[0]]:g} s back to {stamps[back[0] + 1]:g} s.",
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
        return _rounded(stamps)
    return _stamped(stamps, where)


def _rounded(stamps: FloatArray) -> Axis:
    """Return the axis of stamps too coarse for their rate: samples are counted between the ends."""
    count = len(stamps)
    step = (stamps[-1] - stamps[0]) / (count - 1)
    resolution = float(np.min(np.diff(stamps)[np.diff(stamps) > 0.0]))
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
    return Axis(1.0 / step, count, None, None, jitter=False, position=None, flags=flags)


def _stamped(stamps: FloatArray, where: str) -> Axis:
    """Return the axis of stamps that tell samples apart."""
    kept = np.concatenate(([True], np.diff(stamps) > 0.0))
    times = stamps[kept]
    steps = np.diff(times)
    usual = float(np.median(steps))
    regular = steps[steps < _GAP * usual]
    step = float(np.mean(regular)) if len(regular) else usual
    lost = np.maximum(np.round(steps / step).astype(np.intp) - 1, 0)
    lost[steps < _GAP * usual] = 0
    missing = int(lost.sum())
    if missing > _MOST_MISSING * len(times):
        raise UnreadableError(
            "time-jumps",
            f"{where}: time jumps by {steps.max():g} s where samples are {step:g} s apart.",
            hint="Cut the file into single recordings, or give --rate to count samples instead.",
        )
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
