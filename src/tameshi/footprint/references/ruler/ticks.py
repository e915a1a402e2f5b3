"""The row of ticks along a ruler's edge: found as a strip of even stripes, then tick by tick."""

from dataclasses import dataclass

import cv2
import numpy as np

from tameshi.footprint.picture.arrays import FloatArray, Picture
from tameshi.footprint.picture.light import ENCODED
from tameshi.footprint.picture.view import View
from tameshi.footprint.references.ruler.following import followed
from tameshi.footprint.references.ruler.profile import darkness_along, sampled
from tameshi.footprint.references.ruler.row import RowFit
from tameshi.footprint.references.ruler.seed import Stripes, find_stripes
from tameshi.footprint.references.ruler.splay import Splay, find_splay
from tameshi.footprint.references.ruler.strips import Strip, strips_of

_SEEDS = 10
_BEYOND, _FARTHEST = 5.0, 4000.0  # times the strip, and pixels from its middle: so far ticks are followed
_ASIDE = 16.0  # pitches looked at to either side of the row
_OF_PEAK = 0.5
_LOOKS = 3  # times ticks are looked at, each time along the way they were found to lean
_SHORTEST_END = 0.35  # share of the ticks that end: on no scale are fewer of the shortest
_LEAST_LINE = 0.5  # pitches: what is shorter, however it leans, is no tick
_SHORTEST_TICK = 1.2  # pitches: on no scale are ticks shorter
_BAND = (0.35, 1.1)  # pitches beyond the short ticks: only longer ticks are dark there
_CLEAR, _CLEARER = 0.25, 2.0  # of a tick's darkness; times the other pattern


@dataclass(frozen=True, slots=True)
class Row:
    """A row of ticks.

    Parameters
    ----------
    fit : RowFit
        Where tick number n is along the row.
    start, along, aside : (2,) arrays
        A point of the row's middle line, the unit way along it, and the unit way along the ticks towards
        where they all end: off the ruler. In pixels.
    numbers : (n,) array
        Of the ticks that were found.
    base : float
        How far aside of the middle line all ticks end, in pixels.
    pitch : float
        Usual pitch, in pixels.
    fives, twos : float
        How much farther every fifth, every second tick reaches: as shares of a tick's darkness.
    short : float
        Length of the shortest ticks, in pitches.
    splay : Splay or None
        None where too few ticks show on both lines.
    """

    fit: RowFit
    start: FloatArray
    along: FloatArray
    aside: FloatArray
    numbers: FloatArray
    base: float
    pitch: float
    fives: float
    twos: float
    short: float
    splay: Splay | None

    @property
    def is_metric(self) -> bool:
        """Whether every fifth tick is longer, as on a millimetre scale."""
        return self.fives > _CLEAR and self.fives > _CLEARER * self.twos

    @property
    def is_inch(self) -> bool:
        """Whether every second tick is longer, as on a scale of sixteenths of an inch."""
        return self.twos > _CLEAR and self.twos > _CLEARER * self.fives


def find_rows(view: View) -> tuple[Row, ...]:
    """Return the rows of ticks in a picture, the one with most ticks first; the same row only once.

    Parameters
    ----------
    view : View
    """
    level = np.asarray(cv2.LUT(view.grey, ENCODED), np.float32)
    rows: list[Row] = []
    for stripes in find_stripes(view.grey)[:_SEEDS]:
        for strip in strips_of(stripes):
            if any(_lies_on(strip.middle, row) for row in rows):
                continue
            row = _row(level, stripes, strip)
            if row is not None:
                rows.append(row)
    return tuple(sorted(rows, key=lambda row: -len(row.numbers)))


def _lies_on(place: FloatArray, row: Row) -> bool:
    away = place - row.start
    return bool(abs(away[0] * row.along[1] - away[1] * row.along[0]) < 6.0 * row.pitch)


def _row(level: Picture, stripes: Stripes, strip: Strip) -> Row | None:
    """Follow stripes along their strip, tick by tick."""
    start, along = strip.middle, strip.along
    tick = np.array([-stripes.wave[1], stripes.wave[0]]) / np.linalg.norm(stripes.wave)
    pitch = 1.0 / abs(float(stripes.wave @ along))
    # pale ticks, and those seen farther off, answer too weakly to be of the strip, but are there
    reach = min(_BEYOND * strip.half, _FARTHEST)
    signal, first = darkness_along(level, (start, along, tick), reach, pitch)
    found = followed(signal, first, pitch, strip.half)
    if found is None:
        return None
    fit, numbers = found
    return _described(level, (start, along, tick), fit, numbers)


