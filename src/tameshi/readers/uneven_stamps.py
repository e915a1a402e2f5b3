"""Stamps with no even clock behind them: every reading stays at its own time.

Rows of one stamp become their mean. The grid is as fine as the stamps' own digits where these are coarse, so
that no reading is moved; else a quarter of the usual step. Between readings lies a straight line, but only
over steps that such a recording often has: over wider ones nothing is known, and samples stay open. What the
samples can tell is limited by the widest step bridged, not by the grid; that step goes with them.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import Flag
from tameshi.readers.axis import Axis, first_rows, open_places
from tameshi.readers.lost_samples import GAP, missing_samples, require_one_recording, shared_stamps

FloatArray = NDArray[np.float64]

_MOST_STEPS = 0.9  # so many steps are usual ones, however different they are
_FINEST_GRID = 8.0  # samples for a stamp
_SHARE_OF_STEP = 0.25
_ON_GRID = 0.05
_ROUNDING = 1e-6


def axis_of_uneven_stamps(stamps: FloatArray, place_of: Callable[[int], str]) -> Axis:
    """Return a fine axis that leaves every stamp where it is.

    Parameters
    ----------
    stamps : (n,) array
        Rising, some perhaps repeated. [s]
    place_of : callable
        What to call the place of a stamp in messages.

    Raises
    ------
    UnreadableError
        ``time-jumps``.
    """
    first = first_rows(stamps)
    times = stamps[first] - stamps[0]
    steps = np.diff(times)
    limit = GAP * float(np.quantile(steps, _MOST_STEPS))
    known = float(steps[steps <= limit].sum())
    step, position = _common_grid(times, known) or _quarter_steps(times, steps)
    require_one_recording(stamps, float(position[-1]), step, place_of)
    holes = np.flatnonzero(steps > limit)
    axis = Axis(
        rate=1.0 / step,
        count=round(float(position[-1])) + 1,
        first=None if len(first) == len(stamps) else first,
        position=position,
        holes=holes,
        spacing=float(steps[steps <= limit].max()),
    )
    missing = missing_samples(len(open_places(axis)), len(holes))
    return replace(axis, flags=(*missing, *shared_stamps(len(stamps), first), _told(axis, steps)))


def _common_grid(times: FloatArray, known: float) -> tuple[float, FloatArray] | None:
    """Return step and positions of the grid that all stamps lie on, None where it would be too fine.

    Parameters
    ----------
    times : (m,) array
        [s]
    known : float
        Length of all stretches with readings. [s]
    """
    steps = np.sort(np.diff(times))
    different = np.diff(steps)
    different = different[different > _ROUNDING * steps[-1]]
    for candidate in (float(steps[0]), float(different.min(initial=np.inf))):
        if not known / candidate <= _FINEST_GRID * len(times):
            continue
        whole = round(float(times[-1] / candidate))
        step = float(times[-1] / whole) if whole else 0.0
        places = np.round(times / step) if step else times
        if step and np.all(np.abs(times / step - places) <= _ON_GRID) and np.all(np.diff(places) > 0.0):
            return step, places
    return None


def _quarter_steps(times: FloatArray, steps: FloatArray) -> tuple[float, FloatArray]:
    step = _SHARE_OF_STEP * float(np.median(steps))
    return step, times / step


def _told(axis: Axis, steps: FloatArray) -> Flag:
    bridged = axis.spacing or 0.0
    return Flag(
        "irregular-sampling",
        f"Time stamps follow no even clock: {len(steps) + 1} different times, {steps.min():.3g} s to "
        f"{steps.max():.3g} s apart. Every reading stands at its own time, on a grid of "
        f"{1.0 / axis.rate:.3g} s, with straight lines over steps of up to {bridged:.3g} s and nothing over "
        f"wider ones; such a recording shows no more than one sampled every {bridged:.3g} s.",
    )
