"""What a rig would read of an expected strike: through cell, low-pass, end of range and sampler.

The pulse is followed on a fine grid and compared with the truth in peak, rise and impulse. Cell and
low-pass are second-order systems (the low-pass a Butterworth: a rig file does not say more), linear
and without delay of their own making in these figures.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tameshi.rig.planning.expected import ExpectedStrike, force_of_strike
from tameshi.rig.ring_out import ring_out

FloatArray = NDArray[np.float64]

BUTTERWORTH = math.sqrt(0.5)
_FINE = 2000.0  # steps in a contact
_STEPS_IN_RISE = 200.0
_STEPS_IN_PERIOD = 120.0
_TOO_FAST = 1000.0  # cycles in a contact: such a cell or filter changes nothing
_PHASES = 64
_LEVELS = (0.1, 0.9)
_BETWEEN_TWO = 2.0 / 3.0  # variance of a straight line between two samples over theirs, in the mean


@dataclass(frozen=True, slots=True, kw_only=True)
class Effect:
    """What something does to a strike's figures, as shares of the true ones.

    Parameters
    ----------
    peak, rise, impulse : float
    either_way : bool
        True where the size is known and not the sign: noise, the phase of sampling, uncertainty.
    """

    peak: float
    rise: float
    impulse: float
    either_way: bool = False


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Seen:
    """A strike and what a rig reads of it, on one fine grid.

    Parameters
    ----------
    time : (n,) array
        From the first touch. [s]
    force, reading : (n,) array
        On the plate, and as the chain gives it before the converter. [N]
    """

    time: FloatArray
    force: FloatArray
    reading: FloatArray


@dataclass(frozen=True, slots=True)
class _Figures:
    peak: float
    rise: float
    impulse: float


def read_strike(
    strike: ExpectedStrike,
    *,
    cell: tuple[float, float] | None = None,
    low_pass: float | None = None,
    ends_at: float = math.inf,
) -> Seen:
    """Return what a chain reads of a strike.

    Parameters
    ----------
    strike : ExpectedStrike
    cell : (float, float) or None
        Natural frequency [Hz] and damping ratio.
    low_pass : float or None
        Corner of a second-order Butterworth. [Hz]
    ends_at : float
        Where the converter's range ends. [N]

    Notes
    -----
    Convolution with each system's impulse response; checked against closed forms.
    """
    systems = [cell] if cell is not None else []
    systems += [(low_pass, BUTTERWORTH)] if low_pass is not None else []
    systems = [one for one in systems if one[0] * strike.duration < _TOO_FAST]
    step = min(strike.duration / _FINE, strike.rise / _STEPS_IN_RISE)
    step = min([step, *(1.0 / (_STEPS_IN_PERIOD * frequency) for frequency, _ in systems)])
    length = 2.0 * strike.duration + sum(2.0 / frequency for frequency, _ in systems)
    time: FloatArray = np.arange(math.ceil(length / step) + 1, dtype=np.float64) * step
    force = force_of_strike(strike, time)
    reading = force
    for frequency, damping in systems:
        reading = _through(reading, time, frequency, damping)
    return Seen(time=time, force=force, reading=np.minimum(reading, ends_at))


def effect_on(seen: Seen, *, duration: float) -> Effect:
    """Return what lies between a strike and its reading.

    Parameters
    ----------
    seen : Seen
    duration : float
        Of the contact. [s]
    """
    true = _figures(seen.time, seen.force, duration)
    read = _figures(seen.time, seen.reading, duration)
    return _compared(read, true)


def effect_of_sampling(seen: Seen, *, rate: float, duration: float) -> Effect:
    """Return the worst that sampling does to the figures of a reading, over all phases.

    Parameters
    ----------
    seen : Seen
    rate : float
        [Hz]
    duration : float
        Of the contact. [s]

    Notes
    -----
    The highest sample, levels crossed on straight lines between samples, and the trapezoidal rule.
    """
    return _worst(seen, _figures(seen.time, seen.reading, duration), rate, duration)


def effect_of_chain(seen: Seen, *, rate: float, duration: float) -> Effect:
    """Return the worst of a whole chain, sampling included, against the true strike."""
    true = _figures(seen.time, seen.force, duration)
    worst = [_compared(one, true) for one in _sampled(seen, rate, duration)]
    pick = {name: max((getattr(one, name) for one in worst), key=abs) for name in ("peak", "rise", "impulse")}
    return Effect(**pick)


def effect_of_noise(seen: Seen, noise: float, *, rate: float, duration: float) -> Effect:
    """Return what white noise does to the figures, one standard deviation.

    Parameters
    ----------
    seen : Seen
    noise : float
        Standard deviation of a sample. [N]
    rate : float
        [Hz]
    duration : float
        Of the contact. [s]

    Notes
    -----
    A sample at the peak, levels of that peak crossed on straight lines between two samples, their sum. To
    first order; derived.
    """
    true = _figures(seen.time, seen.force, duration)
    low, high = _steepness(seen, true)
    crossing = math.sqrt(_BETWEEN_TWO) * math.hypot(1.0 / low, 1.0 / high)
    of_peak = _LEVELS[1] / high - _LEVELS[0] / low
    return Effect(
        peak=noise / true.peak,
        rise=noise * math.hypot(crossing, of_peak) / true.rise,
        impulse=noise * math.sqrt(duration / rate) / true.impulse,
        either_way=True,
    )


def effect_of_zero(seen: Seen, newtons: float, *, duration: float) -> Effect:
    """Return what a zero that is off by so much does to the figures.

    Parameters
    ----------
    seen : Seen
    newtons : float
        [N]
    duration : float
        Of the contact. [s]
    """
    true = _figures(seen.time, seen.force, duration)
    low, high = _steepness(seen, true)
    moved = (1.0 - _LEVELS[0]) / low - (1.0 - _LEVELS[1]) / high
    return Effect(
        peak=newtons / true.peak,
        rise=newtons * abs(moved) / true.rise,
        impulse=newtons * duration / true.impulse,
        either_way=True,
    )


def samples_of(seen: Seen, rate: float) -> tuple[FloatArray, FloatArray]:
    """Return times [s] and values [N] of samples that miss the peak by half a step."""
    top = float(seen.time[np.argmax(seen.reading)])
    first = (top * rate + 0.5) % 1.0 / rate
    time = np.arange(first, seen.time[-1], 1.0 / rate)
    return time, np.interp(time, seen.time, seen.reading)


def _through(signal: FloatArray, time: FloatArray, frequency: float, damping: float) -> FloatArray:
    natural = 2.0 * math.pi * frequency
    damped = natural * math.sqrt(1.0 - damping**2)
    step = float(time[1])
    # the sum over steps falls short of the integral by this much for slow signals
    step *= 1.0 + (natural * step) ** 2 / 12.0
    response = natural**2 / damped * np.exp(-damping * natural * time) * np.sin(damped * time) * step
    size = 1 << (2 * len(time) - 1).bit_length()
    product = np.fft.rfft(signal, size) * np.fft.rfft(response, size)
    passed: FloatArray = np.fft.irfft(product, size)[: len(time)]
    return passed


def _figures(time: FloatArray, signal: FloatArray, duration: float) -> _Figures:
    """Return peak, 10-90 % rise and impulse, the latter as strikes are measured: freed of ringing."""
    top = int(np.argmax(signal))
    peak = float(signal[top])
    edges = [_time_at(time, signal, level * peak) for level in _LEVELS]
    over = np.flatnonzero((time >= duration) & (signal <= 0.0) & (np.arange(len(time)) > top))
    stop = int(over[0]) + 1 if len(over) else len(time)
    step = float(time[1] - time[0])
    ringing = ring_out(signal, stop, len(signal), length=duration / step, peak=peak)
    impulse = float(np.trapezoid(signal[:stop])) + ringing.area
    return _Figures(peak, edges[1] - edges[0], impulse * step)


def _steepness(seen: Seen, true: _Figures) -> list[float]:
    """Return the slope of the force where 10 % and 90 % of its peak are crossed. [N/s]"""
    slope = np.gradient(seen.force, seen.time)
    return [float(slope[_crossing(seen.force, level * true.peak)]) for level in _LEVELS]


def _crossing(signal: FloatArray, level: float) -> int:
    return max(1, int(np.argmax(signal >= level)))


def _time_at(time: FloatArray, signal: FloatArray, level: float) -> float:
    after = _crossing(signal, level)
    below, above = float(signal[after - 1]), float(signal[after])
    share = (level - below) / (above - below) if above > below else 1.0
    return float(time[after - 1]) + share * float(time[after] - time[after - 1])


def _compared(read: _Figures, true: _Figures) -> Effect:
    return Effect(
        peak=read.peak / true.peak - 1.0,
        rise=read.rise / true.rise - 1.0,
        impulse=read.impulse / true.impulse - 1.0,
    )


def _worst(seen: Seen, true: _Figures, rate: float, duration: float) -> Effect:
    found = [_compared(one, true) for one in _sampled(seen, rate, duration)]
    most = {name: max(abs(getattr(one, name)) for one in found) for name in ("peak", "rise", "impulse")}
    return Effect(**most, either_way=True)


def _sampled(seen: Seen, rate: float, duration: float) -> list[_Figures]:
    """Return the figures that samples give, for evenly spread phases."""
    found = []
    top = float(seen.time[np.argmax(seen.reading)])
    for phase in range(_PHASES):
        # phase 0 puts two samples on either side of the peak: the worst for it
        first = (top * rate + 0.5 + phase / _PHASES) % 1.0 / rate
        time = np.arange(first - 1.0 / rate, seen.time[-1], 1.0 / rate)
        values = np.interp(time, seen.time, seen.reading, left=0.0)
        if values.max() > 0.0:
            found.append(_figures(time, values, duration))
        else:
            found.append(_Figures(0.0, 0.0, 0.0))
    return found
