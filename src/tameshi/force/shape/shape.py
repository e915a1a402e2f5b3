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

from tameshi.force.finding.contact import Contact, smooth
from tameshi.force.settings import Settings
from tameshi.force.shape.crossing import Crossing, walk
from tameshi.force.shape.sharpness import Sharpness, sharpness_of
from tameshi.force.shape.top import find_top
from tameshi.force.signal.outwards import outwards
from tameshi.rig import ring_out

FloatArray = NDArray[np.float64]

RISE = (0.10, 0.90)
_NOISE_AT_CROSSING = 0.01  # of the peak: aim of the averaging before a level is crossed
_CLIMB_AT_CROSSING = 0.1  # of the climb across the average: aim of what noise is left in it
_FLANK = (0.2, 0.8)
_LONGEST_AT_CROSSING = 0.08  # of the width at half height: no averaging goes beyond
_NOISE_OF_SLOPE = 0.01
_SLOPE_SHARE_OF_RISE = 0.5
_FEWEST_FOR_SLOPE = 3
_TAIL_REACH = 0.35  # of the contact, on either side
_TAIL_LEVEL = 0.001
_TAIL_NOISE = 1.5


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Shape:
    """Figures of one contact; times in seconds from the start of the window.

    Parameters
    ----------
    onset_at, end_at, rise_start_at, rise_end_at : Crossing
        Where 5 %, 5 %, 10 % and 90 % of the peak are crossed, in samples of the window.
    rate : float
        [Hz]
    peak_time : float
        [s]
    peak : float
        [N]
    impulse, impulse_to_peak : float
        [N s]
    slope, slope_span : float
        Greatest slope on the way up and the span it is taken over. [N/s], [s]
    crossing_width : int
        Samples averaged before levels are crossed.
    peak_weights : (m,) array
        What each sample round the top has to say in the peak.
    peak_time_weights : (m,) array
        What it has to say in the peak's time. [s/N]
    peak_doubt : float
        How far peaks fitted over different widths disagree. [N]
    peak_time_doubt : float
        How far their places do. [s]
    kinks : float
        Sudden changes of slope, in quadrature. [N a sample]
    sharpness : Sharpness
        Of the two feet.
    tail_start, tail_stop : int
        Range of the impulse, in samples of the window.
    ring_stop : int
        Where the cycle of ringing ends over which the impulse is averaged; ``tail_stop`` where none follows.
    rung : float
        What that cycle added to the impulse. [N s]
    """

    onset_at: Crossing
    end_at: Crossing
    rise_start_at: Crossing
    rise_end_at: Crossing
    rate: float
    peak_time: float
    peak: float
    impulse: float
    impulse_to_peak: float
    slope: float
    slope_span: float
    crossing_width: int
    peak_weights: FloatArray
    peak_time_weights: FloatArray
    peak_doubt: float
    peak_time_doubt: float
    kinks: float
    sharpness: Sharpness
    tail_start: int
    tail_stop: int
    ring_stop: int
    rung: float

    @property
    def onset(self) -> float:
        """Where 5 % of the peak is crossed on the way up. [s]"""
        return self.onset_at.index / self.rate

    @property
    def end(self) -> float:
        """Where 5 % of the peak is crossed on the way down. [s]"""
        return self.end_at.index / self.rate

    @property
    def duration(self) -> float:
        """From onset to end. [s]"""
        return self.end - self.onset

    @property
    def rise_time(self) -> float:
        """From 10 % to 90 % of the peak. [s]"""
        return (self.rise_end_at.index - self.rise_start_at.index) / self.rate


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
    width = _averaging(sigma, contact.height, half_width, _flank(force, contact))
    averaged = smooth(force, width)
    top = find_top(force, contact, sigma, half_width)
    peak = top.height
    foot = settings.onset_share * peak
    feet = (outwards(averaged, contact.first, -1, foot), outwards(averaged, contact.last, 1, foot))
    sharpness = sharpness_of(force, *feet, half_width)
    onset = walk(averaged, contact.first, -1, foot, sharpness.onset)
    end = walk(averaged, contact.last, 1, foot, sharpness.end)
    low = walk(averaged, contact.top, -1, RISE[0] * peak, sharpness.onset)
    high = walk(averaged, contact.top, -1, RISE[1] * peak)
    lobes = 0 if settings.channel_class is None else math.ceil(rate / settings.channel_class)
    tails = _tails(force, contact, (onset.index, end.index), peak, sigma, lobes)
    ringing = ring_out(
        force, tails[1], contact.room[1], length=end.index - onset.index, peak=peak, sigma=sigma
    )
    slope, span = _greatest_slope(force, rate, contact, low.index, high.index, sigma)
    return Shape(
        onset_at=onset,
        end_at=end,
        rise_start_at=low,
        rise_end_at=high,
        rate=rate,
        peak_time=top.place / rate,
        peak=peak,
        impulse=(_area(force, tails[0], tails[1] - 1) + ringing.area) / rate,
        impulse_to_peak=_area(force, tails[0], top.place) / rate,
        slope=slope,
        slope_span=span,
        crossing_width=width,
        peak_weights=top.weights,
        peak_time_weights=top.place_weights / rate,
        peak_doubt=top.height_doubt,
        peak_time_doubt=top.place_doubt / rate,
        kinks=_kinks(force, *tails),
        sharpness=sharpness,
        tail_start=tails[0],
        tail_stop=tails[1],
        ring_stop=ringing.stop,
        rung=ringing.area / rate,
    )


