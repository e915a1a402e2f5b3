"""Tell the contacts of an event apart: strikes from their second peaks, and both from ringing.

From the highest point the force is followed outwards to a twentieth of it; what is left is searched
again. Bumps closer than ``Settings.joined_gap`` are one strike with a double contact. A bump that
follows a swing below zero of its own size is the cell ringing: nothing pulls on a plate.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from tameshi.force.settings import Settings
from tameshi.force.signal.blocks import moving_mean
from tameshi.force.signal.outwards import outwards

FloatArray = NDArray[np.float64]

_MOST_BUMPS = 200
_SEARCH_SPAN = 0.0003
_SWING_SHARE = 0.5
_TAIL_SHARE = 0.02
_NOISE_FLOOR = 2.5
_LEAST_OF_HIGHEST = 0.02  # in one event: anything lower is a tail
_CLEAR_OF_NOISE = 5.0
_PERIODS_OF_RINGING = 3.0


@dataclass(frozen=True, slots=True)
class Bump:
    """One rise and fall: indices of its foot, top and other foot, and its height."""

    start: int
    top: int
    stop: int
    height: float


@dataclass(frozen=True, slots=True)
class Contact:
    """One strike in a window.

    Parameters
    ----------
    first, top, last : int
        Tops of its first, highest and last bump.
    start, stop : int
        Outer feet.
    height : float
    is_double : bool
    room : (int, int)
        First sample that is nearer to it than to the strike before, and one past the last that is
        nearer to it than to the strike after.
    """

    first: int
    top: int
    last: int
    start: int
    stop: int
    height: float
    is_double: bool
    room: tuple[int, int] = (0, 0)


def smooth(force: FloatArray, width: int) -> FloatArray:
    """Return the force averaged twice over ``width`` samples: a phaseless triangular kernel."""
    if width <= 1:
        return force
    odd = width | 1
    return moving_mean(moving_mean(force, odd), odd)


def find_contacts(
    force: FloatArray,
    rate: float,
    event: slice,
    scatter: Callable[[int], float],
    settings: Settings,
    *,
    period: float | None = None,
) -> list[Contact]:
    """Return the strikes in an event.

    Parameters
    ----------
    force : (n,) array
        Zeroed force over a window. [N]
    rate : float
        [Hz]
    event : slice
        The part of the window to look in.
    scatter : callable
        Standard deviation of a mean over so many neighbouring quiet samples. [N]
    settings : Settings
    period : float or None
        Of the cell's ringing, where it is known: what lasts much longer is none. [samples]
    """
    width = max(1, min(round(_SEARCH_SPAN * rate), (event.stop - event.start) // 10))
    signal = smooth(force, width)
    noise = scatter(width)
    bumps = _bumps(signal, event, noise, settings)
    highest = max((bump.height for bump in bumps), default=0.0)
    bumps = [
        bump
        for bump in bumps
        if bump.height > _LEAST_OF_HIGHEST * highest
        or (period is not None and bump.stop - bump.start > _PERIODS_OF_RINGING * period)
    ]
    kept = [bump for bump in bumps if not _is_ringing(signal, bump, bumps, noise)]
    gap = max(1, round(settings.joined_gap * rate))
    contacts = [_contact(group, signal, noise, settings) for group in _groups(kept, gap)]
    return _with_room(contacts, len(force))


def _with_room(contacts: list[Contact], length: int) -> list[Contact]:
    middles = [(one.stop + other.start) // 2 for one, other in pairwise(contacts)]
    edges = [0, *middles, length]
    return [replace(contact, room=(edges[place], edges[place + 1])) for place, contact in enumerate(contacts)]


def _bumps(signal: FloatArray, event: slice, scatter: float, settings: Settings) -> list[Bump]:
    """Return the bumps of an event in order of time."""
    free = np.zeros(len(signal), dtype=bool)
    free[event] = True
    found: list[Bump] = []
    while free.any() and len(found) < _MOST_BUMPS:
        open_signal = np.where(free, signal, -np.inf)
        top = int(np.argmax(open_signal))
        height = float(signal[top])
        if height < settings.detection * scatter or height <= 0.0:
            break
        bump = _bump_at(signal, top, scatter, settings)
        beside = not free[max(0, top - 1)] or not free[min(len(free) - 1, top + 1)]
        if not beside or top in (0, len(signal) - 1):
            found.append(bump)
        free[_tail(signal, bump, scatter)] = False
        free[top] = False
    return sorted(found, key=lambda bump: bump.top)


def _bump_at(signal: FloatArray, top: int, scatter: float, settings: Settings) -> Bump:
    level = max(settings.onset_share * float(signal[top]), _NOISE_FLOOR * scatter)
    start = outwards(signal, top, -1, level)
    stop = outwards(signal, top, 1, level)
    return Bump(start, top, stop, float(signal[top]))


def _tail(signal: FloatArray, bump: Bump, scatter: float) -> slice:
    """Return a bump with its tails: on to where the signal rises again or is lost in the noise."""
    floor = max(_TAIL_SHARE * bump.height, _NOISE_FLOOR * scatter)
    start, stop = max(0, bump.start), min(len(signal), bump.stop)
    while start > 0 and floor < signal[start - 1] <= signal[start]:
        start -= 1
    while stop < len(signal) - 1 and floor < signal[stop + 1] <= signal[stop]:
        stop += 1
    return slice(start, stop + 1)


def _is_ringing(signal: FloatArray, bump: Bump, bumps: list[Bump], scatter: float) -> bool:
    """Return whether a bump is the swing back of a cell that has just swung below zero."""
    width = bump.stop - bump.start
    before = signal[max(0, bump.start - 2 * width) : max(1, bump.start + 1)]
    swing = -float(before.min())
    higher_before = any(other.top < bump.top and other.height > 2.0 * bump.height for other in bumps)
    if not higher_before or swing < _SWING_SHARE * bump.height or swing < _CLEAR_OF_NOISE * scatter:
        return False
    # an AC-coupled undershoot lasts much longer than a ringing half-wave
    below = np.flatnonzero(before[::-1] < -0.5 * swing)
    return len(below) < 2 * width


def _groups(bumps: list[Bump], gap: int) -> list[list[Bump]]:
    groups: list[list[Bump]] = []
    for bump in bumps:
        if groups and bump.start - groups[-1][-1].stop < gap:
            groups[-1].append(bump)
        else:
            groups.append([bump])
    return groups


def _contact(group: list[Bump], signal: FloatArray, scatter: float, settings: Settings) -> Contact:
    main = max(group, key=lambda bump: bump.height)
    members = [bump for bump in group if bump.height >= settings.second_peak * main.height]
    # a bump may hide a second peak that its dip does not part from it
    later = main.top + _second_peak(signal[main.top : main.stop], main, scatter, settings)
    earlier = main.top - _second_peak(
        signal[max(0, main.start) : main.top + 1][::-1], main, scatter, settings
    )
    double = len(members) > 1 or earlier != later
    return Contact(
        first=min(members[0].top, earlier),
        top=main.top,
        last=max(members[-1].top, later),
        start=members[0].start,
        stop=members[-1].stop,
        height=main.height,
        is_double=double,
    )


def _second_peak(side: FloatArray, bump: Bump, scatter: float, settings: Settings) -> int:
    """Return how far from a bump's top, along one side of it, a second peak lies; zero without one."""
    lowest = np.minimum.accumulate(side)
    rises = side - lowest
    counts = (
        (side > settings.second_peak * bump.height)
        & (lowest < settings.valley * side)
        & (rises > _CLEAR_OF_NOISE * scatter)
    )
    return int(np.argmax(np.where(counts, side, -np.inf))) if counts.any() else 0
