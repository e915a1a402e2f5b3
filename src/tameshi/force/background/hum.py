"""Mains hum in a recording: found by what its removal leaves, followed in amplitude and phase."""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from tameshi.force.background.line import MEMORY, follow_line
from tameshi.force.signal.centre import centre

FloatArray = NDArray[np.float64]

MAINS = (50.0, 60.0)
"""Mains frequencies of the world. [Hz]"""

HIGHEST_SHARE = 0.4
"""Share of the rate above which a line is not followed."""

_PERIODS = 2.0
_SIGNIFICANCE = 30.0
_QUICK_LOOK = 0.1  # s: whole periods of both mains
_QUICK_CLIP = 6.0


def find_hum(residual: FloatArray, block_rate: float, scale: float) -> tuple[float | None, FloatArray]:
    """Return the mains frequency whose hum stands out, and the hum at every block."""
    duration = len(residual) / block_rate
    candidates = [
        frequency
        for frequency in MAINS
        if frequency < HIGHEST_SHARE * block_rate and duration * frequency >= _PERIODS
    ]
    best, hum, best_scale = None, np.zeros(len(residual)), scale
    possible = [
        frequency
        for frequency in candidates
        if scale > 0.0 and _may_hum(residual, block_rate, frequency, scale)
    ]
    for frequency in possible:
        wave = follow_line(residual, block_rate, frequency, scale)
        left = centre(residual - wave)[1]
        if left < best_scale:
            best, hum, best_scale = frequency, wave, left
    if best is None or not _stands_out(hum, best_scale, block_rate):
        return None, np.zeros(len(residual))
    for frequency in (2.0 * best, 3.0 * best):
        beside = residual - hum
        if frequency < HIGHEST_SHARE * block_rate and _may_hum(beside, block_rate, frequency, best_scale):
            wave = follow_line(beside, block_rate, frequency, best_scale)
            if _stands_out(wave, best_scale, block_rate):
                hum = hum + wave
    return best, hum


def _may_hum(residual: FloatArray, rate: float, frequency: float, scale: float) -> bool:
    """Return whether there may be a line near a frequency at all: a quick look that rules most out.

    Pieces short enough for a line that wanders are averaged each by itself; what they hold of it is
    held against half of what :func:`_stands_out` asks for.
    """
    length = max(1, min(len(residual), round(_QUICK_LOOK * rate)))
    count = len(residual) // length
    part = residual[: count * length]
    # large steps away from a line's own size are strikes; a line itself is never clipped by this
    held = np.clip(part, -_QUICK_CLIP * scale, _QUICK_CLIP * scale).reshape(count, length)
    envelope = np.einsum("ij,kj->ki", held, _waves(length, frequency / rate)) * (2.0 / length)
    memory = min(float(len(residual)), MEMORY * rate)
    power = float(np.sum(envelope**2)) / count
    return power > 0.5 * _SIGNIFICANCE * 4.0 * scale**2 / memory


@lru_cache(maxsize=64)
def _waves(length: int, cycles_a_sample: float) -> FloatArray:
    """Return a cosine and a sine, less what they have of a constant."""
    angle = 2.0 * math.pi * cycles_a_sample * np.arange(length)
    waves = np.stack((np.cos(angle), np.sin(angle)))
    waves -= waves.mean(axis=1, keepdims=True)
    waves.setflags(write=False)
    return waves


def _stands_out(wave: FloatArray, scale: float, rate: float) -> bool:
    """Return whether a line is more than noise of this scale would leave in its average."""
    memory = min(float(len(wave)), MEMORY * rate)
    return bool(2.0 * np.mean(wave**2) > _SIGNIFICANCE * 4.0 * scale**2 / memory)
