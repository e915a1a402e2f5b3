"""Known loads as they were applied: load, reading, run, and whether the load was going up or down."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tameshi.errors import WrongUseError

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LoadSeries:
    """Readings under known loads, in the order they were taken.

    Parameters
    ----------
    loads : (n,) array
        [N]
    readings : (n,) array
        In one unit, volts usually.
    runs : (n,) array of int
        Number of the run each belongs to.
    rising : (n,) array of bool
        True where the load was going up.
    lines : (n,) tuple of int
        Where each stands in the person's table, for messages.
    """

    loads: FloatArray
    readings: FloatArray
    runs: NDArray[np.int64]
    rising: NDArray[np.bool_]
    lines: tuple[int, ...]


def load_series(
    loads: ArrayLike,
    readings: ArrayLike,
    *,
    runs: ArrayLike | None = None,
    rising: ArrayLike | None = None,
    lines: tuple[int, ...] | None = None,
) -> LoadSeries:
    """Return loads and readings in order, with runs and directions found where they are not given.

    Parameters
    ----------
    loads : (n,) array
        [N]
    readings : (n,) array
    runs : (n,) array or None
        None where a new run shows by the load starting again from low.
    rising : (n,) array of bool or None
        None where the order of loads tells.
    lines : tuple of int or None
        1, 2, ... where None.

    Raises
    ------
    WrongUseError
        If they do not pair.
    """
    x, y = (np.asarray(column, dtype=np.float64) for column in (loads, readings))
    if x.ndim != 1 or x.shape != y.shape:
        raise WrongUseError("unpaired", f"{x.size} loads do not pair with {y.size} readings.")
    run = _runs(x) if runs is None else np.asarray(runs, dtype=np.int64)
    if run.shape != x.shape:
        raise WrongUseError("unpaired", f"{run.size} runs do not pair with {x.size} loads.")
    up = _rising(x, run) if rising is None else np.asarray(rising, dtype=np.bool_)
    if up.shape != x.shape:
        raise WrongUseError("unpaired", f"{up.size} directions do not pair with {x.size} loads.")
    return LoadSeries(loads=x, readings=y, runs=run, rising=up, lines=lines or tuple(range(1, len(x) + 1)))


def _runs(loads: FloatArray) -> NDArray[np.int64]:
    """Return run numbers: a new run starts where loads rise again after they had come down."""
    runs = np.ones(len(loads), dtype=np.int64)
    was_down = False
    for place in range(1, len(loads)):
        runs[place] = runs[place - 1]
        step = loads[place] - loads[place - 1]
        goes_up_next = place + 1 < len(loads) and loads[place + 1] > loads[place]
        turned = goes_up_next and (step == 0.0 if was_down else step < 0.0)
        if turned or (step > 0.0 and was_down):
            # at the lowest load a second time, or straight down to it, or up again from where it ended
            runs[place] += 1
            was_down = False
        elif step < 0.0:
            was_down = True
    return runs


def _rising(loads: FloatArray, runs: NDArray[np.int64]) -> NDArray[np.bool_]:
    rising = np.ones(len(loads), dtype=np.bool_)
    for place in range(1, len(loads)):
        if runs[place] != runs[place - 1]:
            continue
        step = loads[place] - loads[place - 1]
        rising[place] = rising[place - 1] if step == 0.0 else step > 0.0
    return rising
