"""From a recording to its strikes: find, zero, convert, undo the cell, measure, judge.

This module only puts the steps in order; each step is in a module of its own. A long recording is worked
through stretch by stretch, so that it need not be held in memory.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from tameshi.errors import Flag, UnmeasurableError
from tameshi.force.figures.context import Context
from tameshi.force.figures.judge import judge
from tameshi.force.finding.locate import Located
from tameshi.force.recorded import SHORTEST, contacts_of, is_spike, open_recording
from tameshi.force.settings import Settings
from tameshi.force.strike import Curve, Reduction, Strike
from tameshi.force.trace import Trace
from tameshi.rig import Conversion, Rig, chance_of_no_sample

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
    located, context = open_recording(trace, conversion, rig=rig, settings=settings)
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
        flags=_recording_flags(trace, conversion, located, tally, rig=rig),
    )


def _measured(trace: Trace, located: Located, context: Context) -> _Tally:
    """Measure every contact; only strikes and their curves are kept."""
    tally = _Tally()
    for found, _ in contacts_of(trace, located, context):
        peak = found.evidence.shape.peak
        tally.any_ac |= found.ac_constant is not None
        if peak > tally.highest_seen:
            tally.highest_seen, tally.ac_constant = peak, found.ac_constant
        if is_spike(found):
            tally.spikes += 1
            continue
        tally.highest = max(tally.highest, peak)
        tally.most_samples = max(tally.most_samples, found.samples_in)
        tally.judged.append(judge(found, len(tally.judged) + 1, context.settings))
    return tally


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


def _recording_flags(
    trace: Trace, conversion: Conversion, located: Located, tally: _Tally, *, rig: Rig | None
) -> tuple[Flag, ...]:
    flags = [*trace.flags, *conversion.flags]
    if rig is not None and rig.plate.pad is None:
        flags.append(Flag("pad-not-said", "The rig file does not say what lay on the plate."))
    if not tally.judged:
        flags.append(Flag("no-strike", "Nothing stands clear of the noise: no strike was found."))
    if tally.spikes:
        told = f"{tally.spikes} spikes shorter than {1e3 * SHORTEST:g} ms were taken for interference."
        flags.append(Flag("spikes", told))
    if located.sign * conversion.sensitivity < 0.0:
        flags.append(Flag("inverted", "Strikes push the signal down, not up; the sign was turned round."))
    drift = located.drift / abs(conversion.sensitivity)
    noise = located.scatter_of_blocks / abs(conversion.sensitivity)
    if drift > max(_DRIFT_TOLD * tally.highest, _DRIFT_IN_NOISE * noise):
        flags.append(Flag("baseline-drift", f"The zero wanders by {drift:.0f} N over the recording."))
    return tuple(flags)
