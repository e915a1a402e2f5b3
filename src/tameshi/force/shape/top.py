"""The top of a contact: how high and when, from curves fitted to it."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from tameshi.force.finding.contact import Contact, smooth
from tameshi.force.signal.outwards import outwards

FloatArray = NDArray[np.float64]

_PEAK_LEVELS = (0.995, 0.99, 0.98, 0.95, 0.90, 0.85, 0.80)
_FEWEST_FOR_FIT, _FEWEST_FOR_CUBIC, _FEWEST_FOR_QUARTIC = 5, 10, 15
_PLATEAU = 300  # samples
_WIDE = 0.93  # a top wider than at this share of its height is no parabola
_BENT = 0.0006  # of the height: what a cubic through a wide top misses, no matter where noise is more
_LUCK_OF_HIGHEST = 5.0  # standard deviations by which the highest of many samples may stand out
_ONE, _NONE = np.ones(1), np.zeros(1)
_GRID = np.linspace(-1.0, 1.0, 401)
_GRID_POWERS = _GRID[:, None] ** np.arange(5)


@dataclass(frozen=True, slots=True, eq=False)
class Top:
    """A fitted top.

    Parameters
    ----------
    height : float
        [N]
    place : float
        [samples]
    weights : (m,) array
        What each of the samples it rests on has to say in the height.
    place_weights : (m,) array
        What each has to say in the place. [samples/N]
    height_doubt, place_doubt : float
        How far a fit over another width disagrees. [N], [samples]
    """

    height: float
    place: float
    weights: FloatArray
    place_weights: FloatArray
    height_doubt: float = 0.0
    place_doubt: float = 0.0


def find_top(force: FloatArray, contact: Contact, sigma: float, half_width: int) -> Top:
    """Return the top of a contact.

    Curves are fitted over ever wider tops as long as they agree with the narrower ones within the
    noise; the widest that does is kept, so that noise is averaged but no shape is imposed.

    Parameters
    ----------
    force : (n,) array
        [N]
    contact : Contact
    sigma : float
        Standard deviation of single samples. [N]
    half_width : int
        Samples above half the height.
    """
    width = max(1, half_width // 15)
    averaged = smooth(force, width)
    reach = max(1, half_width // 4)
    lower = max(0, contact.top - reach)
    top = lower + int(np.argmax(averaged[lower : contact.top + reach + 1]))
    widths = {_top_width(averaged, top, level): level < _WIDE for level in _PEAK_LEVELS}
    clear = (_BENT * float(averaged[top]) / sigma) ** 2 if sigma > 0.0 else math.inf
    highest = _three_points(force, lower + int(np.argmax(force[lower : contact.top + reach + 1])))
    fits, allowed = [highest], [_LUCK_OF_HIGHEST * sigma]
    for start, stop in sorted(widths, key=lambda pair: pair[1] - pair[0]):
        bent = widths[start, stop] and stop - start > 1.0 / clear
        fit = _polynomial(force, start, stop, bent=bent)
        if fit is None:
            continue
        if any(abs(fit.height - other.height) > most for other, most in zip(fits, allowed, strict=True)):
            break
        fits.append(fit)
        allowed.append(2.0 * sigma * float(np.linalg.norm(fit.weights)))
    by_luck = highest.height - float(averaged[top]) < _LUCK_OF_HIGHEST * sigma
    if len(fits) == 1 and half_width > _PLATEAU and by_luck:
        return _plateau(averaged, top, width)
    if len(fits) <= 1 + 1:  # the highest sample is high by luck, so it is no second opinion on a fit
        return fits[-1]
    best, second = fits[-1], fits[-2]
    return replace(
        best, height_doubt=abs(best.height - second.height), place_doubt=abs(best.place - second.place)
    )


def _plateau(averaged: FloatArray, top: int, width: int) -> Top:
    """Return the average of a top that no curve fits: the highest sample of a long push is high by luck."""
    kernel = np.convolve(np.full(width | 1, 1.0 / (width | 1)), np.full(width | 1, 1.0 / (width | 1)))
    return Top(float(averaged[top]), float(top), kernel, np.zeros(len(kernel)), place_doubt=float(width))


def _three_points(force: FloatArray, top: int) -> Top:
    """Return the vertex of the parabola through the highest sample and its neighbours."""
    if not 0 < top < len(force) - 1:
        return Top(float(force[top]), float(top), _ONE, _NONE)
    left, middle, right = (float(value) for value in force[top - 1 : top + 2])
    bend = left - 2.0 * middle + right
    if bend >= 0.0 or middle < max(left, right):
        best = int(np.argmax(force[top - 1 : top + 2]))
        return Top(float(force[top - 1 + best]), float(top - 1 + best), _ONE, _NONE)
    shift = 0.5 * (left - right) / bend
    # the place turns on the difference of the outer two, the height on the middle one
    return Top(middle - 0.25 * (left - right) * shift, top + shift, _ONE, np.array([-0.5, 0.0, 0.5]) / -bend)


def _top_width(centre: FloatArray, top: int, level: float) -> tuple[int, int]:
    floor = level * float(centre[top])
    return outwards(centre, top, -1, floor) + 1, outwards(centre, top, 1, floor)


def _polynomial(force: FloatArray, start: int, stop: int, *, bent: bool) -> Top | None:
    """Return the vertex of a curve of second to fourth degree fitted to a top, as width and samples allow."""
    count = stop - start
    if count < _FEWEST_FOR_FIT:
        return None
    degree = 4 if bent and count >= _FEWEST_FOR_QUARTIC else 3 if count >= _FEWEST_FOR_CUBIC else 2
    powers = np.arange(degree + 1)
    solver = _solver(count, degree)
    solved = solver @ force[start:stop]
    curve = _GRID_POWERS[:, : degree + 1] @ solved
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
        weights=value @ solver,
        place_weights=samples * (first @ solver) / max(abs(bend), 1e-300),
    )


@lru_cache(maxsize=1024)
def _solver(count: int, degree: int) -> FloatArray:
    """Return what gives the coefficients of a polynomial fitted to so many samples."""
    design = np.linspace(-1.0, 1.0, count)[:, None] ** np.arange(degree + 1)
    inverse: FloatArray = np.linalg.inv(design.T @ design).astype(np.float64)
    return inverse @ design.T
