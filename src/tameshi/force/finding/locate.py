"""Where in a recording the strikes are: every event with the quiet recording round it, and its sign."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from tameshi.force.background.background import Background, find_background, smallest_step
from tameshi.force.finding.find import Event, find_events
from tameshi.force.finding.scan import Stretch, scan
from tameshi.force.settings import Settings
from tameshi.force.signal.blocks import block_means
from tameshi.force.signal.channel_class import filter_class
from tameshi.force.trace import Trace
from tameshi.rig import Rig

FloatArray = NDArray[np.float64]

_OTHER_WAY = 3.0
_LOOKED_AT_FOR_STEP = 100_000  # samples: the converter's step shows in the first of them
_WIDENED = 3  # times a stretch is made wider for an event that it cuts off


@dataclass(frozen=True, slots=True)
class Place:
    """A stretch of the recording with the events in it.

    Parameters
    ----------
    stretch : Stretch
    events : tuple of Event
        In samples from the start of the stretch.
    mains : float or None
        Mains frequency whose hum was found. [Hz]
    """

    stretch: Stretch
    events: tuple[Event, ...]
    mains: float | None


@dataclass(frozen=True, slots=True)
class Located:
    """The events of a recording.

    Parameters
    ----------
    places : tuple of Place
        In order of time.
    sign : float
        -1 where pushes lower the reading.
    step : float
        Smallest difference between readings, zero where they are continuous.
    scatter : float
        Standard deviation of single quiet samples.
    scatter_of_blocks : float
        Of means over blocks.
    drift : float
        Largest change of the level. All in the trace's unit.
    """

    places: tuple[Place, ...]
    sign: float
    step: float
    scatter: float
    scatter_of_blocks: float
    drift: float

    @property
    def count(self) -> int:
        """How many events there are."""
        return sum(len(place.events) for place in self.places)


@dataclass(frozen=True, slots=True)
class _Looked:
    """A stretch with what rose and what fell in it."""

    stretch: Stretch
    raised: tuple[Event, ...]
    lowered: tuple[Event, ...]
    mains: float | None
    size: int
    scale: float
    lowest: float
    highest: float


def locate_events(trace: Trace, settings: Settings, *, rig: Rig | None, pushes_raise: bool) -> Located:
    """Return the events of a recording.

    Parameters
    ----------
    trace : Trace
    settings : Settings
    rig : Rig or None
    pushes_raise : bool
        Which way a push is expected to move the reading. It goes the other way where what is highest does.
    """
    step = smallest_step(trace.readings(0, _LOOKED_AT_FOR_STEP))
    seen = scan(trace.samples, trace.rate, step=step)
    cell = _known_cell(rig, settings)
    looked = [
        found
        for stretch in seen.stretches
        if (found := _look(trace, stretch, settings, step, cell)) is not None
    ]
    expected = 1.0 if pushes_raise else -1.0
    highest = {
        sign: max((event.height for one in looked for event in _of_sign(one, sign)), default=0.0)
        for sign in (1.0, -1.0)
    }
    sign = -expected if highest[-expected] > _OTHER_WAY * highest[expected] else expected
    size = max(1, round(settings.block * trace.rate))
    blocks = float(np.median([one.scale for one in looked])) if looked else (seen.scatter or 0.0) / size**0.5
    kept = [one for one in looked if _of_sign(one, sign)]
    return Located(
        places=tuple(Place(one.stretch, _of_sign(one, sign), one.mains) for one in kept),
        sign=sign,
        step=step,
        scatter=blocks * size**0.5,
        scatter_of_blocks=blocks,
        drift=max((one.highest for one in looked), default=0.0)
        - min((one.lowest for one in looked), default=0.0),
    )


def conditioned(trace: Trace, start: int, stop: int, settings: Settings) -> FloatArray:
    """Return a stretch of the readings, filtered to the channel class where one was chosen."""
    samples = trace.readings(start, stop)
    missing = np.isnan(samples)
    if settings.channel_class is None or missing.all():
        return samples
    index = np.arange(len(samples))
    samples[missing] = np.interp(index[missing], index[~missing], samples[~missing])
    filtered = filter_class(samples, trace.rate, settings.channel_class)
    filtered[missing] = np.nan
    return filtered


def _look(
    trace: Trace, stretch: Stretch, settings: Settings, step: float, cell: tuple[float, float] | None
) -> _Looked | None:
    """Return the events that belong to a stretch, None where it holds no reading."""
    size = max(1, round(settings.block * trace.rate))
    for _ in range(_WIDENED):
        means = _means(trace, stretch, size, settings)
        if np.isnan(means).all():
            return None
        background = find_background(means, trace.rate, size, settings, step=step, cell=cell)
        raised, lowered = (
            tuple(event for event in events if stretch.first <= stretch.start + event.start < stretch.last)
            for events in find_events(background, trace.rate, settings)
        )
        wider = _wider(stretch, (*raised, *lowered), background.size, len(trace.samples))
        if wider == stretch:
            break
        stretch = wider
    return _looked(stretch, raised, lowered, background)


def _means(trace: Trace, stretch: Stretch, size: int, settings: Settings) -> FloatArray:
    if settings.channel_class is not None:
        return block_means(conditioned(trace, stretch.start, stretch.stop, settings), size)
    return block_means(trace.samples[stretch.start : stretch.stop], size)


def _looked(
    stretch: Stretch, raised: tuple[Event, ...], lowered: tuple[Event, ...], background: Background
) -> _Looked:
    return _Looked(
        stretch=stretch,
        raised=raised,
        lowered=lowered,
        mains=background.mains,
        size=background.size,
        scale=background.scale,
        lowest=background.lowest,
        highest=background.highest,
    )


def _wider(stretch: Stretch, events: tuple[Event, ...], size: int, count: int) -> Stretch:
    """Return a stretch made wider where an event in it goes on beyond its end."""
    length = stretch.stop - stretch.start
    if stretch.stop < count and any(event.stop + size >= length for event in events):
        return replace(stretch, stop=min(count, stretch.stop + length))
    return stretch


def _of_sign(one: _Looked, sign: float) -> tuple[Event, ...]:
    return one.raised if sign > 0.0 else one.lowered


def _known_cell(rig: Rig | None, settings: Settings) -> tuple[float, float] | None:
    """Return natural frequency and damping of the cell, where they are known and to be used."""
    if rig is None or rig.cell.natural_frequency is None or not settings.correct_dynamics:
        return None
    return rig.cell.natural_frequency, rig.cell.damping_ratio or 0.0
