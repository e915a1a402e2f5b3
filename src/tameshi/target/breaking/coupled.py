"""A striker meeting a target that gives way: two masses, the contact between them, the target's own spring.

The striker is a mass m1 behind a contact spring k1 that pushes and cannot pull; the target is a mass m2 on a
spring k2. On a rigid plate the same striker makes half a sine of peak v sqrt(k1 m1) and duration pi
sqrt(m1/k1): so a strike measured on a plate, together with one mass or one speed, says what it does to a
target.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

_STEPS = 40  # in the fastest period: its error is 0.1 %
_FASTEST = (
    2500.0  # square of the target's frequency in radians of the contact: beyond it, it has no mass to tell
)
_SOFTEST, _STIFFEST = 1.0 / 30.0, 1000.0  # stiffness ratios between which both equations are followed
_HEAVIEST, _SLOWEST = 100.0, 300.0  # mass ratio, and the same over the stiffness ratio, followed at most
_LONGEST = 0.7  # of the slowest period: by then it has bent as far as it will


def contact_stiffness(mass: FloatArray, duration: FloatArray) -> FloatArray:
    """Return the contact spring that gives half a sine of this duration on a rigid plate. [N/m]"""
    return mass * (math.pi / duration) ** 2


def striker_speed(peak: FloatArray, duration: FloatArray, mass: FloatArray) -> FloatArray:
    """Return the speed that gives half a sine of this peak and duration on a rigid plate. [m/s]"""
    return peak * duration / (math.pi * mass)


def passed_on(mass_ratio: FloatArray, stiffness_ratio: FloatArray) -> FloatArray:
    """Return the greatest force in the target's spring over the peak on a rigid plate.

    Parameters
    ----------
    mass_ratio : (n,) array
        Moving mass of the target over the striker's.
    stiffness_ratio : (n,) array
        Stiffness of the target over that of the contact.

    Returns
    -------
    (n,) array
        For a target without mass sqrt(s / (1 + s)); for a stiff one its dynamic factor under half a sine.

    Notes
    -----
    Both equations of motion are followed by the leapfrog scheme until the slower mode has turned round; the
    two may part and meet again. No damping, no gravity.
    """
    asked = np.asarray(stiffness_ratio, dtype=np.float64)
    spring = np.clip(asked, _SOFTEST, _STIFFEST)
    # beyond the stiffest only the target's own period counts, which goes by mass over stiffness
    told = mass_ratio * np.minimum(1.0, spring / asked)
    heaviest = np.maximum(_HEAVIEST, _SLOWEST * spring)
    mass = np.clip(told, (1.0 + spring) / _FASTEST, heaviest)
    half = 0.5 * (1.0 + (1.0 + spring) / mass)
    fast = half + np.sqrt(half * half - spring / mass)
    slow = spring / mass / fast
    step = 2.0 * math.pi / (_STEPS * np.sqrt(fast))
    # a stiff target follows the force: the contact itself is then the slower
    ends = _LONGEST * 2.0 * math.pi / np.sqrt(np.minimum(slow, 1.0))
    count = int(np.ceil(np.max(ends / step)))
    # a target softer or heavier still is left by the striker before it bends: it swings from the push it got
    beyond = np.minimum(1.0, asked / spring) * np.minimum(1.0, heaviest / told)
    share: FloatArray = spring * _followed(mass, spring, step, count) * np.sqrt(beyond)
    return share


def _followed(mass: FloatArray, spring: FloatArray, step: FloatArray, count: int) -> FloatArray:
    """Return how far the target bends; time in radians of the contact, speed of the striker one."""
    striker, target = np.zeros_like(mass), np.zeros_like(mass)
    striker_moves, target_moves = np.ones_like(mass), np.zeros_like(mass)
    farthest = np.zeros_like(mass)
    push = np.zeros_like(mass)
    for _ in range(count):
        striker_moves -= 0.5 * step * push
        target_moves += 0.5 * step * (push - spring * target) / mass
        striker += step * striker_moves
        target += step * target_moves
        push = np.maximum(striker - target, 0.0)
        striker_moves -= 0.5 * step * push
        target_moves += 0.5 * step * (push - spring * target) / mass
        np.maximum(farthest, target, out=farthest)
    return farthest


def speed_to_break(energy: float, striker_mass: float, moved_mass: float) -> float:
    """Return the least speed at which a striker that takes the target along brings the energy to break it.

    Parameters
    ----------
    energy : float
        To break it. [J]
    striker_mass, moved_mass : float
        Of the striker, and of what it takes along. [kg]

    Returns
    -------
    float
        sqrt(2 U (m1 + m2)) / m1: a heavy target needs more speed for less energy. [m/s]

    Notes
    -----
    Source: momentum kept in a plastic impact, then energy; Halliday and Resnick, sample problem.
    """
    return math.sqrt(2.0 * energy * (striker_mass + moved_mass)) / striker_mass
