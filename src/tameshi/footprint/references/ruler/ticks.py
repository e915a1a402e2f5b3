"""The row of ticks along a ruler's edge: found as a strip of even stripes, then tick by tick."""

from dataclasses import dataclass

import cv2
import numpy as np

from tameshi.footprint.picture.arrays import FloatArray, Picture, Where
from tameshi.footprint.picture.light import ENCODED
from tameshi.footprint.picture.view import View
from tameshi.footprint.references.ruler.row import RowFit, fit_row
from tameshi.footprint.references.ruler.seed import Stripes, find_stripes
from tameshi.footprint.references.ruler.splay import Splay

_SEEDS = 10
_WIDEST, _SHORTEST_ROW = 16.0, 24.0  # pitches: width of the strip, and its length
_STRIP = 0.35  # of the strongest response: there the strip ends
_MOST_STRIPS = 3  # of one seed
_GAP = 4  # ticks: a row ends where so many are missing
_BEYOND, _FARTHEST = 5.0, 4000.0  # times the strip, and pixels from its middle: so far ticks are followed
_SMOOTH = 1.5  # pitches over which stripes are averaged
_SMALLEST_PITCH = 3.2  # pixels
_ALONG_TICK = 0.8  # pitches to either side of the row's middle
_REACH = 0.36  # of the pitch: how far ticks are looked for
_START, _FARTHER = 8, 1.35
_LINES, _LINE_WIDTH = (0.22, 0.78), 0.16  # of a short tick: two lines across, and half their width
_OUTLIER = 5.0  # times the usual
_FEWEST, _LEAST_FOUND = 20, 0.6
_STEP = 0.25  # pixels along the row
_ASIDE = 16.0  # pitches looked at to either side of the row
_OF_PEAK = 0.5
_CENTRED = 2  # times each tick's middle is looked for again, around where it was found
_LOOKS = 3  # times ticks are looked at, each time along the way they were found to lean
_SHORTEST_END = 0.35  # share of the ticks that end: on no scale are fewer of the shortest
_SHORTEST_TICK = 1.2  # pitches: on no scale are ticks shorter
_WORST = 0.08  # of the pitch: ticks scatter less
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


@dataclass(frozen=True, slots=True)
class _Strip:
    """A point of its middle line, the unit way along it, and half its length, in pixels."""

    middle: FloatArray
    along: FloatArray
    half: float


def find_rows(view: View) -> tuple[Row, ...]:
    """Return the rows of ticks in a picture, the one with most ticks first; the same row only once.

    Parameters
    ----------
    view : View
    """
    level = np.asarray(cv2.LUT(view.grey, ENCODED), np.float32)
    rows: list[Row] = []
    for stripes in find_stripes(view.grey)[:_SEEDS]:
        for strip in _strips(stripes):
            if any(_lies_on(strip.middle, row) for row in rows):
                continue
            row = _row(level, stripes, strip)
            if row is not None:
                rows.append(row)
    return tuple(sorted(rows, key=lambda row: -len(row.numbers)))


def _lies_on(place: FloatArray, row: Row) -> bool:
    away = place - row.start
    return bool(abs(away[0] * row.along[1] - away[1] * row.along[0]) < 6.0 * row.pitch)


def _row(level: Picture, stripes: Stripes, strip: _Strip) -> Row | None:
    """Follow stripes along their strip, tick by tick."""
    start, along = strip.middle, strip.along
    tick = np.array([-stripes.wave[1], stripes.wave[0]]) / np.linalg.norm(stripes.wave)
    pitch = 1.0 / abs(float(stripes.wave @ along))
    # pale ticks, and those seen farther off, answer too weakly to be of the strip, but are there
    reach = min(_BEYOND * strip.half, _FARTHEST)
    signal, first = _signal(level, (start, along, tick), reach, pitch)
    followed = _followed(signal, first, pitch, strip.half)
    if followed is None:
        return None
    fit, numbers = followed
    return _described(level, (start, along, tick), fit, numbers)


