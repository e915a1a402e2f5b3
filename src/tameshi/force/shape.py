"""The figures of one contact: where it starts and ends, its peak, rise, impulse and slope.

Definitions are those of docs/results.md: onset and end are where the force crosses 5 % of its peak,
walking outwards; rise time is from 10 % to 90 % of the peak on the way up; impulse is over the
whole contact, tails included. Averages are as short as the noise allows, so that a clean recording
is hardly smoothed and a noisy one no more than it must be.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tameshi.force.contact import Contact, smooth
from tameshi.force.settings import Settings

FloatArray = NDArray[np.float64]

_RISE = (0.10, 0.90)
_NOISE_AT_CROSSING = 0.01  # of the peak: aim of the averaging before a level is crossed
_LONGEST_AT_CROSSING = 0.08  # of the width at half height: no averaging goes beyond
_PEAK_LEVELS = (0.995, 0.99, 0.98, 0.95, 0.90, 0.85, 0.80)
_FEWEST_FOR_FIT = 5
_LUCK_OF_HIGHEST = 5.0  # standard deviations by which the highest of many samples may stand out
_GRID = np.linspace(-1.0, 1.0, 401)
_NOISE_OF_SLOPE = 0.01
_SLOPE_SHARE_OF_RISE = 0.5
_FEWEST_FOR_SLOPE = 3
_TAIL_REACH = 0.35  # of the contact, on either side
_TAIL_LEVEL = 0.001
_TAIL_NOISE = 1.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """Figures of one contact; times in seconds from the start of the window.

    Parameters
    ----------
    onset, end, peak_time, rise_start, rise_end : float
        [s]
    peak : float
        [N]
    impulse, impulse_to_peak : float
        [N s]
    slope, slope_span : float
        Greatest slope on the way up and the span it is taken over. [N/s], [s]
    onset_slope, end_slope, rise_start_slope, rise_end_slope : float
        Slopes where the levels are crossed, all positive. [N/s]
    crossing_width : int
        Samples averaged before levels are crossed.
    peak_samples : float
        Samples that effectively stand behind the peak.
    peak_time_spread : float
        Standard deviation of the peak's time for a noise of one newton. [s/N]
    peak_spread : float
        How far peaks fitted over different widths disagree. [N]
    tail_start, tail_stop : int
        Range of the impulse, in samples of the window.
    """

    onset: float
    end: float
    peak_time: float
    rise_start: float
    rise_end: float
    peak: float
    impulse: float
    impulse_to_peak: float
    slope: float
    slope_span: float
    onset_slope: float
    end_slope: float
    rise_start_slope: float
    rise_end_slope: float
    crossing_width: int
    peak_samples: float
    peak_time_spread: float
    peak_spread: float
    tail_start: int
    tail_stop: int

    @property
    def duration(self) -> float:
        """From onset to end. [s]"""
        return self.end - self.onset

    @property
    def rise_time(self) -> float:
        """From 10 % to 90 % of the peak. [s]"""
        return self.rise_end - self.rise_start


@dataclass(frozen=True, slots=True)
class Crossing:
    """Where a level is crossed, in samples, and how steeply, in newtons a sample."""

    index: float
    slope: float


@dataclass(frozen=True, slots=True)
class Top:
    """A fitted top: height, place in samples, samples behind the height, spread of place by noise."""

    height: float
    place: float
    backing: float
    place_spread: float


def measure_shape(
    force: FloatArray, rate: float, contact: Contact, sigma: float, settings: Settings
) -> Shape:
    """Return the figures of one contact.

    Parameters
    ----------
    force : (n,) array
        Zeroed force on the plate over a window that holds the contact. [N]
    rate : float
        [Hz]
    contact : Contact
    sigma : float
        Standard deviation of single samples. [N]
    settings : Settings

    Returns
    -------
    Shape
    """
    half_width = _width_at(force, contact, 0.5)
    width = _averaging(sigma, contact.height, half_width)
    averaged = smooth(force, width)
    top, spread = _peak(force, contact, sigma, half_width)
    peak = top.height
    onset = _walk(averaged, contact.first, -1, settings.onset_share * peak)
    end = _walk(averaged, contact.last, 1, settings.onset_share * peak)
    low = _walk(averaged, contact.top, -1, _RISE[0] * peak)
    high = _walk(averaged, contact.top, -1, _RISE[1] * peak)
    lobes = 0 if settings.channel_class is None else math.ceil(rate / settings.channel_class)
    tails = _tails(force, contact, (onset.index, end.index), peak, sigma, lobes)
    slope, span = _greatest_slope(force, rate, contact, low.index, high.index, sigma)
    return Shape(
        onset=onset.index / rate,
        end=end.index / rate,
        peak_time=top.place / rate,
        rise_start=low.index / rate,
        rise_end=high.index / rate,
        peak=peak,
        impulse=_area(force, tails[0], tails[1] - 1) / rate,
        impulse_to_peak=_area(force, tails[0], top.place) / rate,
        slope=slope,
        slope_span=span,
        onset_slope=onset.slope * rate,
        end_slope=end.slope * rate,
        rise_start_slope=low.slope * rate,
        rise_end_slope=high.slope * rate,
        crossing_width=width,
        peak_samples=top.backing,
        peak_time_spread=top.place_spread / rate,
        peak_spread=spread,
        tail_start=tails[0],
        tail_stop=tails[1],
    )


def _width_at(force: FloatArray, contact: Contact, share: float) -> int:
    """Return over how many samples round the top the force stays above a share of it."""
    level = share * contact.height
    start, stop = contact.top, contact.top
    while start > 0 and force[start - 1] > level:
        start -= 1
    while stop < len(force) - 1 and force[stop + 1] > level:
        stop += 1
    return stop - start + 1


def _averaging(sigma: float, height: float, half_width: int) -> int:
    needed = (sigma / (_NOISE_AT_CROSSING * height)) ** 2
    return max(1, int(min(needed, _LONGEST_AT_CROSSING * half_width)))


def _walk(averaged: FloatArray, top: int, direction: int, level: float) -> Crossing:
    """Walk outwards from a top to the first crossing of a level, placed between two samples."""
    index = top
    last = len(averaged) - 1 if direction > 0 else 0
    while index != last and averaged[index] >= level:
        index += direction
    inner, outer = averaged[index - direction], averaged[index]
    step = inner - outer
    share = (inner - level) / step if step > 0.0 else 0.0
    place = (index - direction) + direction * min(1.0, max(0.0, share))
    # a slope over two more samples is steadier than that between neighbours
    before, after = max(0, index - 2), min(len(averaged) - 1, index + 2)
    slope = abs(averaged[after] - averaged[before]) / max(1, after - before)
    return Crossing(float(place), max(float(slope), abs(float(step)) * 0.5, 1e-300))


def _peak(force: FloatArray, contact: Contact, sigma: float, half_width: int) -> tuple[Top, float]:
    """Return the top of a contact and how far fits over different widths disagree on its height.

    Curves are fitted over ever wider tops as long as they agree with the narrower ones within the
    noise; the widest that does is kept, so that noise is averaged but no shape is imposed.
    """
    averaged = smooth(force, max(1, half_width // 15))
    reach = max(1, half_width // 4)
    lower = max(0, contact.top - reach)
    top = lower + int(np.argmax(averaged[lower : contact.top + reach + 1]))
    widths = {_top_width(averaged, top, level) for level in _PEAK_LEVELS}
    highest = _three_points(force, lower + int(np.argmax(force[lower : contact.top + reach + 1])))
    fits, allowed = [highest], [_LUCK_OF_HIGHEST * sigma]
    for start, stop in sorted(widths, key=lambda pair: pair[1] - pair[0]):
        fit = _polynomial(force, start, stop) if stop - start >= _FEWEST_FOR_FIT else None
        if fit is None:
            continue
        if any(abs(fit.height - other.height) > most for other, most in zip(fits, allowed, strict=True)):
            break
        fits.append(fit)
        allowed.append(2.0 * sigma / math.sqrt(fit.backing))
    # the highest sample is high by luck, so it is no second opinion on a fit
    spread = abs(fits[-1].height - fits[-2].height) if len(fits) > 1 + 1 else 0.0
    return fits[-1], spread


def _three_points(force: FloatArray, top: int) -> Top:
    """Return the vertex of the parabola through the highest sample and its neighbours."""
    if not 0 < top < len(force) - 1:
        return Top(float(force[top]), float(top), 1.0, 0.0)
    left, middle, right = (float(value) for value in force[top - 1 : top + 2])
    bend = left - 2.0 * middle + right
    if bend >= 0.0 or middle < max(left, right):
        best = int(np.argmax(force[top - 1 : top + 2]))
        return Top(float(force[top - 1 + best]), float(top - 1 + best), 1.0, 0.0)
    shift = 0.5 * (left - right) / bend
    return Top(middle - 0.25 * (left - right) * shift, top + shift, 1.0, math.sqrt(0.5) / -bend)


def _top_width(centre: FloatArray, top: int, level: float) -> tuple[int, int]:
    start, stop = top, top + 1
    while start > 0 and centre[start - 1] > level * centre[top]:
        start -= 1
    while stop < len(centre) and centre[stop] > level * centre[top]:
        stop += 1
    return start, stop


def _polynomial(force: FloatArray, start: int, stop: int) -> Top | None:
    """Return the vertex of a cubic (a parabola, if samples are few) fitted to a top."""
    count = stop - start
    degree = 3 if count >= 2 * _FEWEST_FOR_FIT else 2
    powers = np.arange(degree + 1)
    x = np.linspace(-1.0, 1.0, count)
    design = x[:, None] ** powers
    inverse = np.linalg.inv(design.T @ design)
    solved = inverse @ (design.T @ force[start:stop])
    curve = _GRID[:, None] ** powers @ solved
    best = int(np.argmax(curve))
    if best in (0, len(_GRID) - 1):
        return None
    at = _GRID[best]
    value = at**powers
    first = powers * at ** np.maximum(powers - 1, 0)
    bend = float((powers * (powers - 1) * at ** np.maximum(powers - 2, 0)) @ solved)
    samples = 0.5 * (count - 1)
    return Top(
        height=float(curve[best]),
        place=start + (at + 1.0) * samples,
        backing=1.0 / float(value @ inverse @ value),
        place_spread=samples * math.sqrt(float(first @ inverse @ first)) / max(abs(bend), 1e-300),
    )


def _tails(
    force: FloatArray, contact: Contact, feet: tuple[float, float], peak: float, sigma: float, lobes: int
) -> tuple[int, int]:
    """Return the range of samples that belongs to the contact, its tails below 5 % included.

    A channel class spreads a pulse and swings below zero round it; ``lobes`` samples on either side
    belong to the pulse then, as far as no other strike is nearer.
    """
    onset, end = feet
    length = end - onset
    width = max(1, int(0.05 * length))
    averaged = smooth(force, width)
    floor = max(_TAIL_LEVEL * peak, _TAIL_NOISE * sigma / math.sqrt(width))
    reach = max(2, math.ceil(_TAIL_REACH * length))
    start = max(0, math.floor(onset))
    stop = min(len(force) - 1, math.ceil(end))
    earliest, latest = max(0, start - reach), min(len(force) - 1, stop + reach)
    while start > earliest and averaged[start] > floor:
        start -= 1
    while stop < latest and averaged[stop] > floor:
        stop += 1
    first, last = contact.room
    start, stop = max(first, start - lobes), min(last - 1, stop + lobes)
    return start, stop + 1


def _area(force: FloatArray, start: int, stop: float) -> float:
    """Return the area under the samples by straight lines, up to a place between two of them."""
    whole = min(math.floor(stop), len(force) - 1)
    area = float(np.trapezoid(force[start : whole + 1]))
    rest = stop - whole
    if rest > 0.0 and whole + 1 < len(force):
        beyond = force[whole] + rest * (force[whole + 1] - force[whole])
        area += 0.5 * rest * float(force[whole] + beyond)
    return area


def _greatest_slope(
    force: FloatArray, rate: float, contact: Contact, low: float, high: float, sigma: float
) -> tuple[float, float]:
    """Return the greatest slope of a line fitted over a span on the way up, and that span.

    The span is as short as keeps the noise of the slope to a hundredth, at most half the rise.
    """
    rise = max(1.0, high - low)
    steepness = (_RISE[1] - _RISE[0]) * contact.height / rise
    needed = (12.0 * (sigma / (_NOISE_OF_SLOPE * steepness)) ** 2) ** (1.0 / 3.0)
    count = max(_FEWEST_FOR_SLOPE, math.ceil(min(max(needed, 0.1 * rise), _SLOPE_SHARE_OF_RISE * rise)))
    start = max(0, math.floor(low - 0.5 * rise) - count)
    stop = min(len(force), math.ceil(high + 0.2 * rise) + count)
    part = force[start:stop]
    if len(part) < count:
        return float(steepness * rate), rise / rate
    ramp = np.arange(count) - 0.5 * (count - 1)
    slopes = np.correlate(part, ramp, mode="valid") / float(ramp @ ramp)
    return float(slopes.max() * rate), (count - 1) / rate
