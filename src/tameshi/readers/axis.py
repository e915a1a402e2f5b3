"""An even time axis, and how the rows of a file are put onto it.

Four ways, from the plainest: rows are samples; rows go to places of the axis and what no row went to stays
open; samples are interpolated between rows where these are close enough; rows of one stamp become their mean
first.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import Flag
from tameshi.readers.recording import Samples

FloatArray = NDArray[np.float64]
IndexArray = NDArray[np.intp]

FINEST_STEP = 1e-10
"""Stamps that are closer than this are one: no converter is so fast. [s]"""

_HALF_A_STEP = 0.5


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Axis:
    """An even time axis and where the rows of a file fall on it.

    Parameters
    ----------
    rate : float
        [Hz]
    count : int
        Samples on the even axis.
    first : (m,) array of int or None
        First row of every stamp where some have several rows; None where each has one.
    place : (m,) array of int or None
        Index on the axis of every stamp; None where stamps and samples are the same, or are interpolated.
    position : (m,) array or None
        Place of every stamp in samples, not whole, where samples have to be interpolated.
    holes : (k,) array of int
        Stamps after which nothing is interpolated up to the next.
    spacing : float or None
        Widest step that was interpolated over, where steps are so uneven that the rate does not tell. [s]
    flags : tuple of Flag
    """

    rate: float
    count: int
    first: IndexArray | None = None
    place: IndexArray | None = None
    position: FloatArray | None = None
    holes: IndexArray | None = None
    spacing: float | None = None
    flags: tuple[Flag, ...] = ()


def onto_axis(values: Samples, axis: Axis) -> Samples:
    """Return the values of a file's rows as samples on the even axis.

    Parameters
    ----------
    values : (n,) array
        One value a row.
    axis : Axis

    Returns
    -------
    (axis.count,) array
        NaN where samples are missing; the rows themselves where all are samples.
    """
    rows = values if axis.first is None else _means(values, axis.first)
    if axis.position is not None:
        samples = np.interp(np.arange(axis.count, dtype=np.float64), axis.position, rows)
        samples[open_places(axis)] = np.nan
        return samples
    if axis.place is None:
        return rows
    samples = np.full(axis.count, np.nan)
    samples[axis.place] = rows
    return samples


def open_places(axis: Axis) -> IndexArray:
    """Return the samples of an interpolated axis that no reading speaks for: half a step off at most."""
    if axis.position is None or axis.holes is None or not len(axis.holes):
        return np.zeros(0, np.intp)
    before, after = axis.position[axis.holes], axis.position[axis.holes + 1]
    start = np.floor(before + _HALF_A_STEP).astype(np.intp) + 1
    length = np.maximum(np.ceil(after - _HALF_A_STEP).astype(np.intp) - start, 0)
    shift = np.repeat(start - np.concatenate(([0], np.cumsum(length)[:-1])), length)
    return np.asarray(np.arange(int(length.sum())) + shift, np.intp)


def first_rows(stamps: FloatArray) -> IndexArray:
    """Return the first row of every stamp.

    Parameters
    ----------
    stamps : (n,) array
        Rising, some perhaps repeated. [s]
    """
    return np.concatenate(([0], np.flatnonzero(np.diff(stamps) > FINEST_STEP) + 1))


def spread_of_rows(values: Samples, first: IndexArray) -> tuple[float, float] | None:
    """Return how far the readings of one stamp differ, None where none do.

    Parameters
    ----------
    values : (n,) array
        One value a row.
    first : (m,) array of int
        First row of every stamp.

    Returns
    -------
    (float, float) or None
        Greatest difference within a stamp; standard deviation of single rows about the mean of their stamp.
    """
    several = np.flatnonzero(np.diff(np.append(first, len(values))) > 1)
    known = np.isfinite(values)
    high = np.maximum.reduceat(np.where(known, values, -np.inf), first)[several]
    low = np.minimum.reduceat(np.where(known, values, np.inf), first)[several]
    with np.errstate(over="ignore", invalid="ignore"):  # stamps without a reading, numbers too far apart
        widest = float(np.nanmax(high - low, initial=0.0))
    if not 0.0 < widest < math.inf:
        return None
    off = (values - np.repeat(_means(values, first), np.diff(np.append(first, len(values))))) / widest
    held = np.add.reduceat(known.astype(np.intp), first)
    free = int(np.sum(np.maximum(held - 1, 0)))
    return widest, widest * math.sqrt(float(np.nansum(off * off)) / free)


def _means(values: Samples, first: IndexArray) -> FloatArray:
    """Return the mean of the readings of every stamp, NaN where it has none."""
    known = np.isfinite(values)
    held = np.add.reduceat(known.astype(np.intp), first)
    with np.errstate(over="ignore", invalid="ignore"):  # numbers too large to be added are no readings
        sums = np.add.reduceat(np.where(known, values, 0.0), first, dtype=np.float64)
    return np.where(held > 0, sums / np.maximum(held, 1), np.nan)
