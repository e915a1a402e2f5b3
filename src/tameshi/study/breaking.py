"""What breaks the targets of a study: predictions, kept by recipe and made anew when that changes."""

from __future__ import annotations

import io
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import StudyError, TameshiError, WrongUseError
from tameshi.study.folder import Study
from tameshi.study.measure import Made, made
from tameshi.study.originals import Original, read_original, targets
from tameshi.study.results import Recipe, hash_of
from tameshi.study.striking import (
    Strikes,
    speed_said,
    strike_of_technique,
    strikes_of,
    technique_named,
    techniques_of,
)
from tameshi.target.breaking import (
    PlateStrike,
    Prediction,
    Target,
    draws_of,
    parse_target,
    predict,
    prediction_from,
    prediction_to_record,
)

DRAWS = "draws.npz"
FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Struck:
    """What is known of a strike besides what the plate tells: one of the two, or neither.

    Parameters
    ----------
    mass, speed : float or None
        Effective mass or speed at contact. [kg], [m/s]
    """

    mass: float | None = None
    speed: float | None = None


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


_NOTHING_SAID = Struck()


def break_targets(
    study: Study,
    strikes: Strikes,
    *,
    at: datetime,
    technique: str | None = None,
    said: Struck = _NOTHING_SAID,
) -> tuple[ToBreak, ...]:
    """Return every target of a study with what each technique does to it, worked out now or before.

    Parameters
    ----------
    study : Study
    strikes : sequence of (Recording, Measurement)
        All of the study, measured.
    at : datetime
        Now, with its time zone.
    technique : str or None
        Only this one; all that have strikes where None.
    said : Struck
        Mass or speed, in the place of the speed that the recordings say.

    Raises
    ------
    WrongUseError
        ``unknown-technique``, ``mass-and-speed``, ``wrong-mass``.
    StudyError
        Where the study itself is damaged. A file that describes no target is no error: it stands in its place
        with the reason.
    """
    named = techniques_of(strikes) if technique is None else (technique_named(strikes, technique),)
    return tuple(_to_break(study, original, strikes, named, said, at) for original in targets(study))


def predict_of_study(
    study: Study,
    original: Original,
    strikes: Strikes,
    technique: str | None,
    *,
    at: datetime,
    said: Struck = _NOTHING_SAID,
) -> Prediction:
    """Return what a technique of a study does to one of its targets, worked out now or before.

    Parameters
    ----------
    study : Study
    original : Original
        The target file.
    strikes : sequence of (Recording, Measurement)
        All of the study, measured.
    technique : str or None
        May be left out where the study knows only one.
    at : datetime
        Now, with its time zone.
    said : Struck

    Raises
    ------
    WrongUseError, UnmeasurableError
        As :func:`tameshi.study.striking.strike_of_technique` and the target file have it.
    """
    target = _target(study, original)
    return _on_target(study, original, target, strikes, technique_named(strikes, technique), said, at)


def _to_break(
    study: Study,
    original: Original,
    strikes: Strikes,
    techniques: tuple[str, ...],
    said: Struck,
    at: datetime,
) -> ToBreak:
    try:
        target = _target(study, original)
        alone = _kept(study, original, target, _recipe(original, {}, {"technique": None}), None, at)
    except StudyError:
        raise  # the study itself is at fault, not this file
    except TameshiError as error:
        return ToBreak(original=original, error=error)
    on_target = []
    for technique in techniques:
        try:
            prediction = _on_target(study, original, target, strikes, technique, said, at)
            on_target.append(OnTarget(technique=technique, prediction=prediction))
        except StudyError:
            raise
        except TameshiError as error:
            if isinstance(error, WrongUseError) and error.code in _TYPED:
                raise  # what was typed is at fault, not the strikes
            on_target.append(OnTarget(technique=technique, error=error))
    return ToBreak(original=original, alone=alone, techniques=tuple(on_target))


_TYPED = ("mass-and-speed", "wrong-mass")


def _target(study: Study, original: Original) -> Target:
    text = read_original(study, original).decode("utf-8", errors="replace")
    return parse_target(text, where=original.name)


def _on_target(
    study: Study,
    original: Original,
    target: Target,
    strikes: Strikes,
    technique: str,
    said: Struck,
    at: datetime,
) -> Prediction:
    """Return the prediction for one technique; what it depends on is its recipe."""
    used = strikes_of(strikes, technique)
    speed = said.speed
    if said.mass is None and speed is None:
        speed = speed_said(strikes, technique)
    inputs = {f"recording {number}": one.original.sha256 for number, (one, _) in enumerate(used, start=1)}
    settings = {
        "technique": technique,
        "strikes": [hash_of(outcome.body) for _, outcome in used],
        "mass": said.mass,
        "speed": speed,
    }
    strike = (strikes, technique, Struck(mass=said.mass, speed=speed))
    return _kept(study, original, target, _recipe(original, inputs, settings), strike, at)


def _recipe(original: Original, inputs: Mapping[str, str], settings: Mapping[str, Any]) -> Recipe:
    return Recipe(
        kind="breaking",
        schema="tameshi.breaking/1",
        inputs={"target": original.sha256, **inputs},
        settings=settings,
    )


def _kept(
    study: Study,
    original: Original,
    target: Target,
    recipe: Recipe,
    strike: tuple[Strikes, str, Struck] | None,
    at: datetime,
) -> Prediction:
    """Return a prediction from the catalogue, or make it and, where that is possible, store it."""

    def make() -> Made:
        found = predict(target, None if strike is None else _struck(*strike))
        return prediction_to_record(found), {DRAWS: _packed(draws_of(found))}

    outcome = made(study, original, recipe, make, at)
    if outcome.error is not None:
        raise outcome.error
    return prediction_from(outcome.body, target, _unpacked(outcome.files[DRAWS]))


def _struck(strikes: Strikes, technique: str, said: Struck) -> PlateStrike:
    return strike_of_technique(strikes, technique, mass=said.mass, speed=said.speed)


def _packed(draws: FloatArray) -> bytes:
    packed = io.BytesIO()
    np.savez(packed, draws=draws.astype(np.float32))
    return packed.getvalue()


def _unpacked(packed: bytes) -> FloatArray:
    with np.load(io.BytesIO(packed)) as arrays:
        return np.asarray(arrays["draws"], np.float64)