def _described(
    level: Picture, frame: tuple[FloatArray, FloatArray, FloatArray], fit: RowFit, numbers: FloatArray
) -> Row | None:
    """Tell which way the longer ticks reach, where all ticks end, and how the longer ones follow."""
    start, along, tick = frame
    pitch = float(np.median(np.abs(fit.pitch(numbers))))
    leans: FloatArray = np.zeros(len(numbers))
    splay = None
    for _ in range(_LOOKS):
        dark, aside = _darkness(level, frame, (fit, numbers, leans))
        found = _shortest(dark, aside)
        if found is None:
            return None
        low, high, peak = found
        if high - low < _LEAST_LINE * pitch:
            return None
        seen = find_splay(level, frame, (fit, numbers), (low, high))
        if seen is None:
            break
        # seen at a slant ticks lean, each a little more than the last: follow each along its own way
        splay = seen
        slope, level_gap = np.polyfit(seen.numbers, seen.gap, 1)
        apart = float((seen.second[0] - seen.first[0]) @ tick) * np.sqrt(np.abs(fit.pitch(numbers)) / pitch)
        leans = np.asarray((slope * numbers + level_gap) / apart)
    sides = []
    for sign, end in ((1.0, high), (-1.0, low)):
        band = (sign * (aside - end) > _BAND[0] * pitch) & (sign * (aside - end) < _BAND[1] * pitch)
        longer = np.clip(dark[:, band].mean(axis=1) / peak, -0.5, 1.5)
        sides.append((_excess(longer, numbers, 5), _excess(longer, numbers, 2)))
    length = (high - low) / pitch
    if length < _SHORTEST_TICK:
        return None
    inwards = 0 if max(sides[0]) >= max(sides[1]) else 1
    fives, twos = sides[inwards]
    if inwards == 0:
        return Row(fit, start, along, -tick, numbers, -low, pitch, fives, twos, length, splay)
    return Row(fit, start, along, tick, numbers, high, pitch, fives, twos, length, splay)


def _darkness(
    level: Picture,
    frame: tuple[FloatArray, FloatArray, FloatArray],
    row: tuple[RowFit, FloatArray, FloatArray],
) -> tuple[FloatArray, FloatArray]:
    """Return how dark each tick is beside its neighbours, (n, m), and where aside of the row, (m,)."""
    start, along, tick = frame
    fit, numbers, leans = row
    pitches = np.abs(fit.pitch(numbers))
    pitch = float(np.median(pitches))
    aside = np.arange(-_ASIDE * pitch, _ASIDE * pitch, 0.5)
    # lengths across shrink with distance, lengths along the ruler with its square
    scaled = np.sqrt(pitches / pitch)[:, None] * aside
    away = scaled[:, :, None] * tick + (leans[:, None] * scaled)[:, :, None] * along
    on, before, behind = (
        sampled(level, start + fit.place(n)[:, None, None] * along + away)
        for n in (numbers, numbers - 0.5, numbers + 0.5)
    )
    dark: FloatArray = 1.0 - on / np.maximum(0.5 * (before + behind), 0.02)
    return dark, aside


def _shortest(dark: FloatArray, aside: FloatArray) -> tuple[float, float, float] | None:
    """Return where the shortest ticks end on either side, in pixels, and how dark they are."""
    usual = np.quantile(dark, _SHORTEST_END, axis=0)
    middle = len(aside) // 2
    peak = float(usual[max(0, middle - 3) : middle + 4].max())
    short = usual > _OF_PEAK * peak
    low = next((n for n in range(middle, -1, -1) if not short[n]), 0)
    high = next((n for n in range(middle, len(aside)) if not short[n]), len(aside) - 1)
    if peak <= 0.0 or low == 0 or high == len(aside) - 1:
        return None
    return float(aside[low]), float(aside[high]), peak


def _excess(longer: FloatArray, numbers: FloatArray, every: int) -> float:
    """Return how much darker every so-manieth tick is than the others where only longer ones reach."""
    kind = np.mod(numbers, every)
    usual = np.array([_least_of_two(longer, numbers, every, n) for n in range(every)])
    best = int(np.argmax(usual))
    return float(usual[best] - np.median([np.median(longer[kind == n]) for n in range(every) if n != best]))


def _least_of_two(longer: FloatArray, numbers: FloatArray, every: int, first: int) -> float:
    """Return how dark every so-manieth tick is, odd or even: ticks at twice the step do not count."""
    halves = [longer[np.mod(numbers, 2 * every) == n] for n in (first, first + every)]
    return min((float(np.median(half)) if len(half) else 0.0 for half in halves), default=0.0)
