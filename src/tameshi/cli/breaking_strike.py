"""The strike that is to break something: typed, from a recording, or from a study."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from tameshi.cli.measuring import RecordingOptions, reduce_file
from tameshi.cli.pressure import pick_strike
from tameshi.errors import WrongUseError
from tameshi.quantity import parse_quantity
from tameshi.rig import expected_strike
from tameshi.study import measure_all, open_study
from tameshi.study.breaking import strike_of_technique
from tameshi.target.breaking import PlateStrike, SeenStrike, course_of, measured_strike, typed_strike


@dataclass(frozen=True, slots=True, kw_only=True)
class StrikeSaid:
    """What was typed about the strike, as it was typed."""

    peak: str | None
    duration: str | None
    rise: str | None
    scatter: str | None
    recording: Path | None
    number: int | None
    options: RecordingOptions
    study: Path | None
    technique: str | None
    mass: str | None
    speed: str | None


def strike_said(said: StrikeSaid) -> PlateStrike | None:
    """Return the strike that was meant, None where none was given.

    Raises
    ------
    WrongUseError
        ``strike-unclear`` where it was given in more than one way; ``duration-missing``.
    """
    ways = [way for way in (said.peak, said.recording, said.study) if way is not None]
    if len(ways) > 1:
        raise WrongUseError(
            "strike-unclear",
            "The strike was given in more than one way.",
            hint="Give --strike, --recording or --study, one of them.",
        )
    mass = None if said.mass is None else parse_quantity(said.mass, "mass")
    speed = None if said.speed is None else parse_quantity(said.speed, "speed")
    if said.recording is not None:
        return _recorded(said.recording, said, mass, speed)
    if said.study is not None:
        with open_study(said.study) as study:
            strikes, _ = measure_all(study, at=datetime.now(UTC))
        return strike_of_technique(strikes, said.technique, mass=mass, speed=speed)
    if said.peak is None:
        return None
    if said.duration is None:
        raise WrongUseError(
            "duration-missing",
            "A strike needs its contact duration: a short one breaks less than a long one of the same peak.",
            hint='Give --duration, such as "5 ms".',
        )
    scatter = 0.0 if said.scatter is None else parse_quantity(said.scatter, "ratio")
    expected = expected_strike(said.peak, said.duration, said.rise)
    return typed_strike(expected, scatter=scatter, mass=mass, speed=speed)


def _recorded(path: Path, said: StrikeSaid, mass: float | None, speed: float | None) -> PlateStrike:
    reduction = reduce_file(path, said.options)
    chosen = None if said.number is None else pick_strike(reduction, said.number).index
    seen = [
        SeenStrike(
            strike.peak_force,
            strike.impulse_to_peak,
            course_of(curve.start, curve.rate, curve.force, onset=strike.onset, end=strike.end),
        )
        for strike, curve in zip(reduction.strikes, reduction.curves, strict=True)
        if chosen is None or strike.index == chosen
    ]
    return measured_strike(seen, mass=mass, speed=speed, pad=reduction.pad)
