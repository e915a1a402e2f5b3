"""What the recording itself says against a strike: clipped tops, ringing, AC coupling.

Each test looks for the mark the fault leaves, and returns a figure or nothing; the sentences are
made where the strike is put together.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

_FLAT_RUN = 4
_RAIL_RUN = 2
# a flat top with noise on it, by simulation: round tops reach half of what their shoulders allow for
_SPREAD_OF_FLAT, _FLAT_OVER_ROUND = 6.0, 0.75
_NOISE_FOR_FLAT, _FEWEST_NOISY_FLAT, _MOST_SAG = 0.005, 12, 0.7
_SHOULDER = (0.60, 0.97)
_FEWEST_SHOULDER = 6
_RING_WINDOW = 0.03
_RING_NOISE = 6.0
_RING_SHARE = 0.02
_FEWEST_RING_SAMPLES = 12
_AC_TIMES = np.geomspace(0.002, 3.0, 60)
_AC_SHARE = 0.008
_AC_SIGNIFICANCE = 8.0
_AC_RATIO = (0.5, 1.8)
_AC_FIT_GAIN = 0.9
_FEWEST_AFTER = 10


def clipped_run(
    samples: FloatArray, event: slice, *, step: float, rail: float | None, sigma: float
) -> slice | None:
    """Return the flat top of an event whose peak was cut off, None where it was not.

    Parameters
    ----------
    samples : (n,) array
        Readings as recorded, pushes positive.
    event : slice
    step : float
        The converter's step, zero where readings are continuous.
    rail : float or None
        Highest reading the converter can give, where it is known.
    sigma : float
        Standard deviation of the noise added since the top was cut off, at most.

    Notes
    -----
    A rail is a rail. Elsewhere a run of equal highest readings is a cut-off top if it is longer
    than the converter's steps explain for the curvature that the shoulders show. Where noise was
    added to a cut-off top, the run within that noise is held against the same curvature.
    """
    part = samples[event]
    if not np.isfinite(part).any():
        return None
    highest = float(np.nanmax(part))
    run = _longest_run(part >= highest - 0.25 * step)
    flat = slice(event.start + run.start, event.start + run.stop)
    length = run.stop - run.start
    if rail is not None and highest >= rail - 0.75 * step and length >= _RAIL_RUN:
        return flat
    if length >= _FLAT_RUN and length > 2.0 * _expected_run(samples, event, highest, step) + 2.0:
        return flat
    return _noisy_flat(samples, event, highest, sigma)


def _noisy_flat(samples: FloatArray, event: slice, highest: float, sigma: float) -> slice | None:
    """Return the run of a top that is as flat as the noise on it, None where it is round."""
    if not 0.0 < sigma < _NOISE_FOR_FLAT * (highest - float(np.nanmin(samples[event]))):
        return None  # in more noise flat and round look alike
    run = _longest_run(samples[event] >= highest - _SPREAD_OF_FLAT * sigma)
    length = run.stop - run.start
    expected = _expected_run(samples, event, highest, _SPREAD_OF_FLAT * sigma)
    if expected == 0.0:  # without shoulders nothing says how round the top should be
        return None
    if length < _FEWEST_NOISY_FLAT or length < _FLAT_OVER_ROUND * (2.0 * expected + 2.0):
        return None
    flat = slice(event.start + run.start, event.start + run.stop)
    return flat if abs(_sag(samples[flat])) < _MOST_SAG * sigma else None


def _sag(top: FloatArray) -> float:
    """Return how far a parabola through a top falls from its middle to its ends, which are left out."""
    edge = len(top) // 10
    inner = top[edge : len(top) - edge]
    place = np.linspace(-1.0, 1.0, len(inner))
    return -float(np.polynomial.polynomial.polyfit(place, inner, 2)[2])


def ringing_after(
    force: FloatArray, rate: float, stop: int, limit: int, *, peak: float, sigma: float
) -> tuple[float, float] | None:
    """Return frequency and amplitude of an oscillation that follows a contact, if one stands out.

    Parameters
    ----------
    force : (n,) array
        Zeroed force. [N]
    rate : float
        [Hz]
    stop, limit : int
        First sample after the contact, and one past the last to look at.
    peak, sigma : float
        Peak of the contact and standard deviation of single samples. [N]
    """
    part = force[stop : min(limit, stop + round(_RING_WINDOW * rate))]
    if len(part) < _FEWEST_RING_SAMPLES:
        return None
    level = part - np.linspace(part[: len(part) // 2].mean(), part[len(part) // 2 :].mean(), len(part))
    spectrum = np.abs(np.fft.rfft(level * np.hanning(len(level)))) * 4.0 / len(level)
    line = int(np.argmax(spectrum[2:])) + 2 if len(spectrum) > 3 else 0  # noqa: PLR2004  DC, drift, one line
    amplitude = float(spectrum[line]) if line else 0.0
    noise = _RING_NOISE * sigma * math.sqrt(2.0 / len(level))
    crossings = np.count_nonzero(np.diff(np.signbit(level)))
    if amplitude < max(noise, _RING_SHARE * peak) or crossings < 2:  # noqa: PLR2004  one full swing
        return None
    first = level[: max(2, round(2.0 * len(level) / line))]  # the window's average has faded
    return line * rate / len(level), max(amplitude, float(np.max(np.abs(first))))


def ac_time_constant(
    after: FloatArray, time: FloatArray, *, impulse: float, peak: float, sigma: float
) -> float | None:
    """Return the time constant of an AC coupling that the recording after a contact shows.

    Parameters
    ----------
    after : (n,) array
        Force after the contact, zeroed on the recording before it. [N]
    time : (n,) array
        Time of these samples since the end of contact. [s]
    impulse, peak : float
        Of the contact as recorded. [N s], [N]
    sigma : float
        Standard deviation of single samples. [N]

    Notes
    -----
    A single high-pass with time constant tau leaves, after an impulse J much shorter than tau, an
    undershoot of J/tau that fades with tau; both must fit. Derived.
    """
    if len(after) < _FEWEST_AFTER:
        return None
    total = float(after @ after)
    flat = total - len(after) * float(after.mean()) ** 2
    best, best_rest, best_depth = 0.0, math.inf, 0.0
    for constant in _AC_TIMES.tolist():
        decay = np.exp(-time / constant)
        depth = float(after @ decay) / float(decay @ decay)
        rest = total - depth * float(after @ decay)
        if rest < best_rest:
            best, best_rest, best_depth = constant, rest, depth
    decay = np.exp(-time / best)
    clear = -best_depth * math.sqrt(float(decay @ decay)) > _AC_SIGNIFICANCE * sigma
    deep = -best_depth > _AC_SHARE * peak
    ratio = -best_depth * best / impulse if impulse > 0.0 else 0.0
    fades = best_rest < _AC_FIT_GAIN * flat or best > time[-1]
    return best if clear and deep and fades and _AC_RATIO[0] < ratio < _AC_RATIO[1] else None


def undo_ac(force: FloatArray, rate: float, constant: float) -> FloatArray:
    """Return what a force would have been without a single-pole AC coupling."""
    repaired: FloatArray = force + np.cumsum(force) / (rate * constant)
    return repaired


def _longest_run(marked: NDArray[np.bool_]) -> slice:
    edges = np.flatnonzero(np.diff(np.concatenate(([0], marked.view(np.int8), [0]))))
    starts, stops = edges[::2], edges[1::2]
    longest = int(np.argmax(stops - starts))
    return slice(int(starts[longest]), int(stops[longest]))


def _expected_run(samples: FloatArray, event: slice, highest: float, step: float) -> float:
    """Return how many samples a rounded top would spend within one step of its peak."""
    part = samples[event]
    level = float(np.nanmin(part))
    share = (part - level) / max(highest - level, 1e-300)
    shoulder = np.flatnonzero((share > _SHOULDER[0]) & (share < _SHOULDER[1]))
    if len(shoulder) < _FEWEST_SHOULDER or step == 0.0:
        return 0.0
    bend = float(np.polynomial.polynomial.polyfit(shoulder - shoulder.mean(), part[shoulder], 2)[2])
    return 2.0 * math.sqrt(step / -bend) if bend < 0.0 else math.inf
