"""What a cell that rings on after a contact adds to its impulse, and how to take that off again.

A second-order cell passes on the whole impulse, but only once it has rung out. At any moment before that the
area read so far is off by (y' + 2 zeta wn y) / wn^2, y being the reading: most where the contact ends and the
reading falls through zero, there a hundredth of the impulse at five cycles in a contact. Over a whole cycle
of the ringing this averages out, so the mean of the running area over one cycle stands for the impulse.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

_SWING = 0.01  # of the peak: weaker ringing changes no impulse by more than a thousandth
_CLEAR = 4.0  # standard deviations of the averaged noise
_AVERAGED = 0.02  # of the contact: finer than half a cycle of any ringing worth it
_LONGEST = 0.75  # of the contact: a half cycle that lasts longer is no ringing
_HEIGHTS = (0.25, 1.25)  # of a half cycle over the one before
_LENGTHS = (0.5, 2.0)
_DIPS = 3  # below zero while the plate is still being pushed


@dataclass(frozen=True, slots=True)
class _Swing:
    """One half cycle: where it ends, how many samples it has, and how high it goes."""

    stop: int
    length: int
    height: float


@dataclass(frozen=True, slots=True)
class RingOut:
    """One cycle of ringing after a contact.

    Parameters
    ----------
    stop : int
        One past its last sample; the contact's own end where no cycle stands out.
    area : float
        What it adds to the area up to the end of the contact, so that the mean over the cycle stands.
        [N samples]
    """

    stop: int
    area: float


def ring_out(
    force: FloatArray, stop: int, limit: int, *, length: float, peak: float, sigma: float = 0.0
) -> RingOut:
    """Return the cycle of ringing that follows a contact; an empty one where none stands out.

    Parameters
    ----------
    force : (n,) array
        Zeroed reading. [N]
    stop : int
        One past the last sample of the contact, where the reading is first back at zero.
    limit : int
        One past the last sample to look at.
    length : float
        Of the contact. [samples]
    peak, sigma : float
        Peak of the contact and standard deviation of single samples. [N]

    Notes
    -----
    The mean of a running area over a span is the area under a weight that falls from one to nothing across
    it. Derived from the equation of motion of a second-order system; without damping it is exact.
    """
    width = max(1, int(_AVERAGED * length))
    first, least = stop - 1, max(_SWING * peak, _CLEAR * sigma / math.sqrt(width))
    averaged = _averaged(force[first : min(limit, len(force))], width)
    start = 0
    for _ in range(_DIPS):
        down = _half_cycle(-averaged, start, most=_LONGEST * length)
        up = None if down is None else _half_cycle(averaged, down.stop, most=_LONGEST * length)
        if down is None or up is None or down.height < least:
            break
        if _are_alike(down, up):
            cycle = force[first + start : first + up.stop + 1]
            weight = 1.0 - np.arange(len(cycle)) / (len(cycle) - 1)
            before = float(np.trapezoid(force[first : first + start + 1]))
            return RingOut(first + up.stop + 1, before + float(np.trapezoid(cycle * weight)))
        # the plate was still being pushed: the reading only dipped
        start = up.stop
    return RingOut(stop, 0.0)


def _averaged(signal: FloatArray, width: int) -> FloatArray:
    """Return a signal averaged twice over a width, over less of it near the ends."""
    width = min(width, len(signal))
    if width <= 1:
        return signal
    kernel = np.ones(width)
    count = np.convolve(np.ones(len(signal)), kernel, "same")
    once = np.convolve(signal, kernel, "same") / count
    return np.convolve(once[::-1], kernel, "same")[::-1] / count[::-1]


def _are_alike(one: _Swing, other: _Swing) -> bool:
    """Return whether two half cycles can be neighbours in a decay."""
    heights, lengths = other.height / one.height, other.length / max(1, one.length)
    return _HEIGHTS[0] < heights < _HEIGHTS[1] and _LENGTHS[0] <= lengths <= _LENGTHS[1]


def _half_cycle(signal: FloatArray, start: int, *, most: float) -> _Swing | None:
    """Return the next swing above zero, None where it does not end in time."""
    part = signal[start : start + math.ceil(most) + 2]
    above = np.flatnonzero(part > 0.0)
    if not len(above):
        return None
    over = np.flatnonzero(part[above[0] :] <= 0.0)
    if not len(over):
        return None
    stop = int(above[0] + over[0])
    return _Swing(start + stop, stop, float(part[:stop].max()))
