"""What a mounted cell does to a short pulse, and how to undo it.

Cell and striking plate form a second-order system: they follow slow forces, overshoot fast ones
and ring on afterwards at their natural frequency. The same model, run backwards under a low-pass,
recovers the force on the plate from the reading.
"""

from __future__ import annotations

import math
from typing import Literal

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
ComplexArray = NDArray[np.complex128]
PulseShape = Literal["half-sine", "haversine"]

_POINTS = 8_001
_NOISE_POINTS = 1_025
_DURATIONS_WATCHED = 3.0
_PERIODS_WATCHED = 2.0
_PERIODS_REFLECTED = 4.0
# an undamped cell driven at its own frequency has no steady response; this much damping gives it
# one and changes no peak by more than 1e-7
_LEAST_DAMPING = 1e-8
LOW_PASS_ORDER = 4
_HALF_POWER = 0.5 * math.log(2.0)


def cell_response(frequency: FloatArray, natural_frequency: float, damping_ratio: float) -> ComplexArray:
    """Return the complex frequency response of a second-order cell, one at zero frequency.

    Parameters
    ----------
    frequency : (n,) array
        [Hz]
    natural_frequency : float
        [Hz]
    damping_ratio : float

    Notes
    -----
    x'' + 2 zeta wn x' + wn^2 x = wn^2 F. Source: any text on single-degree-of-freedom vibration;
    common practice.
    """
    relative = frequency / natural_frequency
    return np.asarray(1.0 / (1.0 - relative**2 + 2j * damping_ratio * relative), dtype=np.complex128)


def peak_ratio(cycles: float, damping_ratio: float = 0.0, *, shape: PulseShape = "half-sine") -> float:
    """Return peak reading over true peak for a pulse on a second-order cell.

    Parameters
    ----------
    cycles : float
        Natural frequency times pulse duration.
    damping_ratio : float
        Below 1.
    shape : "half-sine" or "haversine"

    Returns
    -------
    float
        Greatest reading, during the pulse or after it, over the greatest force.

    Notes
    -----
    Closed form of the forced response and the free decay after it, searched on a fine grid.
    Derived; the undamped half-sine reproduces pi/2 at 0.5 and sqrt 3 at 1.
    """
    reading = pulse_reading(cycles, damping_ratio, shape=shape)[1]
    top = int(np.argmax(reading))
    left, middle, right = reading[max(0, top - 1)], reading[top], reading[min(top + 1, len(reading) - 1)]
    bend = left - 2.0 * middle + right
    return float(middle - 0.125 * (left - right) ** 2 / bend) if bend < 0.0 else float(middle)


def pulse_reading(
    cycles: float, damping_ratio: float = 0.0, *, shape: PulseShape = "half-sine"
) -> tuple[FloatArray, FloatArray]:
    """Return time (in pulse durations) and the reading of a unit pulse on a second-order cell.

    Parameters
    ----------
    cycles, damping_ratio, shape
        As for :func:`peak_ratio`.

    Returns
    -------
    (n,) array, (n,) array
        Time from the start of the pulse over its duration, up to three durations or two periods of
        the cell after its end; reading over true peak.
    """
    natural = 2.0 * math.pi * cycles
    damping_ratio = max(damping_ratio, _LEAST_DAMPING)
    waves = ((0.5, 0.0), (-0.5, 2.0 * math.pi)) if shape == "haversine" else ((-1j, math.pi),)
    during = np.linspace(0.0, 1.0, _POINTS)
    forced, forced_speed = _forced(during, waves, natural, damping_ratio)
    free, free_speed = _free(during, -forced[0], -forced_speed[0], natural, damping_ratio)
    reading, speed = forced + free, forced_speed + free_speed
    after = np.linspace(0.0, max(_DURATIONS_WATCHED, _PERIODS_WATCHED / cycles), _POINTS)
    ringing, _ = _free(after, reading[-1], speed[-1], natural, damping_ratio)
    return np.concatenate((during, 1.0 + after)), np.concatenate((reading, ringing))


