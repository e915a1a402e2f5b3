"""Contact as somebody says it, or as a light tells it."""

from __future__ import annotations

import numpy as np

from tameshi.errors import UnmeasurableError, WrongUseError
from tameshi.motion.arrays import FloatArray
from tameshi.motion.contact import Contact, contact_between
from tameshi.motion.film import Film

_HALF = 8  # pixels around the lamp
_BRIGHT = 15.0  # stored values that a flash adds at least
_ABOVE = 8.0  # times the scatter before


def contact_at_frame(film: Film, number: int) -> Contact:
    """Return contact as told: the first frame in which the target is touched.

    Raises
    ------
    WrongUseError
        ``no-such-frame``.
    """
    n = film.index_of(number)
    if n == 0:
        raise WrongUseError(
            "no-such-frame",
            f"Nothing is seen before frame {number}.",
            hint="Name the first frame of contact.",
        )
    return _between(film, n, "frame")


def contact_from_flash(film: Film, place: FloatArray) -> Contact:
    """Return contact as a lamp in the picture tells it, that lights when the target is touched.

    Parameters
    ----------
    film : Film
    place : (2,) array
        Of the lamp, in pixels.

    Raises
    ------
    UnmeasurableError
        ``no-flash``.
    WrongUseError
        ``point-outside``.
    """
    width, height = film.size
    x, y = (round(float(v)) for v in place)
    if not (0 <= x < width and 0 <= y < height):
        raise WrongUseError(
            "point-outside",
            f"The lamp at {x},{y} is outside of the picture, which has {width} x {height} pixels.",
            hint="Count pixels from the top left corner of the picture as it is shown upright.",
        )
    part = film.frames[:, max(0, y - _HALF) : y + _HALF + 1, max(0, x - _HALF) : x + _HALF + 1]
    level = part.reshape(len(part), -1).mean(axis=1)
    for n in range(3, len(level)):
        before = level[:n]
        if level[n] - np.median(before) > max(_BRIGHT, _ABOVE * float(before.std())):
            return _between(film, n, "flash")
    raise UnmeasurableError(
        "no-flash",
        f"Nothing lights up at {x},{y}.",
        hint="Pick the middle of the lamp; keep it from being overexposed before it lights.",
    )


def _between(film: Film, n: int, by: str) -> Contact:
    """Return contact anywhere between a frame and the one before."""
    return contact_between(float(film.times[n - 1]), float(film.times[n]), by)
