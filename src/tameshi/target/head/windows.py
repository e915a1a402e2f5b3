"""Head injury criterion: the window of a pulse whose mean acceleration and length weigh most.

HIC is the greatest (t2 - t1) [mean of a over (t1, t2)]^2.5 over all windows up to a length. Source: 49 CFR
571.208.

The search divides the plane of (t1, t2) into squares and throws away those that cannot hold anything better
than what was found, then quarters the rest. With V the integral of a, D = V(t2) - V(t1) and w = t2 - t1, a
window beats F where D > F^0.4 w^0.6. The right side bends downwards in w, so that its chord over a square
lies below it, and D less the chord falls into a part of t1 and a part of t2, each bounded from its values at
the ends and the range of a between them. The bound misses by the square of the size only, so that few squares
are left at each size. The result is exact: nothing better is thrown away.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import WrongUseError
from tameshi.target.head.pulse import FloatArray, Pulse

IntArray = NDArray[np.int64]
Ends = Literal["anywhere", "samples"]
RELATIVE = 1e-10
"""What of the greatest value the search may miss, relative."""

_TRIED = 24
_FINEST = 40  # quarterings of a square below one sample


@dataclass(frozen=True, slots=True)
class Window:
    """The window that gives a criterion.

    Parameters
    ----------
    value : float
        The criterion. [s, with accelerations in g0]
    start, end : float
        Of the window, from the first sample. [s]
    """

    value: float
    start: float
    end: float


@dataclass(frozen=True, slots=True)
class _Line:
    """A pulse in steps: values at both ends of each, their integral, and the least and greatest by blocks."""

    left: FloatArray
    right: FloatArray
    integral: FloatArray
    least: tuple[FloatArray, ...]
    most: tuple[FloatArray, ...]

    def at(self, place: FloatArray) -> FloatArray:
        """Return the integral up to places. [g0 steps]"""
        step = np.minimum(place.astype(np.int64), len(self.left) - 1)
        into = place - step
        left = self.left[step]
        total: FloatArray = self.integral[step] + into * (left + 0.5 * into * (self.right[step] - left))
        return total

    def span(self, block: IntArray, level: int) -> tuple[FloatArray, FloatArray]:
        """Return least and greatest acceleration in blocks of 2^level steps."""
        if level >= 0:
            return self.least[level][block], self.most[level][block]
        step = block >> -level
        into = (block - (step << -level)) * 2.0**level
        left, rise = self.left[step], self.right[step] - self.left[step]
        first, last = left + into * rise, left + (into + 2.0**level) * rise
        return np.minimum(first, last), np.maximum(first, last)


def injury_criterion(pulse: Pulse, longest: float, *, ends: Ends = "anywhere") -> Window:
    """Return the head injury criterion of a pulse.

    Parameters
    ----------
    pulse : Pulse
    longest : float
        Longest window: 0.015 or 0.036 in the regulation. [s]
    ends : "anywhere" or "samples"
        Whether a window may begin and end between samples, where the pulse runs straight, or on samples only,
        as most tables of the trade have it.

    Returns
    -------
    Window
        Zero where no stretch has a positive mean.

    Raises
    ------
    WrongUseError
        ``wrong-window`` where its length is not a positive number.
    """
    if not (np.isfinite(longest) and longest > 0.0):
        raise WrongUseError("wrong-window", f"A window of {longest!r} s is impossible.")
    line = _line(pulse.acceleration)
    limit = min(longest * pulse.rate, float(len(line.left)))
    if ends == "samples":
        limit = float(np.floor(limit * (1.0 + 1e-12)))
    best = _tried(line, limit, whole=ends == "samples")
    if limit > 0.0 and pulse.acceleration.max() > 0.0:
        best = _search(line, limit, best, ends)
    return Window(best[0] * pulse.step, best[1] * pulse.step, best[2] * pulse.step)


def _line(samples: FloatArray) -> _Line:
    steps = len(samples) - 1
    top = max(0, int(np.ceil(np.log2(steps))))
    left, right = np.zeros(1 << top), np.zeros(1 << top)
    left[:steps], right[:steps] = samples[:-1], samples[1:]
    integral = np.concatenate(([0.0], np.cumsum(0.5 * (left + right))))
    least, most = [np.minimum(left, right)], [np.maximum(left, right)]
    for _ in range(top):
        least.append(np.minimum(least[-1][::2], least[-1][1::2]))
        most.append(np.maximum(most[-1][::2], most[-1][1::2]))
    return _Line(left, right, integral, tuple(least), tuple(most))


Best = tuple[float, float, float]


def _value(total: FloatArray, width: FloatArray) -> FloatArray:
    """Return the criterion of windows from integral and width, nought where either is not positive."""
    total, width = np.maximum(total, 0.0), np.where(width > 0.0, width, np.inf)
    mean = total / width
    value: FloatArray = total * mean * np.sqrt(mean)
    return value


def _tried(line: _Line, limit: float, *, whole: bool) -> Best:
    """Return the best window of some lengths: a good start throws most squares away."""
    count = len(line.left)
    best = (0.0, 0.0, 0.0)
    lengths = np.unique(np.geomspace(1.0, max(1.0, limit), _TRIED).astype(np.int64))
    for length in (int(one) for one in lengths if one <= limit):
        total = line.integral[length:] - line.integral[: count + 1 - length]
        start = int(np.argmax(total))
        value = float(_value(total[start : start + 1], np.array([float(length)]))[0])
        if value > best[0]:
            best = (value, float(start), float(start + length))
    if best[0] == 0.0 and not whole:  # a window shorter than a step: the steepest place there is
        place = np.arange(count, dtype=np.float64)
        best = _better(best, line, place, place + limit, limit)
    return best


def _better(best: Best, line: _Line, start: FloatArray, end: FloatArray, limit: float) -> Best:
    """Return the better of what was found and some windows."""
    inside = (start >= 0.0) & (end <= len(line.left)) & (end > start) & (end - start <= limit * (1.0 + 1e-13))
    start, end = start[inside], end[inside]
    if not len(start):
        return best
    values = _value(line.at(end) - line.at(start), end - start)
    place = int(np.argmax(values))
    if values[place] > best[0]:
        return float(values[place]), float(start[place]), float(end[place])
    return best


def _search(line: _Line, limit: float, best: Best, ends: Ends) -> Best:
    """Return the best window of all, by squares of half the size each time."""
    level = len(line.least) - 1
    first = np.zeros(1, dtype=np.int64)
    last = np.zeros(1, dtype=np.int64)
    lowest = 0 if ends == "samples" else -_FINEST
    while True:
        size = 2.0**level
        start, end = _places(first, size), _places(last, size)
        for into in (0.0, size):
            for onto in (0.0, size):
                best = _better(best, line, start + into, end + onto, limit)
            if ends == "anywhere":
                best = _better(best, line, start + into, start + into + limit, limit)
                best = _better(best, line, end + into - limit, end + into, limit)
        keep = _can_hold_more(line, first, last, level, limit, best[0] * (1.0 + RELATIVE))
        first, last = first[keep], last[keep]
        if level == lowest or not len(first):
            return best
        level -= 1
        first, last = _quartered(first, last)


def _places(block: IntArray, size: float) -> FloatArray:
    """Return where blocks begin. [steps]"""
    return np.asarray(size * block, dtype=np.float64)


def _quartered(first: IntArray, last: IntArray) -> tuple[IntArray, IntArray]:
    """Return the squares of half the size, those left out whose windows would run backwards."""
    starts = np.concatenate((2 * first, 2 * first, 2 * first + 1, 2 * first + 1))
    ends = np.concatenate((2 * last, 2 * last + 1, 2 * last, 2 * last + 1))
    forwards = starts <= ends
    return starts[forwards], ends[forwards]


def _can_hold_more(
    line: _Line, first: IntArray, last: IntArray, level: int, limit: float, value: float
) -> NDArray[np.bool_]:
    """Return which squares may hold a window with a greater value."""
    size = 2.0**level
    start, end = _places(first, size), _places(last, size)
    narrowest = np.maximum(end - start - size, 0.0)
    widest = np.minimum(end - start + size, limit)
    fits = narrowest < limit * (1.0 - 1e-13)
    low_1, high_1 = line.span(first, level)
    low_2, high_2 = line.span(last, level)
    v_1, v_2 = (line.at(start), line.at(start + size)), (line.at(end), line.at(end + size))

    root = value**0.4
    at_narrowest = root * narrowest**0.6
    slope = (root * widest**0.6 - at_narrowest) / np.where(fits, widest - narrowest, 1.0)
    lift = at_narrowest - slope * narrowest
    # where the longest window cuts the square, a steeper line through it bounds better
    is_cut = end - start + size > limit
    middle = 0.5 * (v_1[1] - v_1[0] + v_2[1] - v_2[0]) / size
    steeper = np.where(is_cut, np.maximum(slope, middle), slope)
    lift -= (steeper - slope) * limit
    # places are counted from the square's own start, or digits would be lost
    of_end = _top(v_2[0] - v_1[1], v_2[1] - v_1[1] - steeper * size, high_2 - steeper, steeper - low_2, size)
    of_start = _top(
        v_1[1] - v_1[0] - steeper * size, np.zeros(len(v_1[0])), steeper - low_1, high_1 - steeper, size
    )
    most = of_end + of_start - steeper * (end - start - size)
    spacious = np.where(first == last, widest * np.maximum(high_1, 0.0) ** 2.5 > value, most > lift)
    return fits & spacious


def _top(left: FloatArray, right: FloatArray, up: FloatArray, down: FloatArray, size: float) -> FloatArray:
    """Return how high a curve can get between two ends that climbs and falls no faster than that."""
    tent = (down * left + up * right + up * down * size) / np.where(up + down > 0.0, up + down, 1.0)
    peaked = np.where((up > 0.0) & (down > 0.0), tent, -np.inf)
    return np.maximum(np.maximum(left, right), peaked)
