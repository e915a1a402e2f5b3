"""Follow a pattern from frame to frame, forwards and backwards from where it was picked.

First round: each frame is searched around where the motion so far leads, with smears of several lengths. The
smears that fit best tell how long the exposure was; in the second round every frame is placed once more with
the smear that its own motion and that exposure give.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np

from tameshi.errors import UnmeasurableError
from tameshi.motion.arrays import FloatArray, Light, Pixels
from tameshi.motion.film import Film
from tameshi.motion.match import Match, place_pattern
from tameshi.motion.pattern import Pattern, smear, smoothed
from tameshi.motion.track import Track

_SHARES = (0.0, 0.25, 0.5, 0.75, 1.0)  # exposures, of the time between frames, that are tried
_FINE_SHARES = np.linspace(0.0, 1.0, 21)
_TELLING = 4.0  # pixels of travel from frame to frame from which a smear is seen
_MOST_TELLING = 8  # frames that are asked how long the exposure was
_LEAST_LIKENESS = 0.6
_LONGEST_GAP = 3  # frames in which it may be out of sight
_FEWEST_SEEN = 5
_WIDE = 2.5  # how far around it is looked for, in half widths of the pattern
_AND_TRAVEL = 0.6  # and of its travel from frame to frame
_FLOOR = 0.01  # pixels: no place is known better


@dataclass(slots=True)
class _State:
    """Where it was, how fast it went (pixels a second), how it was turned, when."""

    place: FloatArray
    speed: FloatArray
    turn: FloatArray
    time: float


def follow(film: Film, pattern: Pattern, place: FloatArray, start: int) -> Track:
    """Return the track of a pattern.

    Parameters
    ----------
    film : Film
    pattern : Pattern
        What is followed, as seen in the frame it was picked in.
    place : (2,) array
        Its middle there, in pixels.
    start : int
        Index of that frame.

    Raises
    ------
    UnmeasurableError
        ``marker-lost`` where it is seen in hardly any frame.
    """
    found: list[Match | None] = [None] * len(film.frames)
    for order in (range(start, len(film.frames)), range(start, -1, -1)):
        _one_way(film, pattern, place, order, found)
    seen = [n for n, match in enumerate(found) if match is not None]
    if len(seen) < _FEWEST_SEEN:
        raise UnmeasurableError(
            "marker-lost",
            f"What was picked in frame {film.first + start} is found again in {len(seen) - 1} other frames.",
            hint="Pick something that stands out and keeps its look: a round marker on an even card.",
        )
    travel = _travel(film, found)
    share = _exposure_share(film, pattern, found, travel)
    return _placed_again(film, pattern, found, (travel, share), start)


def _one_way(
    film: Film, pattern: Pattern, place: FloatArray, order: range, found: list[Match | None]
) -> None:
    """Follow in one direction of time until it is lost for good."""
    first = order[0]
    state = _State(place.copy(), np.zeros(2), np.zeros(2), float(film.times[first]))
    gap = 0
    for n in order:
        step = float(film.times[n]) - state.time
        match = _look(film.frames[n], pattern, state, step, film.interval)
        if match is None:
            gap += 1
            if gap > _LONGEST_GAP:
                return
            continue
        gap = 0
        if step != 0.0:
            state.speed = (match.place - state.place) / step
        state.place, state.turn, state.time = match.place, match.turn, float(film.times[n])
        found[n] = match


def _look(frame: Pixels, pattern: Pattern, state: _State, step: float, interval: float) -> Match | None:
    """Return the best match near where the motion leads."""
    expected = state.place + state.speed * step
    travel = state.speed * interval
    half = pattern.half
    reach = _WIDE * half + _AND_TRAVEL * float(np.hypot(*travel)) + half
    left, top = np.floor(expected - reach).astype(int)
    right, bottom = np.ceil(expected + reach).astype(int) + 1
    left, top = max(0, int(left)), max(0, int(top))
    cut = frame[top : max(0, int(bottom)), left : max(0, int(right))]
    if min(cut.shape) < 2 * half + 1:
        return None
    part = smoothed(cut)
    corner = np.array([left, top], np.float64)
    shares = _SHARES if float(np.hypot(*travel)) > _TELLING else (0.0,)
    best: Match | None = None
    for share in shares:
        match = _searched(part, pattern, share * travel, state.turn, corner)
        if match is not None and (best is None or match.misfit < best.misfit):
            best = match
    return best


def _searched(
    part: Light, pattern: Pattern, along: FloatArray, turn: FloatArray, corner: FloatArray
) -> Match | None:
    """Return the match in part of a frame: whole pixels by correlation first, then to a fraction."""
    smeared = smear(pattern, along)
    inner = _inner(pattern)
    cut = smeared.light[inner, inner]
    if min(part.shape) < len(cut):
        return None
    alike = cv2.matchTemplate(part, cut, cv2.TM_CCOEFF_NORMED)
    peak = np.array(np.unravel_index(int(np.argmax(alike)), alike.shape), np.float64)[::-1]
    start = peak + 0.5 * (len(cut) - 1)
    match = place_pattern(part, pattern, smeared, start, turn)
    if match is None or match.likeness < _LEAST_LIKENESS:
        return None
    return _moved(match, corner)


def _inner(pattern: Pattern) -> slice:
    """Return the square of a pattern that is all known."""
    keep = pattern.half
    while keep > pattern.radius + 1.0 and not pattern.known[pattern.half - keep, pattern.half - keep] > 0.0:
        keep -= 1
    return slice(pattern.half - keep, pattern.half + keep + 1)


def _moved(match: Match, by: FloatArray) -> Match:
    return Match(
        place=match.place + by,
        turn=match.turn,
        covariance=match.covariance,
        likeness=match.likeness,
        misfit=match.misfit,
    )


def _travel(film: Film, found: list[Match | None]) -> FloatArray:
    """Return the travel from frame to frame around each, in pixels, (n, 2)."""
    seen = np.array([n for n, match in enumerate(found) if match is not None])
    places = np.array([match.place for match in found if match is not None])
    speed = np.gradient(places, film.times[seen], axis=0)
    every = np.column_stack([np.interp(film.times, film.times[seen], column) for column in speed.T])
    return np.asarray(every * film.interval)


def _exposure_share(film: Film, pattern: Pattern, found: list[Match | None], travel: FloatArray) -> float:
    """Return the exposure as a share of the time between frames: that with which fast frames fit best."""
    length = np.hypot(*travel.T)
    seen = [n for n in np.argsort(-length) if found[n] is not None and length[n] > _TELLING]
    if not seen:
        return float("nan")
    total = np.zeros(len(_FINE_SHARES))
    for n in seen[:_MOST_TELLING]:
        for k, share in enumerate(_FINE_SHARES):
            match = _again(film.frames[n], pattern, found[n], share * travel[n])
            total[k] += match.misfit**2 if match is not None else 1.0
    best = int(np.argmin(total))
    if not 0 < best < len(total) - 1:
        return float(_FINE_SHARES[best])
    below, at, above = total[best - 1 : best + 2]
    bend = below - 2.0 * at + above
    return float(_FINE_SHARES[best] + (0.5 * (below - above) / bend if bend > 0.0 else 0.0) * _FINE_SHARES[1])


def _again(frame: Pixels, pattern: Pattern, match: Match | None, along: FloatArray) -> Match | None:
    """Return a match placed once more with another smear."""
    if match is None:
        return None
    reach = 2 * pattern.half + 3
    left, top = (max(0, int(v)) for v in np.floor(match.place - reach))
    right, bottom = (int(v) + 1 for v in np.ceil(match.place + reach))
    part = smoothed(frame[top:bottom, left:right])
    corner = np.array([left, top], np.float64)
    placed = place_pattern(part, pattern, smear(pattern, along), match.place - corner, match.turn)
    return None if placed is None else _moved(placed, corner)


def _placed_again(
    film: Film, pattern: Pattern, found: list[Match | None], motion: tuple[FloatArray, float], start: int
) -> Track:
    """Return the track: every frame placed once more with the smear that its own motion gives."""
    travel, share = motion
    count = len(found)
    places, u = np.full((2, count, 2), np.nan)
    likeness = np.zeros(count)
    used = share if np.isfinite(share) else 0.0
    for n, match in enumerate(found):
        placed = _again(film.frames[n], pattern, match, used * travel[n])
        placed = placed if placed is not None and placed.likeness >= _LEAST_LIKENESS else match
        if placed is None:
            continue
        places[n] = placed.place
        u[n] = np.sqrt(np.maximum(np.diag(placed.covariance), _FLOOR**2))
        likeness[n] = placed.likeness
    return Track(
        places=places,
        u=u,
        likeness=likeness,
        smear=used * np.hypot(*travel.T),
        exposure_share=share,
        pattern=pattern,
        start=start,
    )
