"""From a recording to its strikes: find, zero, convert, undo the cell, measure, judge.

This module only puts the steps in order; each step is in a module of its own. A long recording is worked
through stretch by stretch, so that it need not be held in memory.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from tameshi.errors import Flag, UnmeasurableError
from tameshi.force.judge import judge
from tameshi.force.locate import Located, conditioned, locate_events
from tameshi.force.measure import Context, Found, measure_window
from tameshi.force.settings import Settings
from tameshi.force.strike import Curve, Reduction, Strike
from tameshi.force.trace import Trace
from tameshi.force.window import cut_windows
from tameshi.rig import Conversion, Rig, chance_of_no_sample

_SHORTEST = 0.0004  # s: shorter than any body part stays on a plate
_RATE_FOR_SPIKES = 5000.0
_DRIFT_TOLD = 0.02
_DRIFT_IN_NOISE = 10.0
_TYPICAL_STRIKE = 0.010


@dataclass(slots=True)
class _Tally:
    """What measuring has given so far: all that a long recording leaves in memory."""

    judged: list[tuple[Strike, Curve]] = field(default_factory=list)
    spikes: int = 0
    most_samples: float = 0.0
    highest: float = 0.0
    highest_seen: float = 0.0
    ac_constant: float | None = None
    any_ac: bool = False


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
    seen_rate = 1.0 / trace.spacing if trace.spacing else trace.rate
    _check_rate(seen_rate, settings)
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
    tally = _measured(trace, located, context)
    if tally.any_ac:
        # whether a recording came through an AC coupling, its highest contact tells for all of them
        tally = _measured(trace, located, replace(context, look_for_ac=False, ac_constant=tally.ac_constant))
    _check_resolved(tally, seen_rate, settings)
    return Reduction(
        origin=trace.origin,
        rate=trace.rate,
        samples=len(trace.samples),
        noise=located.scatter / abs(conversion.sensitivity),
        conversion=conversion.origin,
        pad=rig.plate.pad if rig else None,
        settings=settings,
        strikes=tuple(strike for strike, _ in tally.judged),
        curves=tuple(curve for _, curve in tally.judged),
        flags=_recording_flags(trace, conversion, located, tally),
    )


def _measured(trace: Trace, located: Located, context: Context) -> _Tally:
    """Measure every contact; only strikes and their curves are kept."""
    tally = _Tally()
    for found in _contacts(trace, located, context):
        peak = found.evidence.shape.peak
        tally.any_ac |= found.ac_constant is not None
        if peak > tally.highest_seen:
            tally.highest_seen, tally.ac_constant = peak, found.ac_constant
        if _is_spike(found):
            tally.spikes += 1
            continue
        tally.highest = max(tally.highest, peak)
        tally.most_samples = max(tally.most_samples, found.samples_in)
        tally.judged.append(judge(found, len(tally.judged) + 1, context.settings))
    return tally


def _contacts(trace: Trace, located: Located, context: Context) -> Iterator[Found]:
    """Give every contact, with the readings of one stretch in memory at a time."""
    for place in located.places:
        stretch = place.stretch
        samples = conditioned(trace, stretch.start, stretch.stop, context.settings)
        windows = cut_windows(
            samples, context.rate, place.events, context.settings, sign=located.sign, offset=stretch.start
        )
        for window in windows:
            yield from measure_window(window, replace(context, mains=place.mains))


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


def _check_resolved(tally: _Tally, rate: float, settings: Settings) -> None:
    if not tally.judged or tally.most_samples >= settings.fewest_samples:
        return
    raise UnmeasurableError(
        "recording-too-slow",
        f"The longest contact holds {tally.most_samples:.1f} samples at {rate:g} a second; "
        f"{settings.fewest_samples:g} are needed to see its shape.",
        hint="Record with 5000 samples a second or more.",
    )


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
    trace: Trace, conversion: Conversion, located: Located, tally: _Tally
) -> tuple[Flag, ...]:
    flags = [*trace.flags, *conversion.flags]
    if not tally.judged:
        flags.append(Flag("no-strike", "Nothing stands clear of the noise: no strike was found."))
    if tally.spikes:
        told = f"{tally.spikes} spikes shorter than {1e3 * _SHORTEST:g} ms were taken for interference."
        flags.append(Flag("spikes", told))
    if located.sign * conversion.sensitivity < 0.0:
        flags.append(Flag("inverted", "Strikes push the signal down, not up; the sign was turned round."))
    drift = located.drift / abs(conversion.sensitivity)
    noise = located.scatter_of_blocks / abs(conversion.sensitivity)
    if tally.judged and drift > max(_DRIFT_TOLD * tally.highest, _DRIFT_IN_NOISE * noise):
        flags.append(Flag("baseline-drift", f"The zero wanders by {drift:.0f} N over the recording."))
    return tuple(flags)