def recover_force(
    reading: FloatArray, rate: float, natural_frequency: float, damping_ratio: float, cutoff: float
) -> FloatArray:
    """Return the force on the plate from the reading of a second-order cell.

    Parameters
    ----------
    reading : (n,) array
        Zeroed force reading. Beyond its ends it is taken to go on as it came, turned about the end.
    rate : float
        [Hz]
    natural_frequency, damping_ratio : float
        Of the mounted cell.
    cutoff : float
        Corner of the low-pass that keeps the inverse from lifting noise. [Hz]

    Returns
    -------
    (n,) array
        Force, same unit as the reading, without delay.

    Notes
    -----
    Division by the cell's frequency response under a phaseless low-pass exp(-(f/fc)^4 ln(2)/2),
    which is 3 dB down at fc and rings next to nothing. Source:
    deconvolution with regularisation as in S. Eichstaedt et al., Metrologia 47 (2010) 522-533
    (value from memory).
    """
    reach = min(len(reading) - 1, math.ceil(_PERIODS_REFLECTED * rate / natural_frequency))
    extended = _reflected(reading, reach)
    padded = _quick_length(2 * len(extended))  # room for the response to fade instead of wrapping round
    frequency = np.asarray(np.fft.rfftfreq(padded, 1.0 / rate), dtype=np.float64)
    spectrum = np.fft.rfft(extended, padded)
    spectrum *= low_pass(frequency, cutoff) / cell_response(frequency, natural_frequency, damping_ratio)
    recovered: FloatArray = np.fft.irfft(spectrum, padded)[reach : reach + len(reading)]
    return recovered


def _quick_length(least: int) -> int:
    """Return a length no shorter that a Fourier transform is quick at: 2^n, 3/2 of it, or 5/4 of it."""
    power = 1 << max(3, (least - 1).bit_length())
    return next(length for length in (5 * power // 8, 3 * power // 4, power) if length >= least)


def noise_gain(rate: float, natural_frequency: float, damping_ratio: float, cutoff: float) -> float:
    """Return by how much :func:`recover_force` multiplies the rms of white noise."""
    frequency: FloatArray = np.linspace(0.0, 0.5 * rate, _NOISE_POINTS).astype(np.float64)
    response = np.abs(cell_response(frequency, natural_frequency, damping_ratio))
    gain = low_pass(frequency, cutoff) / response
    return math.sqrt(float(np.mean(gain**2)))


def low_pass(frequency: FloatArray, cutoff: float) -> FloatArray:
    """Return the gain of the phaseless low-pass used with the inverse."""
    gain: FloatArray = np.exp(-(_HALF_POWER * (frequency / cutoff) ** LOW_PASS_ORDER))
    return gain


def _reflected(signal: FloatArray, reach: int) -> FloatArray:
    """Return a signal with both ends turned about themselves, so that no step stands at either."""
    if reach < 1:
        return signal
    head = 2.0 * signal[0] - signal[reach:0:-1]
    tail = 2.0 * signal[-1] - signal[-2 : -reach - 2 : -1]
    return np.concatenate((head, signal, tail))


def _forced(
    time: FloatArray, waves: tuple[tuple[complex, float], ...], natural: float, damping_ratio: float
) -> tuple[FloatArray, FloatArray]:
    """Return position and speed of the steady response to a sum of waves."""
    position = np.zeros(len(time), dtype=np.complex128)
    speed = np.zeros(len(time), dtype=np.complex128)
    for amplitude, angular in waves:
        gain = 1.0 / (1.0 - (angular / natural) ** 2 + 2j * damping_ratio * angular / natural)
        wave = amplitude * gain * np.exp(1j * angular * time)
        position += wave
        speed += 1j * angular * wave
    return position.real, speed.real


def _free(
    time: FloatArray, position: float, speed: float, natural: float, damping_ratio: float
) -> tuple[FloatArray, FloatArray]:
    """Return position and speed of a free decay from a given state."""
    decay, damped = damping_ratio * natural, natural * math.sqrt(1.0 - damping_ratio**2)
    envelope = np.exp(-decay * time)
    cosine, sine = np.cos(damped * time), np.sin(damped * time)
    across = (speed + decay * position) / damped
    moved = envelope * (position * cosine + across * sine)
    moving = envelope * damped * (across * cosine - position * sine) - decay * moved
    return moved, moving
