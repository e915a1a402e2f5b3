"""How much more a spring under a mass gives to a short force than to the same force at rest.

The dynamic factor is the greatest deflection over that under the greatest force at rest. It takes the
force as given: a target that gives way and so changes the force needs :mod:`.coupled`.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
_STEPS_PER_PERIOD = 64
_EVEN = 1e-7


def half_sine_factor(ratio: float) -> float:
    """Return the dynamic factor of an undamped mass on a spring under half a sine.

    Parameters
    ----------
    ratio : float, > 0
        Duration of the force over the natural period.

    Returns
    -------
    float
        4 ratio for very short forces, near one for long ones, 1.76846 at most.

    Notes
    -----
    Exact: the forced response (sin a t - b sin w t) / (1 - b^2), b the natural period over twice the
    duration, at its turning points, and the free swing after it.
    """
    if abs(ratio - 0.5) < _EVEN:
        return 0.5 * math.pi
    beta = 0.5 / ratio
    swing = abs(2.0 * beta * math.cos(0.5 * math.pi / beta) / (1.0 - beta * beta))
    # turning points in phases of the force: cos(phase) = cos(phase / beta)
    turns = range(1, int(ratio) + 2)
    phases = [2.0 * math.pi * turn * beta / (1.0 + beta) for turn in turns]
    forced = [math.sin(phase) / (1.0 - beta) for phase in phases if phase <= math.pi]
    if beta < 1.0:
        phases = [2.0 * math.pi * turn * beta / (1.0 - beta) for turn in turns]
        forced += [math.sin(phase) / (1.0 + beta) for phase in phases if phase <= math.pi]
    return max(swing, *forced) if forced else swing


def force_factor(time: FloatArray, force: FloatArray, natural_period: float) -> float:
    """Return the dynamic factor of an undamped mass on a spring under a force of any course.

    Parameters
    ----------
    time : (n,) array
        Rising; the force is straight between the samples and nought outside them. [s]
    force : (n,) array
        Its greatest value is positive. [N]
    natural_period : float
        [s]

    Notes
    -----
    Exact for the straight pieces: the response is the convolution with a sine, and while a piece is straight
    its sine and cosine integrals are known.
    """
    omega = 2.0 * math.pi / natural_period
    span = float(time[-1] - time[0])
    count = max(len(time), int(_STEPS_PER_PERIOD * span / natural_period)) + 1
    fine = np.linspace(time[0], time[-1], count)
    load = np.interp(fine, time, force)
    step = fine[1] - fine[0]
    slope = np.diff(load) / step
    # u = q - (slope integral): integration by parts leaves jumps of force and of slope only
    phase = omega * (fine - fine[0])
    sines = np.concatenate(([0.0], np.cumsum(slope * np.diff(np.sin(phase)))))
    cosines = np.concatenate(([0.0], np.cumsum(slope * np.diff(np.cos(phase)))))
    first = load[0]
    deflection = load - first * np.cos(phase) - (np.sin(phase) * -cosines + np.cos(phase) * sines) / omega
    at_end = _free_swing(load, phase, (sines[-1], cosines[-1]), omega)
    return float(max(deflection.max(), at_end) / load.max())


def _free_swing(load: FloatArray, phase: FloatArray, sums: tuple[float, float], omega: float) -> float:
    """Return how far it swings once the force has gone."""
    sines, cosines = sums[0] / omega, sums[1] / omega
    # the force drops to nought at the end: a jump like that at the start
    cosine = load[-1] * math.cos(phase[-1]) - load[0] - sines
    sine = load[-1] * math.sin(phase[-1]) + cosines
    return math.hypot(cosine, sine)
