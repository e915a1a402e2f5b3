"""Cut the stretch of recording round each event and zero it.

A window holds one event and the quiet recording on either side of it, without any other event. It
is zeroed in the reading's own unit, turned into newtons, and freed of the cell's response.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from tameshi.force.background.baseline import Baseline, fit_baseline
from tameshi.force.finding.find import Event
from tameshi.force.settings import Settings

FloatArray = NDArray[np.float64]

_GUARD_BEFORE = 0.002
_GUARD_AFTER = 0.004
_GUARD_SHARE = 0.5  # of the event, after it: tails and ringing
_EVENT_MARGIN = 0.3  # of the event, on either side: what its feet may need


@dataclass(frozen=True, slots=True, eq=False)
class Window:
    """An event with its surroundings.

    Parameters
    ----------
    start : int
        Index of its first sample in the recording.
    event : slice
        The event within it, margins included.
    samples : (n,) array
        Readings, pushes positive, gaps bridged by straight lines.
    missing : (n,) array of bool
        Where there was no reading.
    quiet : (n,) array of bool
        Samples that belong to no event.
    raw : (n,) array or None
        The readings before they were filtered to a channel class, None where they were not.
    """

    start: int
    event: slice
    samples: FloatArray
    missing: NDArray[np.bool_]
    quiet: NDArray[np.bool_]
    raw: FloatArray | None = None


def cut_windows(
    samples: FloatArray,
    rate: float,
    events: Sequence[Event],
    settings: Settings,
    *,
    sign: float,
    offset: int = 0,
    raw: FloatArray | None = None,
) -> Iterator[Window]:
    """Give one window for each event.

    Parameters
    ----------
    samples : (n,) array
        Readings as recorded, the whole or a stretch of them.
    rate : float
        [Hz]
    events : sequence of Event
        In samples of the stretch.
    settings : Settings
    sign : float
        -1 where pushes lower the reading.
    offset : int
        Index of the stretch's first sample in the recording.
    raw : (n,) array or None
        The samples before they were filtered, where they were.
    """
    busy = np.zeros(len(samples), dtype=bool)
    for event in events:
        before = round(_GUARD_BEFORE * rate) + 1
        after = round(max(_GUARD_AFTER * rate, _GUARD_SHARE * (event.stop - event.start))) + 1
        busy[max(0, event.start - before) : event.stop + after] = True
    for place in range(len(events)):
        window = _cut(samples, rate, events, place, busy, settings, sign)
        unfiltered = None
        if raw is not None:
            unfiltered = _bridged(sign * raw[window.start : window.start + len(window.samples)])[0]
        yield replace(window, start=window.start + offset, raw=unfiltered)


def zero_window(
    window: Window, force: FloatArray, rate: float, *, mains: float | None, floor: float, only_before: bool
) -> Baseline:
    """Fit the baseline under the event of a window.

    Parameters
    ----------
    window : Window
    force : (n,) array
        The window's samples as force. [N]
    rate : float
        [Hz]
    mains : float or None
        Mains frequency found in the recording as a whole. [Hz]
    floor : float
        Least standard deviation of single samples. [N]
    only_before : bool
        Use only what lies before the event, as an AC coupling spoils what follows it.
    """
    quiet = window.quiet & ~window.missing
    if only_before:
        quiet[window.event.stop :] = False
    return fit_baseline(force, rate, quiet, window.event, mains=mains, floor=floor)


def _cut(
    samples: FloatArray,
    rate: float,
    events: Sequence[Event],
    place: int,
    busy: NDArray[np.bool_],
    settings: Settings,
    sign: float,
) -> Window:
    event = events[place]
    margin = max(3, round(_EVENT_MARGIN * (event.stop - event.start)))
    reach = round(settings.quiet * rate) + margin + round(_GUARD_AFTER * rate)
    reach += round(_GUARD_SHARE * (event.stop - event.start))
    start, stop = max(0, event.start - reach), min(len(samples), event.stop + reach)
    # the event's own margins end half-way to its neighbours
    left = (events[place - 1].stop + event.start) // 2 if place else 0
    right = (events[place + 1].start + event.stop) // 2 if place + 1 < len(events) else len(samples)
    first, last = max(start, left, event.start - margin), min(stop, right, event.stop + margin)
    part, missing = _bridged(sign * samples[start:stop])
    return Window(
        start=start,
        event=slice(first - start, last - start),
        samples=part,
        missing=missing,
        quiet=~busy[start:stop],
    )


def _bridged(samples: FloatArray) -> tuple[FloatArray, NDArray[np.bool_]]:
    """Return samples with straight lines over gaps, and where these are."""
    missing = ~np.isfinite(samples)
    if missing.any():
        index = np.arange(len(samples))
        samples[missing] = np.interp(index[missing], index[~missing], samples[~missing])
    return samples, missing
