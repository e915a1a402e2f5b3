"""What is said and refused about stretches without samples, whatever kind the stamps are of."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import Flag, UnreadableError

GAP = 1.6
"""A step so many times longer than usual has lost samples in it."""

_MOST_MISSING = 50.0  # times the samples there are: beyond, the stamps are not one recording


def require_one_recording(
    stamps: NDArray[np.float64], samples: float, step: float, place_of: Callable[[int], str]
) -> None:
    """Refuse stamps that jump so far that nearly all samples would be missing.

    Parameters
    ----------
    stamps : (n,) array
        One a row. [s]
    samples : float
        How many samples the even axis would have.
    step : float
        Between samples. [s]
    place_of : callable
        What to call the place of a stamp in messages.

    Raises
    ------
    UnreadableError
        ``time-jumps``.
    """
    if samples <= (_MOST_MISSING + 1.0) * len(stamps):
        return
    steps = np.diff(stamps)
    worst = int(np.argmax(steps))
    raise UnreadableError(
        "time-jumps",
        f"{place_of(worst + 1)}: time jumps by {steps[worst]:g} s where samples are {step:g} s apart.",
        hint="Cut the file into single recordings, or give --rate to count samples instead.",
    )


def missing_samples(count: int, gaps: int, *, about: bool = False) -> list[Flag]:
    """Return the flag about samples that are missing by the time stamps, none where all are there."""
    if not count:
        return []
    places = f"{gaps} places" if gaps > 1 else "one place"
    number = f"About {count} samples" if about else f"{count} samples"
    verb = "is" if count == 1 else "are"
    number = number.removesuffix("s") if count == 1 else number
    return [Flag("gap", f"{number} {verb} missing in {places}, by the time stamps.")]


def shared_stamps(rows: int, first: NDArray[np.intp]) -> list[Flag]:
    """Return the flag about rows that share a time stamp, none where each has its own."""
    together = np.diff(np.append(first, rows))
    several = int(np.count_nonzero(together > 1))
    if not several:
        return []
    sharing = int(together[together > 1].sum())
    stamps = "one time stamp" if several == 1 else f"{several} time stamps"
    return [Flag("irregular-sampling", f"{sharing} rows share {stamps}; the mean of each was taken.")]
