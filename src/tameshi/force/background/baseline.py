"""The baseline under one event, fitted to the quiet recording on either side of it.

A straight line and, where mains hum shows, its sinusoids are fitted to quiet samples before and
after; between them they carry on under the strike, which is itself never touched. What scatter the
quiet samples have over spans as long as the strike says how well its impulse can be known.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tameshi.force.background.hum import MAINS
from tameshi.force.signal.centre import centre
from tameshi.force.signal.least_squares import Sums

FloatArray = NDArray[np.float64]

_HARMONICS = (1, 2, 3, 4, 5)
_PERIODS_FOR_HUM = 1.5
_F_FOR_HUM = 12.0
_F_FOR_STEP = 30.0
_FEWEST_QUIET = 4
_OUTLYING = 9.0  # times the median departure: six standard deviations


@dataclass(frozen=True, slots=True, eq=False)
class Baseline:
    """What lies under an event.

    Parameters
    ----------
    value : (n,) array
        Baseline at every sample of the window, in the trace's unit.
    u : float
        Standard uncertainty of the baseline at the event.
    quiet : (n,) array of bool
        Samples of the window it was fitted to.
    sigma : float
        Standard deviation of single quiet samples about it.
    dof : float
        Degrees of freedom of the fit.
    step : float
        Change of level across the event beyond what drift explains.
    mains : float or None
        Mains frequency fitted. [Hz]
    """

    value: FloatArray
    u: float
    quiet: NDArray[np.bool_]
    sigma: float
    dof: float
    step: float
    mains: float | None


def fit_baseline(
    samples: FloatArray,
    rate: float,
    quiet: NDArray[np.bool_],
    event: slice,
    *,
    mains: float | None,
    floor: float,
) -> Baseline:
    """Fit the baseline of a window to its quiet samples.

    Parameters
    ----------
    samples : (n,) array
        The window; NaN where there is no reading.
    rate : float
        [Hz]
    quiet : (n,) array of bool
        Samples that belong to no event.
    event : slice
        Where in the window the event lies.
    mains : float or None
        Mains frequency found in the recording as a whole. [Hz]
    floor : float
        Least standard deviation to assume: what the converter's step leaves.

    Returns
    -------
    Baseline

    Notes
    -----
    Ordinary least squares; a term stays when the F statistic of leaving it out is large. Quiet
    samples that lie far out (a spike) are left out of the fit.
    """
    usable = quiet & np.isfinite(samples)
    time = (np.arange(len(samples)) - 0.5 * (event.start + event.stop)) / rate
    if usable.sum() < _FEWEST_QUIET:
        return _level_only(samples, usable, floor)
    two_sided = bool(usable[: event.start].any() and usable[event.stop :].any())
    columns = _straight(time, two_sided=two_sided)
    columns, found = _with_hum(columns, samples, time, usable, mains)
    usable = _without_spikes(columns, samples, usable)
    step = _step_across(columns, samples, time, usable) if two_sided else 0.0
    sums = Sums.of(columns[usable], samples[usable])
    solved, covariance, sigma = sums.solve()
    under = columns[event].mean(axis=0)
    sigma = max(sigma, floor)
    return Baseline(
        value=columns @ solved,
        u=math.sqrt(max(0.0, float(under @ covariance @ under))) * sigma,
        quiet=usable,
        sigma=sigma,
        dof=float(sums.dof),
        step=step,
        mains=found,
    )


def _level_only(samples: FloatArray, usable: NDArray[np.bool_], floor: float) -> Baseline:
    """Return a constant level where there is next to nothing quiet: its own samples vouch for it."""
    known = samples[usable] if usable.any() else samples[np.isfinite(samples)]
    level, spread = centre(known)
    sigma = max(spread, floor)
    return Baseline(np.full(len(samples), level), sigma, usable, sigma, 1.0, 0.0, None)


def _straight(time: FloatArray, *, two_sided: bool) -> FloatArray:
    """Return the columns of a line; of a constant where a slope would have to be carried on."""
    constant = np.ones_like(time)
    return np.column_stack((constant, time)) if two_sided else constant[:, None]


def _with_hum(
    columns: FloatArray,
    samples: FloatArray,
    time: FloatArray,
    usable: NDArray[np.bool_],
    mains: float | None,
) -> tuple[FloatArray, float | None]:
    """Return the columns with sinusoids of the mains added where they are seen."""
    length = float(np.ptp(time[usable]))
    candidates = MAINS if mains is None else (mains,)
    possible = [frequency for frequency in candidates if frequency * length >= _PERIODS_FOR_HUM]
    best, best_f = None, _F_FOR_HUM
    for frequency in possible:
        statistic = _f_statistic(columns, _waves(time, frequency), samples, usable)
        if statistic > best_f:
            best, best_f = frequency, statistic
    if best is None:
        return columns, None
    for harmonic in _HARMONICS:
        waves = _waves(time, harmonic * best)
        if harmonic == 1 or _f_statistic(columns, waves, samples, usable) > _F_FOR_HUM:
            columns = np.column_stack((columns, waves))
    return columns, best


def _waves(time: FloatArray, frequency: float) -> FloatArray:
    angle = 2.0 * math.pi * frequency * time
    return np.column_stack((np.cos(angle), np.sin(angle)))


def _without_spikes(columns: FloatArray, samples: FloatArray, usable: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Return the usable samples less those that lie far from the fit."""
    fitted = columns @ Sums.of(columns[usable], samples[usable]).solve()[0]
    departure = np.abs(samples - fitted)
    usual = float(np.median(departure[usable]))
    kept = usable & ~(departure > _OUTLYING * usual)
    return kept if usual > 0.0 and kept.sum() > columns.shape[1] + _FEWEST_QUIET else usable


def _step_across(
    columns: FloatArray, samples: FloatArray, time: FloatArray, usable: NDArray[np.bool_]
) -> float:
    """Return by how much the level changes across the event, zero where it is within the noise."""
    jump = np.sign(time)[:, None]
    if _f_statistic(columns, jump, samples, usable) < _F_FOR_STEP:
        return 0.0
    with_jump = np.column_stack((columns, jump))
    return 2.0 * float(Sums.of(with_jump[usable], samples[usable]).solve()[0][-1])


def _f_statistic(
    columns: FloatArray, extra: FloatArray, samples: FloatArray, usable: NDArray[np.bool_]
) -> float:
    """Return how much better the fit gets with extra columns, as an F statistic."""
    full = Sums.of(np.column_stack((columns, extra))[usable], samples[usable])
    if full.dof < _FEWEST_QUIET:
        return 0.0
    with_extra = full.rest
    without = full.first(columns.shape[1]).rest
    if with_extra <= 0.0:
        return math.inf if without > 0.0 else 0.0
    return float((without - with_extra) / extra.shape[1] / (with_extra / full.dof))
