"""One free decay: a damped sine on a slowly fading offset, fitted by least squares.

What the cell does once nothing touches its plate is e^(-st) cos(wt + p) about an offset that may
itself fade. Amplitudes and offsets enter linearly; only w and s are searched for, by Gauss-Newton
steps on all of them together. Averaging over blocks leaves both unchanged (the mean of a damped sine
over a block is a damped sine), so long decays are thinned before they are fitted.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

_FADING = (2.0, 8.0)  # offsets fade by these powers of e over the decay; with the constant, three in all
_STEPS = 60
_CONVERGED = 1e-9
_GREATEST_STEP = 0.2
_SAMPLES_A_CYCLE = 16.0
_BAND = 3.0  # noise that moves the fit lies between a third of the frequency and three times it
_TAKEN_BY_FIT = 5  # numbers that a mode and its offset take out of the noise of that band
_FEWEST_DOF = 2.0


@dataclass(frozen=True, slots=True, eq=False)
class ModesFit:
    """Damped sines fitted to a decay together.

    Parameters
    ----------
    angular, decay : (k,) array
        Damped angular frequency and decay rate of each mode, the asked one first. [rad/s], [1/s]
    amplitude : (k,) array
        At the start of the decay, in the signal's unit.
    covariance : (2, 2) array
        Of the first mode's angular frequency and decay rate.
    residual : (n,) array
        Signal minus fit.
    dof : float
        Degrees of freedom of the noise that the covariance rests on.
    ripple : (n,) array
        Signal minus the fitted offset.
    """

    angular: FloatArray
    decay: FloatArray
    amplitude: FloatArray
    covariance: FloatArray
    residual: FloatArray
    dof: float
    ripple: FloatArray

    @property
    def natural_frequency(self) -> float:
        """Undamped natural frequency of the first mode. [Hz]"""
        return math.hypot(self.angular[0], self.decay[0]) / (2.0 * math.pi)

    @property
    def damping_ratio(self) -> float:
        """Damping ratio of the first mode."""
        return float(self.decay[0] / math.hypot(self.angular[0], self.decay[0]))

    def covariance_of_cell(self) -> FloatArray:
        """Return the covariance of natural frequency [Hz] and damping ratio."""
        w, s = self.angular[0], self.decay[0]
        natural = math.hypot(w, s)
        turn = 2.0 * math.pi
        slopes = np.array(
            [[w / natural / turn, s / natural / turn], [-s * w / natural**3, w * w / natural**3]]
        )
        found: FloatArray = slopes @ self.covariance @ slopes.T
        return found


def thin(signal: FloatArray, rate: float, frequency: float) -> tuple[FloatArray, float]:
    """Return a decay averaged over blocks, and its rate.

    Parameters
    ----------
    signal : (n,) array
    rate : float
        [Hz]
    frequency : float
        Coarse frequency of the decay; enough samples a cycle are kept. [Hz]
    """
    size = max(1, int(rate / (_SAMPLES_A_CYCLE * frequency)))
    whole = len(signal) // size * size
    return signal[:whole].reshape(-1, size).mean(axis=1), rate / size


def fit_modes(
    signal: FloatArray, rate: float, angular: tuple[float, ...], decay: tuple[float, ...]
) -> ModesFit | None:
    """Return damped sines fitted to a free decay, None where no decaying sine fits.

    Parameters
    ----------
    signal : (n,) array
        From the start of the decay on, in any unit.
    rate : float
        [Hz]
    angular, decay : tuple of float
        Where to start: damped angular frequency and decay rate of each mode. [rad/s], [1/s]

    Notes
    -----
    Ordinary least squares by Gauss-Newton steps; covariance from the curvature at the least and from
    the residual between a third of the frequency and three times it, as noise elsewhere hardly moves
    a narrow line. Source: any text on non-linear regression; common practice.
    """
    time = np.arange(len(signal)) / rate
    length = len(signal) / rate
    w, s = np.array(angular, dtype=np.float64), np.array(decay, dtype=np.float64)
    linear = np.zeros(0)
    for _ in range(_STEPS):
        design, linear = _solved(time, length, w, s, signal)
        slopes = _slopes(time, w, s, linear)
        whole = np.hstack((design, slopes))
        if not np.isfinite(whole).all() or len(signal) <= whole.shape[1]:
            return None
        step = _least(whole, signal - design @ linear)[design.shape[1] :]
        size = np.hypot(w, s)
        shrink = min(1.0, _GREATEST_STEP / max(1e-300, float(np.max(np.abs(step) / np.tile(size, 2)))))
        w, s = w + shrink * step[: len(w)], s + shrink * step[len(w) :]
        if np.max(np.abs(step) / np.tile(size, 2)) < _CONVERGED:
            break
    if not (np.all(w > 0.0) and np.all(s > 0.0)):
        return None
    return _concluded(time, length, w, s, signal, rate)


def _concluded(
    time: FloatArray, length: float, w: FloatArray, s: FloatArray, signal: FloatArray, rate: float
) -> ModesFit | None:
    """Return the fit at its solution with what it is worth."""
    design, linear = _solved(time, length, w, s, signal)
    residual = signal - design @ linear
    whole = np.hstack((design, _slopes(time, w, s, linear)))
    scale = np.linalg.norm(whole, axis=0)
    if not np.all(scale > 0.0):
        return None
    columns = whole / scale
    spread = np.linalg.pinv(columns.T @ columns) / np.outer(scale, scale)
    first = [design.shape[1], design.shape[1] + len(w)]
    variance, dof = _noise_near(residual, rate, float(w[0]) / (2.0 * math.pi), whole.shape[1])
    oscillating = 2 * len(w)
    return ModesFit(
        angular=w,
        decay=s,
        amplitude=np.hypot(linear[0:oscillating:2], linear[1:oscillating:2]),
        covariance=variance * spread[np.ix_(first, first)],
        residual=residual,
        dof=dof,
        ripple=signal - design[:, oscillating:] @ linear[oscillating:],
    )


def _solved(
    time: FloatArray, length: float, w: FloatArray, s: FloatArray, signal: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Return the linear part of the model and its best coefficients."""
    columns = []
    for angular, decay in zip(w, s, strict=True):
        envelope = np.exp(-np.clip(decay * time, -50.0, 700.0))
        columns += [envelope * np.cos(angular * time), envelope * np.sin(angular * time)]
    columns.append(np.ones_like(time))
    columns += [np.exp(-power * time / length) for power in _FADING]
    design = np.column_stack(columns)
    return design, _least(design, signal)


