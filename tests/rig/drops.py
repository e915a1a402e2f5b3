"""A mass that bounces on the plate, with known momentum: half-sine contacts and free flights between."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from tameshi.reference import row

FloatArray = NDArray[np.float64]
GRAVITY = 9.80665


def bouncing(
    mass: float,
    height: float,
    restitution: float,
    *,
    count: int = 3,
    contact: float = 0.008,
    start: float = 0.3,
) -> tuple[Callable[[FloatArray], FloatArray], list[tuple[float, float, float]]]:
    """Return the force at any time [N] and, for each bounce, onset, end [s] and impulse [N s].

    The mass is caught after the last bounce. Each impulse is m (v_before + v_after) + m g contact.
    """
    met = []
    speed, onset = math.sqrt(2.0 * GRAVITY * height), start
    for _ in range(count):
        after = restitution * speed
        met.append((onset, onset + contact, mass * (speed + after) + mass * GRAVITY * contact))
        onset += contact + 2.0 * after / GRAVITY
        speed = after

    def force(time: FloatArray) -> FloatArray:
        total = np.zeros_like(time)
        for begin, end, impulse in met:
            inside = (time >= begin) & (time < end)
            top = impulse * math.pi / (2.0 * (end - begin))
            total[inside] += top * np.sin(math.pi * (time[inside] - begin) / (end - begin))
        return total

    return force, met


def crossings(begin: float, end: float) -> tuple[float, float]:
    """Return onset and end as a chain has them for a contact whose feet are of the assumed length."""
    share = float(row("drops", "contact")["value"])
    length = (end - begin) / (1.0 + 2.0 * share)
    return begin + share * length, end - share * length
