"""A free body driven by a recorded pulse, and that pulse scaled to another force and duration."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import cumulative_trapezoid

from tameshi.errors import WrongUseError
from tameshi.quantity import parse_unit
from tameshi.target.head import Pulse

FloatArray = NDArray[np.float64]
STANDARD_GRAVITY = parse_unit("g0").factor
"""[m/s2]"""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Driven:
    """A free body under a force.

    Parameters
    ----------
    time : (n,) array [s]
    acceleration : (n,) array [m/s2]
    speed : (n,) array [m/s]
    way : (n,) array [m]
    """

    time: FloatArray
    acceleration: FloatArray
    speed: FloatArray
    way: FloatArray


def drive(force: FloatArray, rate: float, mass: float) -> Driven:
    """Return how a free body at rest moves under a recorded force.

    Parameters
    ----------
    force : (n,) array [N]
    rate : float [Hz]
    mass : float [kg]

    Raises
    ------
    WrongUseError
        ``wrong-mass`` where it is not positive.
    """
    if not mass > 0.0:
        raise WrongUseError("wrong-mass", f"A mass of {mass!r} kg cannot be driven.")
    acceleration = np.asarray(force, dtype=np.float64) / mass
    speed = cumulative_trapezoid(acceleration, dx=1.0 / rate, initial=0.0)
    way = cumulative_trapezoid(speed, dx=1.0 / rate, initial=0.0)
    return Driven(time=np.arange(len(acceleration)) / rate, acceleration=acceleration, speed=speed, way=way)


def scaled_pulse(
    force: FloatArray, rate: float, *, force_ratio: float, time_ratio: float, mass: float
) -> Pulse:
    """Return the acceleration of a free head under a recorded force, scaled.

    Parameters
    ----------
    force : (n,) array
        What is below nought is noise and left out. [N]
    rate : float [Hz]
    force_ratio, time_ratio : float
        Peak force and duration over the recorded ones.
    mass : float [kg]

    Returns
    -------
    Pulse
        In multiples of standard gravity.
    """
    scale = force_ratio / (mass * STANDARD_GRAVITY)
    return Pulse(scale * np.maximum(np.asarray(force, dtype=np.float64), 0.0), rate / time_ratio)
