"""Follow a line, such as mains hum, through a recording: its amplitude, phase and frequency as they wander.

The signal is turned back by the line's frequency and summed over short segments once; averages over
half a second of them give amplitude and phase, and what these turn by gives the frequency.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from tameshi.force.signal.centre import centre

FloatArray = NDArray[np.float64]
ComplexArray = NDArray[np.complex128]

MEMORY = 0.5
"""Span over which amplitude and phase of a line are averaged. [s]"""

_PASSES = 3
_CLIP = 4.0
_PASSED = 0.3
_SEGMENT = 0.005  # s: far shorter than a line takes to wander
_RECORD_FOR_PHASE = 2  # times the memory: a shorter recording tells no frequency
_MOST_WANDER = 0.5  # Hz


def follow_line(residual: FloatArray, rate: float, frequency: float, scale: float) -> FloatArray:
    """Return the line near one frequency.

    Strikes are left out of the average; what counts as a strike sharpens as the line is removed.

    Parameters
    ----------
    residual : (n,) array
        Signal without its level.
    rate : float
        [Hz]
    frequency : float
        Where to look. [Hz]
    scale : float
        Standard deviation of the quiet signal.

    Returns
    -------
    (n,) array
    """
    length = max(1, round(_SEGMENT * rate))
    count = -(-len(residual) // length)
    carrier = _carrier(count * length, frequency / rate)
    signal = np.concatenate((residual, np.zeros(count * length - len(residual))))
    known = np.arange(count * length) < len(residual)
    middle: FloatArray = (np.arange(count, dtype=np.float64) + 0.5) * length
    turned = 2.0 * signal * carrier
    offset = 0.0  # Hz, of the line from where it was looked for
    wave = np.zeros(len(signal))
    for _ in range(_PASSES):
        # slow drift beside the line is no strike: a share of the line's own size is let pass
        allowed = _CLIP * scale + _PASSED * math.sqrt(float(wave @ wave) / len(residual))
        quiet = known & (np.abs(signal - wave) < allowed)
        spin = np.exp(-2j * math.pi * offset / rate * middle)
        mixed, skew, weight = (
            np.where(quiet, terms, 0.0).reshape(count, length).sum(axis=1)
            for terms in (turned, carrier * carrier, np.ones(len(signal)))
        )
        envelope = _averaged(mixed * spin, skew * spin**2, weight.real, rate / length)
        wave = _modulated(envelope / spin, middle, carrier)
        wave[len(residual) :] = 0.0
        offset += _drift_of_phase(envelope, rate / length)
        scale = centre(residual - wave[: len(residual)])[1]
    return wave[: len(residual)]


@lru_cache(maxsize=16)
def _carrier(count: int, cycles_a_sample: float) -> ComplexArray:
    carrier: ComplexArray = np.exp(-2j * math.pi * cycles_a_sample * np.arange(count))
    carrier.setflags(write=False)
    return carrier


def _averaged(mixed: ComplexArray, skew: ComplexArray, weight: FloatArray, rate: float) -> ComplexArray:
    """Return the complex amplitude of a line, averaged over half a second round each segment."""
    count = len(mixed)
    reach = max(1, min(count, round(MEMORY * rate)) // 2)
    # a window of constant length, shifted inwards at the ends, holds whole periods everywhere
    start = np.clip(np.arange(count) - reach, 0, max(0, count - 2 * reach))
    stop = np.minimum(start + 2 * reach, count)
    within = [np.concatenate(([0.0], np.cumsum(terms))) for terms in (mixed, skew, weight)]
    mixed, skew, counted = (sums[stop] - sums[start] for sums in within)
    # least squares for signal = Re(a e^{i w t}) over the counted samples, gaps or none
    determinant = np.maximum(counted**2 - np.abs(skew) ** 2, 1.0)
    envelope: ComplexArray = (mixed * counted - np.conj(mixed) * skew) / determinant
    return envelope


def _modulated(envelope: ComplexArray, middle: FloatArray, carrier: ComplexArray) -> FloatArray:
    """Return the line itself from its amplitudes at the middles of segments."""
    place = np.arange(len(carrier), dtype=np.float64)
    real, imaginary = (np.interp(place, middle, part) for part in (envelope.real, envelope.imag))
    wave: FloatArray = real * carrier.real + imaginary * carrier.imag
    return wave


def _drift_of_phase(envelope: ComplexArray, rate: float) -> float:
    """Return by how much the line's frequency differs from the one it was followed at. [Hz]"""
    lag = round(MEMORY * rate)
    if len(envelope) < _RECORD_FOR_PHASE * lag:
        return 0.0
    turned = np.angle(np.sum(envelope[lag:] * np.conj(envelope[:-lag])))
    offset = float(turned) * rate / (2.0 * math.pi * lag)
    return max(-_MOST_WANDER, min(_MOST_WANDER, offset))
