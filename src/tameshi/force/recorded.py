"""The contacts of a recording, one after the other, each with what its measuring rests on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from tameshi.force.figures.context import Context
from tameshi.force.figures.measure import Found, measure_window
from tameshi.force.finding.locate import Located, conditioned, locate_events
from tameshi.force.finding.window import cut_windows
from tameshi.force.settings import Settings
from tameshi.force.trace import Trace
from tameshi.rig import Conversion, Rig

SHORTEST = 0.0004
"""A contact shorter than this is interference: no body part leaves a plate so soon. [s]"""

_RATE_FOR_SPIKES = 5000.0


def open_recording(
    trace: Trace, conversion: Conversion, *, rig: Rig | None, settings: Settings
) -> tuple[Located, Context]:
    """Return where the events of a recording are, and what measuring them needs.

    Parameters
    ----------
    trace, conversion, rig, settings
        As for :func:`tameshi.force.reduce_trace`.
    """
    located = locate_events(trace, settings, rig=rig, pushes_raise=conversion.sensitivity > 0.0)
    context = Context(
        rate=trace.rate,
        step=located.step,
        mains=None,
        conversion=conversion,
        rig=rig,
        settings=settings,
        origin=trace.origin,
        rail=_rail(rig, trace, located.sign),
        chain=f"rig:{rig.identity}" if rig else f"file:{trace.origin.sha256[:16] or trace.origin.file}",
        samples=len(trace.samples),
        spacing=trace.spacing or 0.0,
    )
    return located, context


def contacts_of(trace: Trace, located: Located, context: Context) -> Iterator[tuple[Found, Context]]:
    """Give every contact with its context; the readings of one stretch are in memory at a time."""
    for place in located.places:
        stretch, here = place.stretch, replace(context, mains=place.mains)
        samples = conditioned(trace, stretch.start, stretch.stop, context.settings)
        windows = cut_windows(
            samples,
            context.rate,
            place.events,
            context.settings,
            sign=located.sign,
            offset=stretch.start,
            raw=trace.readings(stretch.start, stretch.stop) if context.settings.channel_class else None,
        )
        for window in windows:
            for found in measure_window(window, here):
                yield found, here


def is_spike(found: Found) -> bool:
    """Return whether a contact is too short for any body part: interference, not a strike."""
    rate = found.evidence.rate
    if found.is_truncated:  # how long it lasts nobody knows
        return False
    return rate >= _RATE_FOR_SPIKES and found.samples_in / rate < SHORTEST


def _rail(rig: Rig | None, trace: Trace, sign: float) -> float | None:
    """Return the highest reading the converter can give, pushes positive."""
    if rig is None or trace.unit != "V":
        return None
    low, high = rig.converter.span
    return high - rig.converter.step if sign > 0.0 else -low
