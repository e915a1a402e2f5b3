"""The motion of an invented strike, known at every instant: rest, thrust, contact, rebound."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

_STEP = 2e-5  # seconds between the instants at which the motion is worked out
_LATER = 0.3  # seconds after contact that are worked out
_RIPPLE_FADES = 0.03  # seconds over which the unevenness grows after the start, so that rest is rest
_CALMS_DOWN = 0.08  # seconds in which the hand slows down after it has come back off the target


@dataclass(frozen=True, slots=True, kw_only=True)
class Thrust:
    """One strike along its way.

    Parameters
    ----------
    speed : float
        At contact, in m/s: the truth that is asked for.
    reach : float
        From where it starts to contact, along the way, in metres.
    peak_at : float
        When the speed peaks, as a share of the time to contact; above 1 it would peak after contact.
    ripple : float
        Unevenness of the speed, as a share of the speed at contact.
    ripple_rate : float
        How often it comes and goes, in hertz.
    contact : float
        Seconds from first touch until the hand comes off.
    restitution : float
        Speed off the target as a share of that onto it.
    bow : float
        How far the way bends sideways over the reach, in metres.
    """

    speed: float = 8.0
    reach: float = 0.6
    peak_at: float = 0.95
    ripple: float = 0.0
    ripple_rate: float = 20.0
    contact: float = 0.012
    restitution: float = 0.2
    bow: float = 0.0

    @property
    def lasts(self) -> float:
        """Seconds from the first movement to contact."""
        share = 1.0 / self.peak_at
        travelled = 0.5 * share - math.sin(math.pi * share) / (2.0 * math.pi)
        peak = self.speed / math.sin(0.5 * math.pi * share) ** 2
        return self.reach / (peak * travelled) / self.peak_at


def way_at(thrust: Thrust, times: FloatArray) -> FloatArray:
    """Return how far along its way the hand is, in metres from contact, negative before it.

    Parameters
    ----------
    thrust : Thrust
    times : array
        Seconds from contact.
    """
    grid, way = _worked_out(thrust)
    return np.asarray(np.interp(times, grid, way))


@lru_cache(maxsize=8)
def _worked_out(thrust: Thrust) -> tuple[FloatArray, FloatArray]:
    lasts = thrust.lasts
    grid = np.arange(-lasts, _LATER + _STEP, _STEP)
    speed = np.where(grid < 0.0, _before(thrust, grid + lasts), _after(thrust, np.maximum(grid, 0.0)))
    way = np.concatenate([[0.0], np.cumsum(0.5 * (speed[1:] + speed[:-1]) * np.diff(grid))])
    return grid, way - np.interp(0.0, grid, way)


def _before(thrust: Thrust, since: FloatArray) -> FloatArray:
    """Return the speed before contact; exactly the stated one at it."""
    lasts = thrust.lasts
    shape = np.sin(0.5 * np.pi * since / (thrust.peak_at * lasts)) ** 2
    at_contact = math.sin(0.5 * math.pi / thrust.peak_at) ** 2
    grown = np.clip(since / _RIPPLE_FADES, 0.0, 1.0) ** 2
    uneven = thrust.ripple * grown * np.sin(2.0 * np.pi * thrust.ripple_rate * (since - lasts))
    return np.asarray(thrust.speed * (shape / at_contact + uneven))


def _after(thrust: Thrust, since: FloatArray) -> FloatArray:
    """Return the speed from contact on: a half sine of force, then the hand calms down."""
    e, share = thrust.restitution, np.minimum(since / thrust.contact, 1.0)
    held = 0.5 * (1.0 - e) + 0.5 * (1.0 + e) * np.cos(np.pi * share)
    free = np.exp(-np.maximum(since - thrust.contact, 0.0) / _CALMS_DOWN)
    return np.asarray(thrust.speed * held * free)
