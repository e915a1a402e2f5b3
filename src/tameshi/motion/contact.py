"""When contact began, from the track alone: the hand stops harder than any arm stops itself.

From contact on the hand falls behind the way it would have gone, by a power of the time since: the first for
a stop at once, the third for a spring, more for a round thing pressed in. Which instant and which power
explain the places around the stop is weighed over a grid, with the motion before as ``smooth`` has it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scipy.linalg import cholesky, solve_triangular

from tameshi.errors import UnmeasurableError
from tameshi.motion.arrays import FloatArray
from tameshi.motion.smooth import driven_covariance, free_polynomial, usual_drive
from tameshi.quantity import rectangular_u

_BEFORE = 0.07  # seconds before the stop from which places are taken
_MOST_FRAMES = 48
_FEWEST_BEFORE = 5
_SPAN = 0.005  # seconds over which slopes are taken where frames are denser
_HALF = 0.5  # of the greatest speed: slower, the hand has been stopped
_HELD = 0.85  # of the speed two frames before: slower, contact has begun
_SHARP = 1.6  # by how much the stop is harder than the thrust
_EARLIEST = 0.016  # seconds before the hand has lost half of its speed in which contact can have begun
_GRID = 81
_POWERS = (1.0, 1.5, 2.0, 2.5, 3.0, 3.5)
_DRIVES = (-1.5, -0.5, 0.5, 1.5, 2.5)  # in the logarithmic steps of ``smooth``
_NOISES = (-0.7, 0.0, 0.7, 1.4)  # logarithms of how much larger the noise is than was stated
_TAIL = 0.025  # left out at either end
_TINY = 1e-12
_EVENLY = 9  # instants that stand for a time in which contact was


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Contact:
    """When contact began.

    Parameters
    ----------
    time : float
        Seconds, the film's.
    earliest, latest : float
        Ends of the interval that holds it with 95 %.
    u : float
        Standard uncertainty, in seconds.
    by : str
        What told: ``"stop"``, ``"frame"``, ``"flash"``, ``"sound"``.
    instants, weights : (n,) arrays
        Instants at which it may have begun, and how likely each is.
    """

    time: float
    earliest: float
    latest: float
    u: float
    by: str
    instants: FloatArray
    weights: FloatArray


def contact_between(earliest: float, latest: float, by: str) -> Contact:
    """Return contact that was between two instants, anywhere alike."""
    instants = earliest + (np.arange(_EVENLY) + 0.5) / _EVENLY * (latest - earliest)
    return Contact(
        time=0.5 * (earliest + latest),
        earliest=earliest,
        latest=latest,
        u=rectangular_u(0.5 * (latest - earliest)),
        by=by,
        instants=instants,
        weights=np.full(_EVENLY, 1.0 / _EVENLY),
    )


def contact_from_stop(times: FloatArray, way: FloatArray, u: FloatArray) -> Contact:
    """Return contact as the sharp stop of a motion tells it.

    Parameters
    ----------
    times, way, u : (n,) arrays
        When, how far along the way of the strike, how surely, in seconds and metres.

    Raises
    ------
    UnmeasurableError
        ``contact-not-seen``, ``too-few-frames``.
    """
    slow = _first_slow(times, way)
    first = max(0, slow - _MOST_FRAMES, int(np.searchsorted(times, times[slow] - _BEFORE)))
    first = max(0, min(first, slow - _FEWEST_BEFORE))
    last = slow if _is_held(times, way, slow) else min(slow + 1, len(way) - 1)
    part = slice(first, last + 1)
    begins = np.linspace(max(times[slow] - _EARLIEST, times[first]), times[last], _GRID + 1)[:-1]
    weight = _weighed(times[part], way[part], u[part], begins, usual_drive(times, way))
    mean = float(weight @ begins)
    below = np.cumsum(weight)
    step = float(begins[1] - begins[0])
    earliest, latest = np.interp([_TAIL, 1.0 - _TAIL], below, begins + 0.5 * step)
    spread = float(np.sqrt(weight @ (begins - mean) ** 2 + step**2 / 12.0))
    return Contact(
        time=mean,
        earliest=float(earliest),
        latest=float(latest),
        u=spread,
        by="stop",
        instants=begins,
        weights=weight,
    )


def _first_slow(times: FloatArray, way: FloatArray) -> int:
    """Return the first frame after the fastest from which the hand goes at less than half of that speed.

    Raises
    ------
    UnmeasurableError
        As :func:`contact_from_stop`.
    """
    lag = max(1, round(_SPAN / float(np.median(np.diff(times)))))
    speed, middle = _slopes(way, times, lag)
    fastest = int(np.argmax(speed))
    slow = np.flatnonzero(speed[fastest:] < _HALF * speed[fastest])
    if len(slow) == 0:
        raise UnmeasurableError(
            "contact-not-seen",
            "The film, or the track, ends before the hand is stopped.",
            hint='Film on after contact, or say when it was: --contact "frame 63".',
        )
    found = fastest + int(slow[0]) + lag // 2
    if found < _FEWEST_BEFORE:
        raise UnmeasurableError(
            "too-few-frames",
            f"The hand is seen in {found + 1} frames before it is stopped; {_FEWEST_BEFORE + 1} are needed.",
            hint="Film at a higher rate, and start the film earlier.",
        )
    change, _ = _slopes(speed, middle, lag)
    thrust, stop = float(change[: fastest + 1].max()), -float(change[max(0, fastest - lag) : found + 2].min())
    if stop < _SHARP * thrust:
        raise UnmeasurableError(
            "contact-not-seen",
            "The track shows no sharp stop: the hand slows down as an arm does.",
            hint='Say when contact was: --contact "frame 63"; the overlay shows the frames\' numbers.',
        )
    return found


def _is_held(times: FloatArray, way: FloatArray, n: int) -> bool:
    """Whether a frame is already behind where those before would have it: no later one is needed."""
    now, before = ((way[k] - way[k - 1]) / (times[k] - times[k - 1]) for k in (n, n - 2))
    return bool(now < _HELD * before)


def _slopes(values: FloatArray, times: FloatArray, lag: int) -> tuple[FloatArray, FloatArray]:
    """Return slopes over several frames, and the middles of their spans."""
    return (values[lag:] - values[:-lag]) / (times[lag:] - times[:-lag]), 0.5 * (times[lag:] + times[:-lag])


def _weighed(
    times: FloatArray, way: FloatArray, u: FloatArray, begins: FloatArray, usual: float
) -> FloatArray:
    """Return the weights of instants at which contact may have begun."""
    since = np.maximum(times[:, None] - begins, 0.0) / (times[-1] - begins)
    fallen = np.stack([since**power for power in _POWERS], axis=1).reshape(len(times), -1)
    basis = free_polynomial(times)
    total = np.empty((len(_DRIVES), len(_NOISES), len(_POWERS), len(begins)))
    for d, drive in enumerate(_DRIVES):
        driven = driven_covariance(times, drive, usual)
        for n, noise in enumerate(_NOISES):
            covariance = driven + np.diag((math.exp(noise) * u) ** 2)
            likely = _likely(covariance, np.column_stack([basis, way, fallen]), basis.shape[1])
            total[d, n] = likely.reshape(len(_POWERS), -1) - 0.5 * drive**2 - 0.5 * noise**2
    if not np.isfinite(total.max()):  # nothing tells: anywhere alike
        return np.full(len(begins), 1.0 / len(begins))
    weight = np.exp(total - total.max()).sum(axis=(0, 1, 2))
    return np.asarray(weight / weight.sum())


def _likely(covariance: FloatArray, matrix: FloatArray, free: int) -> FloatArray:
    """Return the logarithm of the likelihood of places with each of several ways of falling behind.

    Parameters
    ----------
    covariance : (n, n) array
    matrix : (n, free + 1 + m) array
        Columns that are free anyway, the places, and m ways of falling behind, of which one is free.
    free : int

    Returns
    -------
    (m,) array
        Minus infinity where the hand would run ahead of the way it would have gone.
    """
    root = cholesky(covariance, lower=True, check_finite=False)
    white = solve_triangular(root, matrix, lower=True, check_finite=False)
    across, _ = np.linalg.qr(white[:, :free])
    rest = white[:, free:] - across @ (across.T @ white[:, free:])
    places, columns = rest[:, 0], rest[:, 1:]
    power = np.einsum("ij,ij->j", columns, columns) + _TINY
    shared = columns.T @ places
    misfit = places @ places - shared**2 / power
    # places' own size counts as the covariance differs from try to try; so does what the free columns take
    taken = np.log(np.abs(np.diag(np.linalg.qr(white[:, :free], mode="r")))).sum()
    likely = -np.log(np.diag(root)).sum() - taken - 0.5 * (np.log(power) + misfit)
    return np.where(shared < 0.0, likely, -np.inf)
