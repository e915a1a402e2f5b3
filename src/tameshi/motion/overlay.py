"""Draw a track for a person to look at: all places in one picture, and frames around the hand."""

from __future__ import annotations

import io
import math
from collections.abc import Callable
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image

from tameshi.motion.arrays import FloatArray, Pixels
from tameshi.motion.film import Film
from tameshi.motion.record import frame_of_contact
from tameshi.motion.strike_motion import StrikeMotion

_WIDTH = 1280
_COLUMNS, _ROWS = 4, 4
_BEFORE, _AFTER = (30, 144, 255), (255, 140, 0)
_LOST, _WHITE, _BLACK = (220, 40, 40), (255, 255, 255), (0, 0, 0)
_FINE = 4  # binary places of a pixel that lines are drawn to
_AROUND = 3.5  # widths of what is followed that a frame of the strip shows
_LEAST_AROUND = 48.0  # pixels
_TEXT = 0.45
_LATER = 0.25  # of the frames in the strip are after contact


def draw_track(film: Film, motion: StrikeMotion) -> Pixels:
    """Return a picture of the track, (h, w, 3) red, green and blue."""
    whole = _whole(film, motion)
    tiles = [_tile(film, motion, n) for n in _chosen(film, motion)]
    blank = np.full_like(tiles[0], 40)
    tiles += [blank] * (-len(tiles) % _COLUMNS)
    rows = [np.hstack(tiles[k : k + _COLUMNS]) for k in range(0, len(tiles), _COLUMNS)]
    return np.asarray(np.vstack([whole, *rows]), np.uint8)


def track_png(film: Film, motion: StrikeMotion) -> bytes:
    """Return the picture of the track as a PNG."""
    written = io.BytesIO()
    Image.fromarray(draw_track(film, motion)).save(written, format="PNG")
    return written.getvalue()


def _whole(film: Film, motion: StrikeMotion) -> Pixels:
    """Return the frame of contact with every place, and where the scale was taken."""
    at = min(frame_of_contact(film, motion) - film.first, len(film.frames) - 1)
    factor = _WIDTH / film.size[0]
    size = (_WIDTH, round(film.size[1] * factor))
    picture = _pixels(cv2.resize(_coloured(film.frames[at]), size, interpolation=cv2.INTER_AREA))
    _draw_places(picture, film, motion, lambda place: (place + 0.5) * factor - 0.5)
    scale = (motion.scale.at + 0.5) * factor - 0.5
    _cross(picture, scale, 8.0, _WHITE)
    _write(
        picture,
        (10, 20),
        f"contact in frame {film.first + at} by {motion.contact.by}; blue before, orange after",
    )
    return picture


def _chosen(film: Film, motion: StrikeMotion) -> list[int]:
    """Return the frames of the strip: evenly over the motion before contact, and some after."""
    count = _COLUMNS * _ROWS
    at = frame_of_contact(film, motion) - film.first
    moving = np.flatnonzero(motion.course.speed > 0.05 * motion.course.speed.max())
    begins = int(np.searchsorted(film.times, motion.course.times[moving[0]])) if len(moving) else 0
    after = round(_LATER * count)
    last = min(len(film.frames) - 1, at + max(after, round(after * (at - begins) / (count - after))))
    before = np.linspace(max(0, begins - 1), at - 1, count - after)
    return sorted(
        {
            *(round(float(v)) for v in before),
            *(round(float(v)) for v in np.linspace(at, last, after)),
        }
    )


def _tile(film: Film, motion: StrikeMotion, n: int) -> Pixels:
    """Return what is around the hand in one frame, with the place and the way to it."""
    side = _WIDTH // _COLUMNS
    half = max(_LEAST_AROUND, _AROUND * motion.track.pattern.radius)
    seen = motion.track.seen
    near = int(seen[np.argmin(np.abs(seen - n))])
    middle = motion.track.places[near]
    factor = side / (2.0 * half)
    high = round(0.6 * side)
    shift = np.array(
        [[factor, 0.0, 0.5 * side - factor * middle[0]], [0.0, factor, 0.5 * high - factor * middle[1]]]
    )
    cut = cv2.warpAffine(_coloured(film.frames[n]), shift, (side, high), flags=cv2.INTER_LINEAR)
    picture = _pixels(cut)
    _draw_places(picture, film, motion, lambda place: shift[:, :2] @ place + shift[:, 2], until=n)
    found = np.isfinite(motion.track.places[n, 0])
    if found:
        _cross(picture, shift[:, :2] @ motion.track.places[n] + shift[:, 2], 10.0, _WHITE)
    late = 1000.0 * (float(film.times[n]) - motion.contact.time)
    _write(picture, (6, 16), f"frame {film.first + n}  {late:+.1f} ms" + ("" if found else "  lost"))
    cv2.rectangle(picture, (0, 0), (side - 1, high - 1), (60, 60, 60) if found else _LOST, 1)
    return picture


def _draw_places(
    picture: Pixels,
    film: Film,
    motion: StrikeMotion,
    to_picture: Callable[[FloatArray], FloatArray],
    until: int | None = None,
) -> None:
    for n in motion.track.seen:
        if until is not None and n > until:
            break
        colour = _BEFORE if film.times[n] < motion.contact.time else _AFTER
        _dot(picture, to_picture(motion.track.places[n]), colour)


def _dot(picture: Pixels, place: FloatArray, colour: tuple[int, int, int]) -> None:
    x, y = _fixed(place)
    cv2.circle(picture, (x, y), 2 << _FINE, colour, -1, cv2.LINE_AA, _FINE)


def _cross(picture: Pixels, place: FloatArray, size: float, colour: tuple[int, int, int]) -> None:
    for dx, dy in ((size, 0.0), (0.0, size)):
        begin, end = (_fixed(place + sign * np.array([dx, dy])) for sign in (-1.0, 1.0))
        cv2.line(picture, begin, end, colour, 1, cv2.LINE_AA, _FINE)


def _fixed(place: FloatArray) -> tuple[int, int]:
    x, y = (math.floor(float(v) * (1 << _FINE) + 0.5) for v in place)
    return x, y


def _write(picture: Pixels, at: tuple[int, int], text: str) -> None:
    (wide, high), below = cv2.getTextSize(text, cv2.FONT_HERSHEY_SIMPLEX, _TEXT, 1)
    corner = (at[0] - 2, at[1] - high - 2)
    cv2.rectangle(picture, corner, (at[0] + wide + 2, at[1] + below), _BLACK, -1)
    cv2.putText(picture, text, at, cv2.FONT_HERSHEY_SIMPLEX, _TEXT, _WHITE, 1, cv2.LINE_AA)


def _pixels(drawn: NDArray[Any]) -> Pixels:
    """Return a picture of the drawing library as what it is."""
    return np.asarray(drawn, np.uint8)


def _coloured(grey: Pixels) -> Pixels:
    return np.repeat(grey[:, :, None], 3, axis=2)
