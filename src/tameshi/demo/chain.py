"""A simulated measuring chain: force on the plate in, converter samples out.

Second-order cell, amplifier with a low-pass, converter with steps and rails, and what a garage
adds: noise, mains hum, slow drift. Randomness comes in as a generator.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tameshi.rig import Rig

FloatArray = NDArray[np.float64]
FINE_RATE = 200_000.0
LEAST_OVERSAMPLING = 4
_SLOWEST_WANDER = 10.0
_LOW_PASS_DAMPING = math.sqrt(0.5)  # Butterworth, second order


@dataclass(frozen=True, slots=True, kw_only=True)
class Surroundings:
    """What is added to the signal besides the strike, all as force at the plate.

    Parameters
    ----------
    noise : float
        Standard deviation of white noise. [N]
    hum : float
        Amplitude of mains hum. [N]
    hum_frequency : float
        [Hz]
    drift : float
        Slow wander, peak. [N]
    offset : float
        Constant offset. [N]
    """

    noise: float = 0.0
    hum: float = 0.0
    hum_frequency: float = 50.0
    drift: float = 0.0
    offset: float = 0.0


def oversampling(rate: float) -> int:
    """Return how many fine steps to simulate for each sample."""
    return max(LEAST_OVERSAMPLING, math.ceil(FINE_RATE / rate))


def record(
    force: Callable[[FloatArray], FloatArray],
    duration: float,
    rig: Rig,
    surroundings: Surroundings,
    generator: np.random.Generator,
) -> FloatArray:
    """Return the voltages a rig records while a force acts on its plate.

    Parameters
    ----------
    force : callable
        Force at given times, (n,) array [s] to (n,) array [N].
    duration : float
        [s]
    rig : Rig
        Its ratings, natural frequency, low-pass and converter are taken as exactly true.
    surroundings : Surroundings
    generator : numpy Generator

    Returns
    -------
    (n,) array
        Quantised samples. [V]
    """
    finer = oversampling(rig.converter.rate)
    fine_rate = rig.converter.rate * finer
    fine_time = np.arange(round(duration * fine_rate)) / fine_rate
    reading = force(fine_time)
    if rig.cell.natural_frequency is not None:
        damping = rig.cell.damping_ratio or 0.0
        reading = second_order(reading, fine_rate, rig.cell.natural_frequency, damping)
    if rig.amplifier.low_pass is not None:
        reading = second_order(reading, fine_rate, rig.amplifier.low_pass, _LOW_PASS_DAMPING)
    sampled = reading[::finer] + _surrounding(len(reading[::finer]), rig, surroundings, generator)
    return quantise(sampled * rig.rated_sensitivity, rig)


def second_order(
    signal: FloatArray, rate: float, natural_frequency: float, damping_ratio: float
) -> FloatArray:
    """Return the response of a second-order system, exact for a signal linear between samples."""
    from scipy.signal import cont2discrete, lfilter  # noqa: PLC0415  1 s that other commands need not pay

    wn = 2.0 * math.pi * natural_frequency
    system = ([wn * wn], [1.0, 2.0 * damping_ratio * wn, wn * wn])
    numerator, denominator, _ = cont2discrete(system, 1.0 / rate, method="foh")
    response: FloatArray = lfilter(numerator.ravel(), denominator, signal)
    return response


def quantise(voltage: FloatArray, rig: Rig) -> FloatArray:
    """Return what the converter makes of a voltage: whole steps between its rails."""
    low, _ = rig.converter.span
    step = rig.converter.step
    codes = np.clip(np.round((voltage - low) / step), 0, 2**rig.converter.bits - 1)
    held: FloatArray = low + codes * step
    return held


def _surrounding(
    count: int, rig: Rig, surroundings: Surroundings, generator: np.random.Generator
) -> FloatArray:
    time = np.arange(count) / rig.converter.rate
    phase = generator.uniform(0.0, 2.0 * math.pi, 3)
    hum = surroundings.hum * np.sin(2.0 * math.pi * surroundings.hum_frequency * time + phase[0])
    length = max(time[-1], _SLOWEST_WANDER)
    wander = np.sin(2.0 * math.pi * 0.7 * time / length + phase[1]) + 0.4 * np.sin(
        2.0 * math.pi * 2.3 * time / length + phase[2]
    )
    noise = generator.normal(0.0, surroundings.noise, count) if surroundings.noise else 0.0
    total: FloatArray = surroundings.offset + noise + hum + surroundings.drift * wander / 1.4
    return total
