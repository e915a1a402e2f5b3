"""Mains hum in a recording: found by what its removal leaves, followed in amplitude and phase."""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from tameshi.force.centre import centre

FloatArray = NDArray[np.float64]
ComplexArray = NDArray[np.complex128]

MAINS = (50.0, 60.0)
"""Mains frequencies of the world. [Hz]"""

HIGHEST_SHARE = 0.4
"""Share of the rate above which a line is not followed."""

_CLIP = 4.0
_PASSED = 0.3
_RECORD_FOR_PHASE = 2  # times the memory: a shorter recording tells no frequency
_MAINS_WANDER = 0.5  # Hz
_MEMORY = 0.5
_PERIODS = 2.0
_PASSES = 3
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
    if scale <= 0.0 or not any(_may_hum(residual, block_rate, frequency, scale) for frequency in candidates):
        return None, hum
    for frequency in candidates:
        wave = _followed(residual, block_rate, frequency, scale)
        left = centre(residual - wave)[1]
        if left < best_scale:
            best, hum, best_scale = frequency, wave, left
    if best is None or not _stands_out(hum, best_scale, block_rate):
        return None, np.zeros(len(residual))
    for frequency in (2.0 * best, 3.0 * best):
        if frequency < HIGHEST_SHARE * block_rate:
            wave = _followed(residual - hum, block_rate, frequency, best_scale)
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
    memory = min(float(len(residual)), _MEMORY * rate)
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


def _followed(residual: FloatArray, rate: float, frequency: float, scale: float) -> FloatArray:
    """Return the line at one frequency, its amplitude and phase followed through the recording.

    Strikes are left out of the average; what counts as a strike sharpens as the line is removed.
    """
    wave = np.zeros(len(residual))
    for _ in range(_PASSES):
        # slow drift beside the line is no strike: a share of the line's own size is let pass
        allowed = _CLIP * scale + _PASSED * float(np.sqrt(np.mean(wave**2)))
        quiet = np.abs(residual - wave) < allowed
        envelope = _demodulated(residual, quiet, rate, frequency)
        wave = _modulated(envelope, rate, frequency)
        frequency += _drift_of_phase(envelope, rate)
        scale = centre(residual - wave)[1]
    return wave


def _drift_of_phase(envelope: ComplexArray, rate: float) -> float:
    """Return by how much the line's frequency differs from the one it was followed at. [Hz]"""
    lag = round(_MEMORY * rate)
    if len(envelope) < _RECORD_FOR_PHASE * lag:
        return 0.0
    turned = np.angle(np.sum(envelope[lag:] * np.conj(envelope[:-lag])))
    offset = float(turned) * rate / (2.0 * math.pi * lag)
    return max(-_MAINS_WANDER, min(_MAINS_WANDER, offset))


def _stands_out(wave: FloatArray, scale: float, rate: float) -> bool:
    """Return whether a line is more than noise of this scale would leave in its average."""
    memory = min(float(len(wave)), _MEMORY * rate)
    return bool(2.0 * np.mean(wave**2) > _SIGNIFICANCE * 4.0 * scale**2 / memory)


def _demodulated(
    signal: FloatArray, counted: NDArray[np.bool_], rate: float, frequency: float
) -> ComplexArray:
    """Return the complex amplitude of a line, averaged over half a second round each sample."""
    turning = np.exp(-2j * math.pi * frequency * np.arange(len(signal)) / rate)
    reach = max(1, min(len(signal), round(_MEMORY * rate)) // 2)
    # a window of constant length, shifted inwards at the ends, holds whole periods everywhere
    start = np.clip(np.arange(len(signal)) - reach, 0, max(0, len(signal) - 2 * reach))
    stop = np.minimum(start + 2 * reach, len(signal))

    def within(terms: ComplexArray) -> ComplexArray:
        sums = np.concatenate(([0.0], np.cumsum(np.where(counted, terms, 0.0))))
        summed: ComplexArray = sums[stop] - sums[start]
        return summed

    # least squares for signal = Re(a e^{i w t}) over the counted samples, gaps or none
    mixed, weight, skew = within(2.0 * signal * turning), within(turning**0).real, within(turning**2)
    determinant = np.maximum(weight**2 - np.abs(skew) ** 2, 1.0)
    envelope: ComplexArray = (mixed * weight - np.conj(mixed) * skew) / determinant
    return envelope


def _modulated(envelope: ComplexArray, rate: float, frequency: float) -> FloatArray:
    time = np.arange(len(envelope)) / rate
    wave: FloatArray = (envelope * np.exp(2j * math.pi * frequency * time)).real
    return wave