def _least(design: FloatArray, signal: FloatArray) -> FloatArray:
    """Return the least-squares coefficients, by normal equations of scaled columns: long decays are quick."""
    scale = np.linalg.norm(design, axis=0)
    scale[scale == 0.0] = 1.0
    columns = design / scale
    solved: FloatArray = np.linalg.lstsq(columns.T @ columns, columns.T @ signal, rcond=None)[0] / scale
    return solved


def _slopes(time: FloatArray, w: FloatArray, s: FloatArray, linear: FloatArray) -> FloatArray:
    """Return how the model moves with each angular frequency, then with each decay rate."""
    turning, fading = [], []
    for place, (angular, decay) in enumerate(zip(w, s, strict=True)):
        a, b = linear[2 * place], linear[2 * place + 1]
        envelope = np.exp(-np.clip(decay * time, -50.0, 700.0))
        cosine, sine = np.cos(angular * time), np.sin(angular * time)
        turning.append(time * envelope * (b * cosine - a * sine))
        fading.append(-time * envelope * (a * cosine + b * sine))
    return np.column_stack(turning + fading)


def _noise_near(residual: FloatArray, rate: float, frequency: float, terms: int) -> tuple[float, float]:
    """Return the variance of a sample, were all noise as strong as near a frequency, and its dof."""
    count = len(residual)
    overall = float(residual @ residual) / max(1, count - terms)
    power = np.abs(np.fft.rfft(residual)) ** 2 / count
    at = np.fft.rfftfreq(count, 1.0 / rate)
    near = (at > frequency / _BAND) & (at < _BAND * frequency) & (at < 0.5 * rate)
    dof = 2.0 * float(np.count_nonzero(near)) - _TAKEN_BY_FIT
    if dof < _FEWEST_DOF:
        return overall, float(max(1, count - terms))
    return 2.0 * float(power[near].sum()) / dof, dof
