"""Recordings of taps with known truth: half-sine contacts on a second-order cell, and noise."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from tameshi.demo.chain import second_order

FloatArray = NDArray[np.float64]
_OFFSET = 0.1


def tap_recording(
    natural: float,
    damping: float,
    rate: float,
    *,
    taps: int = 5,
    noise: float = 0.002,
    contact: float | None = None,
    seed: int = 1,
) -> FloatArray:
    """Return readings of taps; the greatest is about one high. ``contact`` in s, ``noise`` a share of it."""
    generator = np.random.default_rng(seed)
    contact = contact or generator.uniform(0.15, 0.6) / natural
    fine = max(1, math.ceil(max(20.0 / contact, 15.0 * natural) / rate))
    apart = min(2.5, max(8.0 / (2.0 * math.pi * natural * damping), 20.0 / natural)) + 0.02
    time = np.arange(round((0.05 + taps * apart) * rate * fine)) / (rate * fine)
    force = np.zeros_like(time)
    for tap in range(taps):
        onset = 0.05 + tap * apart + generator.uniform(0.0, 0.1) * apart
        inside = (time >= onset) & (time < onset + contact)
        force[inside] += generator.uniform(0.5, 1.0) * np.sin(math.pi * (time[inside] - onset) / contact)
    reading = second_order(force, rate * fine, natural, damping)[::fine]
    reading /= np.abs(reading).max()
    return reading + _OFFSET + generator.normal(0.0, noise, len(reading)) if noise else reading + _OFFSET
