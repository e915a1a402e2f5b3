"""From a recording to its strikes: find, zero, convert, undo the cell, measure, judge.

This module only puts the steps in order; each step is in a module of its own.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import Flag, UnmeasurableError
from tameshi.force.background import Background, find_background
from tameshi.force.channel_class import filter_class
from tameshi.force.find import Event, find_events
from tameshi.force.judge import judge
from tameshi.force.measure import Context, Found, measure_window
from tameshi.force.settings import Settings
from tameshi.force.strike import Reduction
from tameshi.force.trace import Trace
from tameshi.force.window import Window, cut_windows
from tameshi.rig import Conversion, Rig, chance_of_no_sample

FloatArray = NDArray[np.float64]

_OTHER_WAY = 3.0
_SHORTEST = 0.0004  # s: shorter than any body part stays on a plate
_RATE_FOR_SPIKES = 5000.0
_DRIFT_TOLD = 0.02
_DRIFT_IN_NOISE = 10.0
_TYPICAL_STRIKE = 0.010


def reduce_trace(
    trace: Trace, conversion: Conversion, *, rig: Rig | None = None, settings: Settings | None = None
) -> Reduction:
    """Find and measure every strike in a recording.

    Parameters
    ----------
    trace : Trace
    conversion : Conversion
        From the trace's unit to newtons.
    rig : Rig or None
        Gives the cell's dynamics and the converter's rails, where there is a rig file.
    settings : Settings or None
        Defaults where None.

    Returns
    -------
    Reduction
        With no strikes and a flag ``no-strike`` where nothing stands clear of the noise.

    Raises
    ------
    UnmeasurableError
        ``recording-too-slow`` where no strike could be resolved at this rate.
    """
    settings = settings or Settings()
    _check_rate(trace.rate, settings)
    samples = _conditioned(trace, settings)
    background = find_background(samples, trace.rate, settings, cell=_known_cell(rig, settings))
    events, sign = _events_either_way(background, trace.rate, settings, conversion)
    context = Context(
        rate=trace.rate,
        background=background,
        conversion=conversion,
        rig=rig,
        settings=settings,
        origin=trace.origin,
        rail=_rail(rig, trace, sign),
        chain=f"rig:{rig.identity}" if rig else f"file:{trace.origin.sha256[:16] or trace.origin.file}",
        samples=len(samples),
    )
    windows = cut_windows(samples, trace.rate, events, settings, sign=sign)
    found = _measured(windows, context)
    kept = [one for one in found if not _is_spike(one)]
    _check_resolved(kept, trace.rate, settings)
    judged = [judge(one, place, settings) for place, one in enumerate(kept, start=1)]
    return Reduction(
        origin=trace.origin,
        rate=trace.rate,
        samples=len(samples),
        noise=background.scale * np.sqrt(background.size) / abs(conversion.sensitivity),
        conversion=conversion.origin,
        pad=rig.plate.pad if rig else None,
        settings=settings,
        strikes=tuple(strike for strike, _ in judged),
        curves=tuple(curve for _, curve in judged),
        flags=_recording_flags(trace, conversion, background, kept, len(found) - len(kept), sign),
    )


def _measured(windows: Sequence[Window], context: Context) -> list[Found]:
    """Return all contacts; whether they came through an AC coupling, the highest of them tells."""
    found = [one for window in windows for one in measure_window(window, context)]
    if all(one.ac_constant is None for one in found):
        return found
    highest = max(found, key=lambda one: one.evidence.shape.peak)
    again = replace(context, look_for_ac=False, ac_constant=highest.ac_constant)
    return [one for window in windows for one in measure_window(window, again)]


def _check_rate(rate: float, settings: Settings) -> None:
    if rate >= settings.slowest_rate:
        return
    missed = chance_of_no_sample(rate, _TYPICAL_STRIKE)
    raise UnmeasurableError(
        "recording-too-slow",
        f"At {rate:g} samples a second no strike can be seen: a contact of {1e3 * _TYPICAL_STRIKE:g} ms "
        + (
            f"falls between two samples {missed:.0%} of the time."
            if missed > 0.0
            else f"holds {rate * _TYPICAL_STRIKE:.1f} samples."
        ),
        hint="A weigh-scale converter cannot do this; record with 5000 samples a second or more.",
    )


def _check_resolved(found: Sequence[Found], rate: float, settings: Settings) -> None:
    if not found or any(one.samples_in >= settings.fewest_samples for one in found):
        return
    most = max(one.samples_in for one in found)
    raise UnmeasurableError(
        "recording-too-slow",
        f"The longest contact holds {most:.1f} samples at {rate:g} a second; "
        f"{settings.fewest_samples:g} are needed to see its shape.",
        hint="Record with 5000 samples a second or more.",
    )


def _conditioned(trace: Trace, settings: Settings) -> FloatArray:
    """Return the samples, filtered to the channel class where one was chosen."""
    if settings.channel_class is None:
        return trace.samples
    missing = np.isnan(trace.samples)
    bridged = trace.samples.copy()
    index = np.arange(len(bridged))
    bridged[missing] = np.interp(index[missing], index[~missing], bridged[~missing])
    filtered = filter_class(bridged, trace.rate, settings.channel_class)
    filtered[missing] = np.nan
    return filtered


def _events_either_way(
    background: Background, rate: float, settings: Settings, conversion: Conversion
) -> tuple[list[Event], float]:
    """Return the events and which way a push moves the reading."""
    expected = 1.0 if conversion.sensitivity > 0.0 else -1.0
    events = find_events(background, rate, settings, sign=expected)
    against = find_events(background, rate, settings, sign=-expected)
    highest = max((event.height for event in events), default=0.0)
    if max((event.height for event in against), default=0.0) > _OTHER_WAY * highest:
        return against, -expected
    return events, expected


def _known_cell(rig: Rig | None, settings: Settings) -> tuple[float, float] | None:
    """Return natural frequency and damping of the cell, where they are known and to be used."""
    if rig is None or rig.cell.natural_frequency is None or not settings.correct_dynamics:
        return None
    return rig.cell.natural_frequency, rig.cell.damping_ratio or 0.0


def _rail(rig: Rig | None, trace: Trace, sign: float) -> float | None:
    """Return the highest reading the converter can give, pushes positive."""
    if rig is None or trace.unit != "V":
        return None
    low, high = rig.converter.span
    return high - rig.converter.step if sign > 0.0 else -low


def _is_spike(found: Found) -> bool:
    """Return whether a contact is too short for any body part: interference, not a strike."""
    rate = found.evidence.rate
    return rate >= _RATE_FOR_SPIKES and found.samples_in / rate < _SHORTEST


def _recording_flags(
    trace: Trace,
    conversion: Conversion,
    background: Background,
    found: Sequence[Found],
    spikes: int,
    sign: float,
) -> tuple[Flag, ...]:
    flags = [*trace.flags, *conversion.flags]
    if not found:
        flags.append(Flag("no-strike", "Nothing stands clear of the noise: no strike was found."))
    if spikes:
        flags.append(
            Flag(
                "spikes", f"{spikes} spikes shorter than {1e3 * _SHORTEST:g} ms were taken for interference."
            )
        )
    if sign * conversion.sensitivity < 0.0:
        flags.append(Flag("inverted", "Strikes push the signal down, not up; the sign was turned round."))
    drift = background.drift / abs(conversion.sensitivity)
    highest = max((one.evidence.shape.peak for one in found), default=0.0)
    noise = background.scale / abs(conversion.sensitivity)
    if found and drift > max(_DRIFT_TOLD * highest, _DRIFT_IN_NOISE * noise):
        flags.append(Flag("baseline-drift", f"The zero wanders by {drift:.0f} N over the recording."))
    return tuple(flags)
