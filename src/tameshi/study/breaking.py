"""Strikes of a study as what is to break targets: by technique, and never through different pads together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tameshi.errors import StudyError, TameshiError, UnmeasurableError, WrongUseError
from tameshi.quantity import from_record
from tameshi.study.describe import Recording
from tameshi.study.folder import Study
from tameshi.study.measure import CURVES, Measurement, unpacked
from tameshi.study.originals import Original, read_original, targets
from tameshi.target.breaking import (
    PlateStrike,
    Prediction,
    SeenStrike,
    course_of,
    measured_strike,
    parse_target,
    predict,
)

Strikes = Sequence[tuple[Recording, Measurement]]


@dataclass(frozen=True, slots=True, kw_only=True)
class OnTarget:
    """A technique on a target: a prediction, or why there is none."""

    technique: str
    prediction: Prediction | None = None
    error: TameshiError | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ToBreak:
    """A target that a study holds.

    Parameters
    ----------
    original : Original
    alone : Prediction or None
        What it needs, whatever strikes it; None where the file itself is refused.
    techniques : tuple of OnTarget
        One for each technique with strikes.
    error : TameshiError or None
    """

    original: Original
    alone: Prediction | None = None
    techniques: tuple[OnTarget, ...] = ()
    error: TameshiError | None = None


def break_targets(study: Study, strikes: Strikes) -> tuple[ToBreak, ...]:
    """Return every target of a study with what each technique does to it.

    Parameters
    ----------
    study : Study
    strikes : sequence of (Recording, Measurement)
        All of the study, measured.

    Raises
    ------
    StudyError
        Where the study itself is damaged. A file that describes no target is no error: it stands in its place
        with the reason.
    """
    return tuple(_to_break(study, original, strikes) for original in targets(study))


def _to_break(study: Study, original: Original, strikes: Strikes) -> ToBreak:
    try:
        text = read_original(study, original).decode("utf-8", errors="replace")
        target = parse_target(text, where=original.name)
        alone = predict(target)
    except StudyError:
        raise  # the study itself is at fault, not this file
    except TameshiError as error:
        return ToBreak(original=original, error=error)
    on_target = []
    for technique in techniques_of(strikes):
        try:
            prediction = predict(target, strike_of_technique(strikes, technique))
            on_target.append(OnTarget(technique=technique, prediction=prediction))
        except TameshiError as error:
            on_target.append(OnTarget(technique=technique, error=error))
    return ToBreak(original=original, alone=alone, techniques=tuple(on_target))


def techniques_of(strikes: Strikes) -> tuple[str, ...]:
    """Return the techniques that measured recordings of a study name, in order of first use."""
    named = (recording.description.technique for recording, outcome in strikes if outcome.error is None)
    return tuple(dict.fromkeys(technique for technique in named if technique))


def strike_of_technique(
    strikes: Strikes, technique: str | None, *, mass: float | None = None, speed: float | None = None
) -> PlateStrike:
    """Return the next strike of a technique.

    Parameters
    ----------
    strikes : sequence of (Recording, Measurement)
        All of a study.
    technique : str or None
        May be left out where the study knows only one.
    mass, speed : float or None
        Effective mass or speed at contact. [kg], [m/s]

    Raises
    ------
    WrongUseError
        ``technique-unclear``, ``unknown-technique``, ``pads-differ``, ``mass-and-speed``, ``wrong-mass``.
    UnmeasurableError
        ``no-strike``, ``no-known-peak``.
    """
    chosen = _technique(strikes, technique)
    fitting = [
        outcome
        for recording, outcome in strikes
        if outcome.error is None and recording.description.technique == chosen
    ]
    pads = {outcome.body["recording"]["pad"] for outcome in fitting if outcome.body["strikes"]}
    if len(pads) > 1:
        named = ", ".join(sorted(str(pad) for pad in pads))
        raise WrongUseError(
            "pads-differ",
            f"Strikes of {chosen!r} were measured through different pads ({named}), which do not compare.",
            hint="Give one --recording instead.",
        )
    seen = [strike for outcome in fitting for strike in _seen(outcome)]
    if not seen:
        raise UnmeasurableError(
            "no-strike", f"The study holds no measured strike of {chosen!r}.", hint="See tameshi study show."
        )
    return measured_strike(seen, mass=mass, speed=speed, pad=pads.pop())


def _technique(strikes: Strikes, technique: str | None) -> str:
    known = techniques_of(strikes)
    listed = f"Techniques: {', '.join(known) or 'none'}."
    if technique is None:
        if len(known) != 1:
            told = f"The study holds strikes of {len(known)} techniques."
            raise WrongUseError("technique-unclear", told, hint=f"Give one with --technique. {listed}")
        return known[0]
    if technique not in known:
        raise WrongUseError("unknown-technique", f"The study has no technique {technique!r}.", hint=listed)
    return technique


def _seen(outcome: Measurement) -> list[SeenStrike]:
    curves = unpacked(outcome.files[CURVES])
    return [
        SeenStrike(
            from_record(strike["peak_force"]),
            from_record(strike["impulse_to_peak"]),
            course_of(
                curve["start"],
                curve["rate"],
                curve["force"],
                onset=float(strike["onset"]),
                end=float(strike["end"]),
            ),
        )
        for strike, curve in zip(outcome.body["strikes"], curves, strict=True)
    ]
