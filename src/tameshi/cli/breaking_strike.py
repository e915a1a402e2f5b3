"""What is to break something: a strike that is typed or recorded, or the strikes of a study."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from tameshi.cli.breaking_study import break_study, predict_with
from tameshi.cli.measuring import RecordingOptions, load_target, reduce_file
from tameshi.cli.pressure import pick_strike
from tameshi.errors import UnmeasurableError, WrongUseError
from tameshi.quantity import parse_quantity
from tameshi.rig import expected_strike
from tameshi.study import Struck, ToBreak
from tameshi.target.breaking import (
    PlateStrike,
    Prediction,
    SeenStrike,
    course_of,
    measured_strike,
    predict,
    typed_strike,
)


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


def prediction_said(target: Path, said: StrikeSaid) -> Prediction:
    """Return what the strike that was meant does to a target file.

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
    if said.study is not None:
        return predict_with(target, said.study, said.technique, _struck(said))
    return predict(load_target(target), _strike(said))


def of_study(folder: Path, said: StrikeSaid) -> tuple[str, tuple[ToBreak, ...]]:
    """Return a study's name and its targets under its techniques.

    Raises
    ------
    WrongUseError
        ``strike-unclear`` where another strike was given as well.
    """
    if any(way is not None for way in (said.peak, said.recording, said.study)):
        raise WrongUseError(
            "strike-unclear",
            "A study brings its own strikes.",
            hint="Name a target file for another strike, or leave out --strike, --recording and --study.",
        )
    return break_study(folder, said.technique, _struck(said))


def _struck(said: StrikeSaid) -> Struck:
    return Struck(
        mass=None if said.mass is None else parse_quantity(said.mass, "mass"),
        speed=None if said.speed is None else parse_quantity(said.speed, "speed"),
    )


def _strike(said: StrikeSaid) -> PlateStrike | None:
    """Return the strike that was typed or recorded, None where none was given."""
    known = _struck(said)
    mass, speed = known.mass, known.speed
    if said.recording is not None:
        return _recorded(said.recording, said, mass, speed)
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
    if not reduction.strikes:
        raise UnmeasurableError(
            "no-strike", f"{path.name} holds no strike.", hint="Check the recording with tameshi strikes."
        )
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
