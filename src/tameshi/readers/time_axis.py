"""From time stamps to a sampling rate, with gaps, repeats and jitter in the open.

Stamps are often rounded (0.00, 0.00, 0.01), sometimes jitter, sometimes jump where samples were lost, and
some tell of no even clock at all. Rounding is harmless and passed over; lost samples become NaN and are
flagged; jitter is put onto an even grid and flagged; truly uneven stamps keep their times. Stamps that run
backwards are refused.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import UnreadableError
from tameshi.readers.axis import FINEST_STEP, Axis
from tameshi.readers.coarse_stamps import axis_of_coarse_stamps
from tameshi.readers.single_stamps import axis_of_single_stamps
from tameshi.readers.uneven_stamps import axis_of_uneven_stamps

FloatArray = NDArray[np.float64]

_REPEATS_OF_ROUNDING = 0.01
_GAP = 1.6
_JITTER = 0.05
_TWICE = 2.01
_SAME_STEP = 0.02  # of the last digit
_ENOUGH_TO_TELL = 20
_BLOCK = 65_536
_ENDS_SUFFICE = 100_000
_LATEST = 1e15  # s: no date is so far off


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
        ``time-runs-backwards``, ``time-stands-still``, ``time-implausible``, ``time-too-coarse`` or
        ``time-jumps``.
    """
    first, last = float(stamps[0]), float(stamps[-1])
    with np.errstate(over="ignore"):
        shortest, longest = _extreme_steps(stamps)
    stands_still = last - first <= FINEST_STEP * (len(stamps) - 1)
    is_far = max(-first, last) > _LATEST
    even = None if stands_still or is_far else _even(stamps, shortest, longest)
    if even is not None:
        return even
    if shortest < 0.0:
        raise _runs_backwards(stamps, place_of)
    if stands_still or is_far:
        said = (
            f"all time stamps are {first:g} s"
            if stands_still
            else f"time goes from {first:g} s to {last:g} s"
        )
        raise UnreadableError(
            "time-stands-still" if stands_still else "time-implausible",
            f"{where}: {said}.",
            hint="Give --rate to count samples instead.",
        )
    steps = np.diff(stamps)
    if float(np.mean(steps <= FINEST_STEP)) > _REPEATS_OF_ROUNDING:
        axis = axis_of_coarse_stamps(stamps, steps, where, place_of)
    else:
        axis = _two_steps(stamps, steps) or _stored_short(stamps)
    return axis or axis_of_single_stamps(stamps, place_of) or axis_of_uneven_stamps(stamps, place_of)


def _runs_backwards(stamps: FloatArray, place_of: Callable[[int], str]) -> UnreadableError:
    back = int(np.argmax(stamps[1:] < stamps[:-1]))
    return UnreadableError(
        "time-runs-backwards",
        f"{place_of(back + 1)}: time goes from {stamps[back]:.9g} s back to {stamps[back + 1]:.9g} s.",
        hint="Cut the file into single recordings, or give --rate to count samples instead.",
    )


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
    return Axis(rate=1.0 / _fitted_step(stamps), count=len(stamps))


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
    return _within(stamps, 1.5 * digit)


def _stored_short(stamps: FloatArray) -> Axis | None:
    """Return the axis of even stamps that were stored in four bytes, which hold seven digits."""
    short = stamps.astype(np.float32)
    if np.any(short != stamps):
        return None
    return _within(stamps, 2.0 * float(np.spacing(np.abs(short).max())))


def _within(stamps: FloatArray, most: float) -> Axis | None:
    """Return the axis where no stamp is further from an even grid than ``most`` seconds, None elsewhere."""
    step = float((stamps[-1] - stamps[0]) / (len(stamps) - 1))
    off = np.abs(stamps - (stamps[0] + step * np.arange(len(stamps))))
    if float(off.max()) > most:
        return None
    return Axis(rate=1.0 / _fitted_step(stamps), count=len(stamps))


def _fitted_step(stamps: FloatArray) -> float:
    """Return the step of nearly even stamps: fitted, where so few that a digit at their ends tells."""
    count = len(stamps)
    if count > _ENDS_SUFFICE:
        return float((stamps[-1] - stamps[0]) / (count - 1))
    index = np.arange(count) - 0.5 * (count - 1)
    return float(np.dot(index, stamps - stamps[0]) / np.dot(index, index))
