"""The force over one contact, cut out of its recording."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tameshi.quantity import Quantity

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Pulse:
    """Force over one contact.

    Parameters
    ----------
    time : (n,) array
        From the onset, rising. [s]
    force : (n,) array
        On the plate, zeroed. [N]
    peak : Quantity
        Peak force. [N]
    noise : float
        Standard deviation of a single sample. [N]
    key : str
        Names the strike, so that errors of its own are known again.
    """

    time: FloatArray
    force: FloatArray
    peak: Quantity
    noise: float
    key: str


def contact_pulse(
    force: NDArray[np.floating],
    *,
    start: float,
    rate: float,
    within: tuple[float, float],
    peak: Quantity,
    noise: float,
    key: str,
) -> Pulse:
    """Return the force from onset to end, both of them samples of their own.

    Parameters
    ----------
    force : (n,) array
        Zeroed force on the plate. [N]
    start : float
        Time of its first sample. [s]
    rate : float
        [Hz]
    within : (float, float)
        Onset and end. [s]
    peak : Quantity
        [N]
    noise : float
        Standard deviation of a single sample. [N]
    key : str
        Names the strike.
    """
    onset, end = within
    values = np.asarray(force, np.float64)
    time = start + np.arange(len(values)) / rate
    inside = (time > onset) & (time < end)
    ends = np.interp([onset, end], time, values)
    moments = np.concatenate(([onset], time[inside], [end])) - onset
    course = np.concatenate((ends[:1], values[inside], ends[1:]))
    return Pulse(time=moments, force=course, peak=peak, noise=noise, key=key)
