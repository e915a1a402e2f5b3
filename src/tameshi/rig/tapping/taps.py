"""Find taps in a recording, and for each the stretch in which nothing touches the plate any more.

A tap is a sudden growth of the swing; it ends where the next one starts or the noise is reached. The
contact itself is dropped: it lasts at most until the reading first comes back through zero, half a
cycle more is left out, and the fit then leaves out what it still finds disturbed.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import UnmeasurableError
from tameshi.reference import row

FloatArray = NDArray[np.float64]

_LONGEST = 3.0  # s: a cell that rings on longer is not one to measure strikes with
_SLOWEST = 4.0  # cycles in the stretch looked at: slower is drift
_QUIET = 0.05  # s before a tap, from which its zero is taken
_PADDED = 4
_MAD_OF_NORMAL = 1.4826
_LEAST_NOISE = 1e-7  # of the greatest reading, where a recording has none
_BLOCKS_LOOKED_BACK = 3


@dataclass(frozen=True, slots=True)
class Tap:
    """One tap.

    Parameters
    ----------
    peak : int
        Sample of its greatest reading.
    start : int
        First sample at which nothing should touch the plate any more.
    stop : int
        One past the last sample that is its own.
    zero : float
        Reading before it.
    """

    peak: int
    start: int
    stop: int
    zero: float


def noise_of(samples: FloatArray) -> float:
    """Return the standard deviation of a sample's noise, told from neighbouring differences."""
    steps = np.diff(samples)
    noise = float(np.median(np.abs(steps - np.median(steps)))) * _MAD_OF_NORMAL / math.sqrt(2.0)
    moved = np.abs(steps[steps != 0.0])
    step = float(moved.min()) / math.sqrt(12.0) if len(moved) else 0.0
    return max(noise, min(step, float(np.std(steps))), _LEAST_NOISE * float(np.ptp(samples)))


def find_taps(samples: FloatArray, rate: float) -> tuple[list[Tap], float]:
    """Return the taps of a recording in order of time, and the coarse frequency of their ringing.

    Parameters
    ----------
    samples : (n,) array
        In any unit, without gaps.
    rate : float
        [Hz]

    Returns
    -------
    list of Tap, float
        Frequency in Hz.

    Raises
    ------
    UnmeasurableError
        ``no-taps`` where nothing stands clear of the noise, or nothing rings.
    """
    noise = noise_of(samples)
    swing = samples - float(np.median(samples))
    top = int(np.argmax(np.abs(swing)))
    limits = row("tap_limits", "height")
    if abs(swing[top]) < limits["noise"] * noise or noise == 0.0:
        raise _no_taps("Nothing in the recording stands clear of its noise: no tap was found.")
    frequency = _coarse_frequency(swing[top : top + round(_LONGEST * rate)], rate, noise)
    size = max(1, round(0.5 * rate / frequency))
    heights = _block_heights(swing, size)
    least = max(limits["value"] * abs(swing[top]), limits["noise"] * noise)
    starts = _onsets(heights, least)
    ends = [*(start * size for start in starts[1:]), len(swing)]
    found = [
        _tap(swing, start * size, end, size, rate)
        for start, end in zip((start for start in starts), ends, strict=True)
    ]
    taps = [tap for tap in found if tap.stop - tap.start > 2 * size * row("tap_limits", "cycles")["least"]]
    if not taps:
        raise _no_taps("Something hit the plate, but no ringing follows that could be measured.")
    return taps, frequency


def coarse_spectrum(signal: FloatArray, rate: float) -> tuple[FloatArray, FloatArray]:
    """Return frequencies [Hz] and the amplitude of a stretch, padded so that a line's top is seen."""
    count = _PADDED * (1 << (len(signal) - 1).bit_length())
    amplitude: FloatArray = np.abs(np.fft.rfft(signal - signal.mean(), count)) * 2.0 / len(signal)
    return np.asarray(np.fft.rfftfreq(count, 1.0 / rate), dtype=np.float64), amplitude


def _coarse_frequency(stretch: FloatArray, rate: float, noise: float) -> float:
    """Return the frequency that stands out most after the greatest reading."""
    free = stretch[_first_return(stretch) :]
    loud = np.flatnonzero(np.abs(free) > row("tap_limits", "height")["noise"] * noise)
    if len(loud) < 2:  # noqa: PLR2004  a swing there and back
        raise _no_taps("Something hit the plate, but no ringing follows that could be measured.")
    free = free[: min(len(free), 2 * int(loud[-1]) + 8)]
    frequency, amplitude = coarse_spectrum(free, rate)
    seen = frequency > _SLOWEST * rate / max(len(stretch), 1)
    seen &= frequency > 0.5 * rate / len(free)
    return float(frequency[seen][np.argmax(amplitude[seen])])


def _first_return(stretch: FloatArray) -> int:
    """Return where a reading that starts at its greatest first comes back through zero."""
    through = np.flatnonzero(stretch * np.sign(stretch[0]) <= 0.0)
    return int(through[0]) if len(through) else 0


def _block_heights(swing: FloatArray, size: int) -> FloatArray:
    whole = len(swing) // size * size
    heights: FloatArray = np.abs(swing[:whole]).reshape(-1, size).max(axis=1)
    return heights


def _onsets(heights: FloatArray, least: float) -> list[int]:
    """Return the blocks in which the swing suddenly grows."""
    before = np.zeros_like(heights)
    for back in range(1, _BLOCKS_LOOKED_BACK + 1):
        before[back:] = np.maximum(before[back:], heights[:-back])
    jumps = np.flatnonzero((heights > least) & (heights > row("tap_limits", "rise")["value"] * before))
    # a tap grows over a block or two; its first one counts
    return [int(jump) for place, jump in enumerate(jumps) if place == 0 or jump - jumps[place - 1] > 1]


def _tap(swing: FloatArray, start: int, end: int, size: int, rate: float) -> Tap:
    """Return the tap that starts in a block, with the stretch that is its own."""
    quiet = swing[max(0, start - max(size, round(_QUIET * rate))) : max(1, start - size)]
    zero = float(np.median(quiet)) if len(quiet) else 0.0
    end = min(end, start + round(_LONGEST * rate)) - (size if end < len(swing) else 0)
    own = swing[start : max(end, start + 1)] - zero
    peak = int(np.argmax(np.abs(own)))
    free = start + peak + _first_return(own[peak:]) + size
    return Tap(peak=start + peak, start=free, stop=end, zero=zero)


def _no_taps(message: str) -> UnmeasurableError:
    return UnmeasurableError(
        "no-taps",
        message,
        hint="Tap the bare plate sharply with something small and hard, let it ring out, and tap again; "
        "five taps or more. Keep fingers from between plate and frame.",
    )