def _width_at(force: FloatArray, contact: Contact, share: float) -> int:
    """Return over how many samples round the top the force stays above a share of it."""
    level = share * contact.height
    before, after = (outwards(force, contact.top, direction, level) for direction in (-1, 1))
    return max(1, after - before - 1)


def _flank(force: FloatArray, contact: Contact) -> float:
    """Return how many samples the shorter flank of the top would take from nought to the top."""
    reached = [
        [abs(outwards(force, contact.top, way, share * contact.height) - contact.top) for share in _FLANK]
        for way in (-1, 1)
    ]
    return max(1, min(low - high for low, high in reached)) / (_FLANK[1] - _FLANK[0])


def _averaging(sigma: float, height: float, half_width: int, flank: float) -> int:
    quiet = (sigma / (_NOISE_AT_CROSSING * height)) ** 2
    # noise that outdoes the climb across an average has a level crossed too early, however small it is
    steady = (sigma * flank / (_CLIMB_AT_CROSSING * height)) ** (2.0 / 3.0)
    return max(1, int(min(max(quiet, steady), _LONGEST_AT_CROSSING * half_width)))


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


def _kinks(force: FloatArray, start: int, stop: int) -> float:
    """Return the sudden changes of slope in a range, in quadrature. [N a sample]"""
    bends = np.diff(force[max(0, start - 2) : stop + 2], 2)
    # the two bends on either side of a kink make up its whole change
    changes = np.abs(bends[1:] + bends[:-1])
    if len(changes) <= 2:  # noqa: PLR2004  no change has a neighbour on either side
        return 0.0
    middle = changes[1:-1]
    return float(np.linalg.norm(middle[(middle >= changes[:-2]) & (middle > changes[2:])]))


def _greatest_slope(
    force: FloatArray, rate: float, contact: Contact, low: float, high: float, sigma: float
) -> tuple[float, float]:
    """Return the greatest slope of a line fitted over a span on the way up, and that span.

    The span is as short as keeps the noise of the slope to a hundredth, at most half the rise.
    """
    rise = max(1.0, high - low)
    steepness = (RISE[1] - RISE[0]) * contact.height / rise
    needed = (12.0 * (sigma / (_NOISE_OF_SLOPE * steepness)) ** 2) ** (1.0 / 3.0)
    count = max(_FEWEST_FOR_SLOPE, math.ceil(min(max(needed, 0.1 * rise), _SLOPE_SHARE_OF_RISE * rise)))
    start = max(0, math.floor(low - 0.5 * rise) - count)
    stop = min(len(force), math.ceil(high + 0.2 * rise) + count)
    part = force[start:stop]
    if len(part) < count:
        return float(steepness * rate), rise / rate
    return steepest(part, count) * rate, (count - 1) / rate


def steepest(force: FloatArray, count: int) -> float:
    """Return the greatest slope of a line fitted to ``count`` neighbouring samples. [N a sample]"""
    ramp = np.arange(count) - 0.5 * (count - 1)
    return float(np.correlate(force, ramp, mode="valid").max() / float(ramp @ ramp))