def _strips(stripes: Stripes) -> list[_Strip]:
    """Return the strip on which stripes are strongest, and others that are as long: a ruler's other edge."""
    strong = (stripes.response > _STRIP * stripes.peak).astype(np.uint8)
    count, labels, stats, _ = cv2.connectedComponentsWithStats(strong, connectivity=8)
    column, row = ((stripes.at + 0.5) / stripes.factor - 0.5).round().astype(int)
    own = int(labels[row, column])
    large = 1 + np.argsort(-stats[1:, cv2.CC_STAT_AREA])[:_MOST_STRIPS]
    numbers = [own, *(int(n) for n in large if n != own)] if own else []
    found = (_strip(stripes, labels == n) for n in numbers if n < count)
    return [strip for strip in found if strip is not None]


def _strip(stripes: Stripes, own: Where) -> _Strip | None:
    pitch = 1.0 / float(np.linalg.norm(stripes.wave))
    rows, columns = np.nonzero(own)
    points = (np.column_stack([columns, rows]).astype(np.float64) + 0.5) * stripes.factor - 0.5
    weight = np.asarray(stripes.response[rows, columns], np.float64)
    middle = weight @ points / weight.sum()
    away = points - middle
    spread, axes = np.linalg.eigh((away.T * weight) @ away / weight.sum())
    along = axes[:, 1] * np.sign(axes[:, 1] @ stripes.wave or 1.0)
    width, length = np.sqrt(12.0 * np.maximum(spread, 0.0))
    square = abs(float(along @ stripes.wave)) * pitch
    if width > _WIDEST * pitch or length < _SHORTEST_ROW * pitch or square < 0.8:  # noqa: PLR2004
        return None
    return _Strip(middle, np.asarray(along, np.float64), 0.5 * float(np.ptp(away @ along)))


def _signal(
    level: Picture,
    frame: tuple[FloatArray, FloatArray, FloatArray],
    half: float,
    pitch: float,
    wide: float = _ALONG_TICK,
) -> tuple[FloatArray, float]:
    """Return the darkness along the row, (n,), every quarter pixel, and where it begins, in pixels."""
    start, along, tick = frame
    place = np.arange(-half - 2.0 * pitch, half + 2.0 * pitch, _STEP)
    aside = np.linspace(-wide * pitch, wide * pitch, 9)
    values = sampled(level, start + place[:, None, None] * along + aside[None, :, None] * tick).mean(axis=1)
    window = max(3, round(1.1 * pitch / _STEP)) | 1
    ground = cv2.dilate(values.astype(np.float32).reshape(1, -1), np.ones((1, window), np.uint8))
    ground = cv2.blur(ground, (window, 1))
    dark: FloatArray = 1.0 - values / np.maximum(np.asarray(ground, np.float64).ravel(), 1e-3)
    return dark, float(place[0])


