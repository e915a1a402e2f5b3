"""Many collisions at once, by energy instead of by time.

With a force G(x) (1 + d v), G elastic and v the closing speed, depth and speed separate: mu v dv / (1 + d v)
= -G dx. So the elastic energy is known at every speed, from the meeting speed down to the speed of leaving,
whatever G is. Here it is a hardening spring of the striker with a straight one of the body behind it, whose
energy is explicit in the force. Time follows from dt = -mu dv / F. Source: K. H. Hunt, F. R. E. Crossley
(1975) for the law.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import beta, betainc

from tameshi.target.contact import restitution

FloatArray = NDArray[np.float64]
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(40)
_PLACES, _SHARES = 0.5 * (_NODES + 1.0), 0.5 * _WEIGHTS
_NEWTON = 5
_NO_LOSS = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Springs:
    """Springs of many collisions.

    Parameters
    ----------
    exponent : float
        n of the striker's law F = k x^n, the same for all.
    striker : (d,) array
        k. [N/m^n]
    body : (d,) array
        Straight spring behind it, infinite where there is none. [N/m]
    """

    exponent: float
    striker: FloatArray
    body: FloatArray

    def energy_factor(self) -> FloatArray:
        """Return a of the striker's energy a G^((n+1)/n)."""
        n = self.exponent
        factor: FloatArray = self.striker ** (-1.0 / n) / (n + 1.0)
        return factor


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Met:
    """What came of many collisions.

    Parameters
    ----------
    peak_force : (d,) array [N]
    duration : (d,) array [s]
    """

    peak_force: FloatArray
    duration: FloatArray


def energy_left(speed: FloatArray, damping: FloatArray) -> FloatArray:
    """Return the elastic energy at a closing speed, over mu v^2.

    Parameters
    ----------
    speed : array
        Closing speed over meeting speed, from 1 down to minus the restitution.
    damping : array
        q = d v.
    """
    nearly = damping < _NO_LOSS
    q = np.where(nearly, 1.0, damping)
    exact = (q * (1.0 - speed) - np.log1p(q) + np.log1p(q * speed)) / q**2
    series = 0.5 * (1.0 - speed**2) - damping * (1.0 - speed**3) / 3.0
    left: FloatArray = np.maximum(np.where(nearly, series, exact), 0.0)
    return left


def elastic_force(energy: FloatArray, springs: Springs) -> FloatArray:
    """Return the force at which springs hold an energy.

    Parameters
    ----------
    energy : (d, s) array [J]
    springs : Springs

    Returns
    -------
    (d, s) array [N]
    """
    power = (springs.exponent + 1.0) / springs.exponent
    a = springs.energy_factor()[:, None]
    b = (0.5 / springs.body)[:, None]
    straight: FloatArray
    if springs.exponent == 1.0:
        straight = np.sqrt(energy / (a + b))
        return straight
    with np.errstate(divide="ignore"):
        force = np.minimum((energy / a) ** (1.0 / power), np.sqrt(energy / b))
    # from above, where Newton's steps never overshoot
    for _ in range(_NEWTON):
        hardening, rest = a * force ** (power - 1.0), b * force
        over = force * (hardening + rest) - energy
        slope = power * hardening + 2.0 * rest
        force = force - np.where(slope > 0.0, over / np.where(slope > 0.0, slope, 1.0), 0.0)
    return force


def meet(mass: FloatArray, speed: FloatArray, damping: FloatArray, springs: Springs) -> Met:
    """Return peak force and duration of many collisions.

    Parameters
    ----------
    mass : (d,) array
        Reduced masses. [kg]
    speed : (d,) array
        Meeting speeds. [m/s]
    damping : (d,) array
        q = d v.
    springs : Springs
    """
    power = springs.exponent + 1.0
    # places that crowd at both ends as the force vanishes there, so that what is summed stays smooth
    into = betainc(power, power, _PLACES)
    steps = (_PLACES * (1.0 - _PLACES)) ** (power - 1.0) / beta(power, power) * _SHARES
    swing = (1.0 + restitution(damping))[:, None]
    closing = 1.0 - swing * into
    q = damping[:, None]
    kinetic = (mass * speed**2)[:, None]
    elastic = elastic_force(kinetic * energy_left(closing, q), springs)
    force = elastic * (1.0 + q * closing)
    with np.errstate(divide="ignore", invalid="ignore"):
        spent = np.where(force > 0.0, swing * steps / force, 0.0)
    return Met(peak_force=_peak(force), duration=mass * speed * spent.sum(axis=1))


def _peak(force: FloatArray) -> FloatArray:
    """Return the top of a parabola through the greatest value and its neighbours."""
    top = np.clip(np.argmax(force, axis=1), 1, force.shape[1] - 2)
    rows = np.arange(len(force))
    low, mid, high = (force[rows, top + shift] for shift in (-1, 0, 1))
    x0, x1, x2 = (_PLACES[top + shift] - _PLACES[top] for shift in (-1, 0, 1))
    first, second = (mid - low) / (x1 - x0), (high - mid) / (x2 - x1)
    bend = (second - first) / (x2 - x0)
    slope = first - bend * x0  # at the middle place: the chord's slope, less what the bend takes
    rounded = bend < 0.0
    lift = np.where(rounded, -0.25 * slope**2 / np.where(rounded, bend, -1.0), 0.0)
    peak: FloatArray = np.maximum(mid, np.minimum(mid + lift, mid * 1.01))
    return peak
