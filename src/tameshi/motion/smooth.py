"""A motion known at some instants, with noise: place, speed and acceleration at any instant.

The jerk is taken to wander, driven by white noise; how strong that is and how much larger the noise of the
places is than their frames say is weighed over a grid by what the places themselves say. So a smooth motion
is averaged over many frames and an uneven one over few, and the doubt says which it was. Only places that are
handed in count: give those before contact, and nothing after it can lessen the speed.

Source: smoothing as a driven motion, G. Wahba, J. R. Stat. Soc. B 40 (1978) 364 (value from memory); the
covariances are derived here and checked by simulation in tests.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scipy.linalg import cho_factor, cho_solve

from tameshi.motion.arrays import FloatArray

FEWEST = 4
"""Places that a motion needs at least."""

USUAL_DRIVE = 3000.0
"""Strength of the driving noise of a strike of 8 m/s that takes 0.15 s, in m s^-3.5."""

_DRIVE_SHARE = 3.3  # of speed over time to the power 2.5, which has that dimension: a sine's, derived
_RISE = 0.1  # of the greatest speed, where the rise begins; a sine has 0.795 of its rise from there on
_RISE_PART = 0.795
_SHORTEST_RISE = 0.03  # seconds
_LONGEST_RISE = 0.3
_SPAN = 0.01  # seconds over which speeds are taken
_DRIVE_SPREAD = 0.8  # natural logarithm of the factor by which that may differ, one standard deviation
_NOISE_SPREAD = 0.7  # the same for the noise of places beside what their frames say
_DRIVE_GRID = np.linspace(-2.4, 3.0, 16)
_NOISE_GRID = np.linspace(-1.6, 2.6, 13)
_ORDER = 4  # how often the driving noise is integrated to give the place
_DERIVATIVES = (0, 1, 2)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Course:
    """A motion at some instants.

    Parameters
    ----------
    times : (m,) array
        Seconds.
    place, speed, acceleration : (m,) array
        Means, in metres and seconds.
    u_place, u_speed, u_acceleration : (m,) array
        Standard uncertainties.
    noise : float
        How much larger the noise of places is than was stated.
    """

    times: FloatArray
    place: FloatArray
    speed: FloatArray
    acceleration: FloatArray
    u_place: FloatArray
    u_speed: FloatArray
    u_acceleration: FloatArray
    noise: float


def smooth_motion(
    times: FloatArray,
    places: FloatArray,
    u: FloatArray,
    at: FloatArray,
    usual: float = USUAL_DRIVE,
) -> Course:
    """Return a motion along one axis.

    Parameters
    ----------
    times, places, u : (n,) arrays, n >= 4
        When, where and how surely, in seconds and metres.
    at : (m,) array
        Instants that are asked for, in seconds.
    usual : float
        Strength of the drive that is usual for such a motion.
    """
    origin = float(min(times[0], at.min()))
    length = max(float(times[-1] - origin), float(at.max()) - origin, 1e-6)
    x, goal = (times - origin) / length, (at - origin) / length
    last = _ORDER - 1
    kernel = _overlap(x, x, last, last)
    cross = [_overlap(x, goal, last, last - k) for k in _DERIVATIVES]
    own = [
        goal ** (2 * (last - k) + 1) / (2 * (last - k) + 1) / math.factorial(last - k) ** 2
        for k in _DERIVATIVES
    ]
    basis = _powers(x, 0)
    wanted = [_powers(goal, k) for k in _DERIVATIVES]
    weights, means, variances, noises = [], [], [], []
    for noise in _NOISE_GRID:
        for drive in _DRIVE_GRID:
            power = (usual * math.exp(_DRIVE_SPREAD * drive)) ** 2 * length ** (2 * _ORDER - 1)
            covariance = power * kernel + np.diag((u * math.exp(_NOISE_SPREAD * noise)) ** 2)
            solved = _solve(covariance, basis, places, (power, cross, own, wanted))
            weights.append(solved[0] - 0.5 * noise**2 - 0.5 * drive**2)
            means.append(solved[1])
            variances.append(solved[2])
            noises.append(math.exp(_NOISE_SPREAD * noise))
    share = np.exp(np.array(weights) - max(weights))
    share /= share.sum()
    mean = np.tensordot(share, np.array(means), 1)
    spread = np.tensordot(share, np.array(variances) + (np.array(means) - mean) ** 2, 1)
    u_all = np.sqrt(np.maximum(spread, 0.0))
    scale = [1.0, 1.0 / length, 1.0 / length**2]
    return Course(
        times=at,
        place=mean[0],
        speed=mean[1] * scale[1],
        acceleration=mean[2] * scale[2],
        u_place=u_all[0],
        u_speed=u_all[1] * scale[1],
        u_acceleration=u_all[2] * scale[2],
        noise=float(share @ np.array(noises)),
    )


def usual_drive(times: FloatArray, way: FloatArray) -> float:
    """Return the strength of the drive that is usual for a strike as fast and as short as this one.

    Parameters
    ----------
    times, way : (n,) arrays
        Seconds, and metres along the strike; what is before its greatest speed counts.
    """
    lag = max(1, round(_SPAN / float(np.median(np.diff(times)))))
    lag = min(lag, len(times) - 1)
    speed = (way[lag:] - way[:-lag]) / (times[lag:] - times[:-lag])
    fastest = int(np.argmax(speed))
    slow = np.flatnonzero(speed[:fastest] < _RISE * speed[fastest])
    begins = int(slow[-1]) if len(slow) else 0
    rise = float(times[fastest] - times[begins]) / _RISE_PART
    rise = min(max(rise, _SHORTEST_RISE), _LONGEST_RISE)
    return float(_DRIVE_SHARE * max(float(speed[fastest]), 0.1) / rise**2.5)


def driven_covariance(times: FloatArray, drive: float, usual: float) -> FloatArray:
    """Return the covariance of places that a drive gives, in square metres.

    Parameters
    ----------
    times : (n,) array
        Seconds.
    drive : float
        How much stronger than usual it is, in standard deviations of its logarithm.
    usual : float
        Strength of the drive that is usual for such a motion.
    """
    since = times - times[0]
    power = (usual * math.exp(_DRIVE_SPREAD * drive)) ** 2
    return power * _overlap(since, since, _ORDER - 1, _ORDER - 1)


def free_polynomial(times: FloatArray) -> FloatArray:
    """Return the columns of the polynomial that a driven motion leaves free, (n, 4)."""
    since = times - times[0]
    return _powers(since / max(float(since[-1]), 1e-6), 0)


def _solve(
    covariance: FloatArray,
    basis: FloatArray,
    places: FloatArray,
    asked: tuple[float, list[FloatArray], list[FloatArray], list[FloatArray]],
) -> tuple[float, FloatArray, FloatArray]:
    """Return the logarithm of the likelihood, and means and variances of place, speed and acceleration."""
    power, cross, own, wanted = asked
    factor = cho_factor(covariance, lower=True, check_finite=False)
    solved_basis = cho_solve(factor, basis, check_finite=False)
    normal = basis.T @ solved_basis
    inverse = np.linalg.inv(normal)
    found = inverse @ (solved_basis.T @ places)
    left = places - basis @ found
    solved_left = cho_solve(factor, left, check_finite=False)
    log_size = 2.0 * float(np.log(np.diag(factor[0])).sum()) + float(np.linalg.slogdet(normal)[1])
    likely = -0.5 * (log_size + float(left @ solved_left))
    means, variances = [], []
    for k in range(len(cross)):
        reach = power * cross[k]
        means.append(wanted[k] @ found + reach.T @ solved_left)
        solved = cho_solve(factor, reach, check_finite=False)
        # what the free polynomial leaves in doubt, beside what the wandering does
        gap = wanted[k] - reach.T @ solved_basis
        doubt = power * own[k] - np.einsum("ij,ij->j", reach, solved)
        variances.append(doubt + np.einsum("ij,jk,ik->i", gap, inverse, gap))
    return likely, np.array(means), np.array(variances)


def _powers(at: FloatArray, derivative: int) -> FloatArray:
    """Return the derivatives of 1, t, t^2/2!, ... at instants, a column each."""
    columns = [
        at ** (k - derivative) / math.factorial(k - derivative) if k >= derivative else np.zeros_like(at)
        for k in range(_ORDER)
    ]
    return np.column_stack(columns)


def _overlap(s: FloatArray, t: FloatArray, a: int, b: int) -> FloatArray:
    """Return the integral of (s - u)^a (t - u)^b / (a! b!) over u from 0 to the earlier of s and t, (n, m).

    With a and b the order of the driving noise less one, less one for every derivative, it is the covariance
    of two of place, speed and acceleration.
    """
    one, other = s[:, None], t[None, :]
    forward, back = np.maximum(other - one, 0.0), np.maximum(one - other, 0.0)
    early = np.minimum(one, other)
    first = sum(
        math.comb(b, j) * forward ** (b - j) * early ** (a + j + 1) / (a + j + 1) for j in range(b + 1)
    )
    second = sum(math.comb(a, j) * back ** (a - j) * early ** (b + j + 1) / (b + j + 1) for j in range(a + 1))
    scale = math.factorial(a) * math.factorial(b)
    return np.asarray(np.where(other >= one, first, second) / scale)