def sampled(level: Picture, points: FloatArray) -> FloatArray:
    """Return the level at points (a, b, 2) in pixels, (a, b)."""
    flat = points.astype(np.float32)
    x, y = np.ascontiguousarray(flat[..., 0]), np.ascontiguousarray(flat[..., 1])
    seen = cv2.remap(level, x, y, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    return np.asarray(seen, np.float64)


def _followed(
    signal: FloatArray, first: float, pitch: float, half: float
) -> tuple[RowFit, FloatArray] | None:
    """Follow the ticks outwards from the middle, number them, and fit where they are.

    So far as the strip reaches, ``half`` to either side, ticks may be covered; beyond it a row ends at a gap.
    """
    window = slice(max(0, len(signal) // 2 - round(pitch / _STEP)), len(signal) // 2 + round(pitch / _STEP))
    begin = first + (window.start + int(np.argmax(signal[window]))) * _STEP
    last = first + (len(signal) - 1) * _STEP
    fit = RowFit(begin, pitch, 0.0, np.zeros((3, 3)), 0.0)
    reach, numbers, kept = _START, np.empty(0), np.empty(0, bool)
    while True:
        all_numbers = np.arange(-reach, reach + 1.0)
        inside = all_numbers[
            (fit.place(all_numbers) > first + pitch) & (fit.place(all_numbers) < last - pitch)
        ]
        places, there = _centred(signal, first, fit.place(inside), np.abs(fit.pitch(inside)))
        if np.count_nonzero(there) < 8:  # noqa: PLR2004  too few for the fit
            return None
        fit, good = fit_row(inside[there], places[there])
        numbers, kept = inside, there.copy()
        kept[there] = good
        kept &= _unbroken(fit.place(inside), kept, half)
        fit, good = fit_row(inside[kept], places[kept])
        if len(inside) < len(all_numbers) - 1 and reach > len(inside):
            break
        beyond = min(-fit.place(inside[:1])[0], fit.place(inside[-1:])[0]) > half
        if beyond and not (kept[:_GAP].any() or kept[-_GAP:].any()):
            break
        reach = int(np.ceil(_FARTHER * reach))
    found = numbers[kept][good]
    if len(found) < _FEWEST or fit.scatter > _WORST * pitch:
        return None
    low, high = np.quantile(found, (0.02, 0.98))
    amid = np.count_nonzero((numbers >= low) & (numbers <= high))
    return (fit, found) if len(found) >= _LEAST_FOUND * amid else None


def _unbroken(places: FloatArray, kept: Where, half: float) -> Where:
    """Return which ticks lie on the strip, or beyond it with no gap between."""
    on_strip = np.abs(places) <= half
    there = np.flatnonzero(kept | on_strip)
    belongs = on_strip.copy()
    middle = int(np.argmin(np.abs(places)))
    for outwards in (there[there >= middle], there[there <= middle][::-1]):
        gaps = np.flatnonzero((np.abs(np.diff(outwards)) > _GAP) & ~on_strip[outwards[1:]])
        belongs[outwards[: gaps[0] + 1] if len(gaps) else outwards] = True
    return np.asarray(belongs)


def _centred(
    signal: FloatArray, first: float, places: FloatArray, pitch: FloatArray
) -> tuple[FloatArray, Where]:
    """Return where ticks are, near where they should be, and whether they are there."""
    share = np.linspace(-_REACH, _REACH, 41)
    at = places[:, None] + share[None, :] * pitch[:, None]
    axis = first + np.arange(len(signal)) * _STEP
    dark = np.interp(at, axis, signal)
    dark = dark - dark.min(axis=1, keepdims=True)
    peak = dark.max(axis=1)
    weight = np.maximum(dark - 0.4 * peak[:, None], 0.0)
    centre = np.sum(weight * at, axis=1) / np.maximum(weight.sum(axis=1), 1e-9)
    usual = float(np.median(peak))
    best = np.argmax(dark, axis=1)
    there = (peak > 0.35 * usual) & (peak > 0.02) & (best > 1) & (best < len(share) - 2)  # noqa: PLR2004
    return centre, np.asarray(there)


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
        seen = _splay(level, frame, (fit, numbers), (low, high))
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


def _splay(
    level: Picture,
    frame: tuple[FloatArray, FloatArray, FloatArray],
    row: tuple[RowFit, FloatArray],
    ends: tuple[float, float],
) -> Splay | None:
    """Look for every tick on two lines, near either end of the short ticks."""
    start, along, tick = frame
    fit, numbers = row
    pitches = np.abs(fit.pitch(numbers))
    pitch = float(np.median(pitches))
    low, high = ends
    half = 0.5 * float(np.ptp(fit.place(numbers)))
    middle = float(np.mean(fit.place(numbers)))
    # lengths across shrink with distance: so do the ticks, and the lines follow them
    narrowing, level_scale = np.polyfit(fit.place(numbers) - middle, np.sqrt(pitches / pitch), 1)
    gaps, there, lines = [], np.ones(len(numbers), bool), []
    for share in _LINES:
        off = low + share * (high - low)
        point = start + middle * along + off * level_scale * tick
        way = along + off * narrowing * tick
        width = _LINE_WIDTH * (high - low) / pitch
        signal, first = _signal(level, (point, way, tick), half, pitch, width)
        expected = fit.place(numbers) - middle
        place, found = _centred(signal, first, expected, pitches)
        for _ in range(_CENTRED):
            if np.count_nonzero(found) < _FEWEST:
                return None
            # what is looked for around the wrong place is seen too near to it: its other flank is cut off
            lean = np.polynomial.Polynomial.fit(numbers[found], (place - expected)[found], 2)
            expected = expected + lean(numbers)
            place, found = _centred(signal, first, expected, pitches)
        gaps.append(place)
        lines.append(np.stack([point, way]))
        there &= found
    if np.count_nonzero(there) < _FEWEST:
        return None
    gap = gaps[1] - gaps[0]
    usual = np.polyval(np.polyfit(numbers[there], gap[there], 1), numbers)
    off = np.abs(gap - usual)
    there &= off <= _OUTLIER * max(float(np.median(off[there])), 0.02)
    return Splay(numbers[there], gap[there], lines[0], lines[1]) if there.sum() >= _FEWEST else None


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
