"""A prediction as it stands in machine-readable results, and as a study keeps it and takes it out again."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import asdict
from typing import Any, cast

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import Flag
from tameshi.quantity import Quantity, as_dict, from_record, to_record
from tameshi.reference import table
from tameshi.target.breaking.predict import SURE, Needs, Outcome, Prediction
from tameshi.target.breaking.target import Target

FloatArray = NDArray[np.float64]
SCHEMA = "tameshi.breaking/1"
NEEDS = ("static_force", "force", "deflection", "energy", "stiffness", "mass", "period")
_RARE = 0.01
OUTCOME = ("peak", "needed", "reached", "speed", "energy")

Form = Callable[[Quantity], dict[str, Any]]


def prediction_as_dict(prediction: Prediction) -> dict[str, Any]:
    """Return the object that --json prints; see docs/results.md."""
    return _prediction(prediction, as_dict)


def prediction_to_record(prediction: Prediction) -> dict[str, Any]:
    """Return the stored form, whose quantities ``tameshi.quantity.from_record`` reads back."""
    return _prediction(prediction, to_record)


def draws_of(prediction: Prediction) -> FloatArray:
    """Return what a stored prediction needs besides its record to be drawn again.

    Returns
    -------
    (2, n) array
        Peaks on a rigid plate: those needed and those brought; (2, 0) where no strike was given. [N]
    """
    outcome = prediction.outcome
    return np.empty((2, 0)) if outcome is None else np.stack((outcome.needed_draws, outcome.peak_draws))


def prediction_from(record: Mapping[str, Any], target: Target, draws: FloatArray) -> Prediction:
    """Return a prediction that was stored.

    Parameters
    ----------
    record : mapping
        As :func:`prediction_to_record` wrote it.
    target : Target
        The target file as read.
    draws : (2, n) array
        As :func:`draws_of` returned them. [N]
    """
    strike = record["strike"]
    return Prediction(
        target=target,
        needs=Needs(**{name: _quantity(record["needs"][name]) for name in NEEDS}),
        outcome=None if strike is None else _outcome_from(strike, draws),
        sources=tuple(record["sources"]),
        flags=tuple(Flag(flag["code"], flag["message"], flag["strike"]) for flag in record["flags"]),
    )


def bound_of(chance: float) -> str | None:
    """Return whether a chance is told as a bound only: "at least", "at most" or None."""
    if chance >= SURE:
        return "at least"
    return "at most" if chance <= 1.0 - SURE else None


def chance_in_words(chance: float) -> str:
    """Return a chance in words that promise nothing."""
    if bound_of(chance) == "at least":
        return "more than 999 in 1000"
    if bound_of(chance) == "at most":
        return "fewer than 1 in 1000"
    base = 100.0 if _RARE <= chance <= 1.0 - _RARE else 1000.0
    return f"about {base * chance:.0f} in {base:.0f}"


def _prediction(prediction: Prediction, form: Form) -> dict[str, Any]:
    return {
        "schema": SCHEMA,
        "target": _without_nothing(asdict(prediction.target)),
        "needs": {name: form(getattr(prediction.needs, name)) for name in NEEDS},
        "strike": None if prediction.outcome is None else _outcome(prediction.outcome, form),
        "sources": list(prediction.sources),
        "cautions": [f"{row['lead']} {row['text']}" for row in table("breaking_cautions").rows.values()],
        "flags": [flag.as_dict() for flag in prediction.flags],
    }


def _outcome(outcome: Outcome, form: Form) -> dict[str, Any]:
    return {
        **{name: form(getattr(outcome, name)) for name in OUTCOME},
        "chance": outcome.chance,
        "chance_bound": bound_of(outcome.chance),
        "chance_by_count": list(outcome.by_count),
        "shares": dict(outcome.shares),
        "pulse_ratio": outcome.pulse_ratio,
        "dynamic_factor": outcome.dynamic_factor,
        "dynamic_factor_of_course": outcome.course_factor,
    }


def _outcome_from(strike: Mapping[str, Any], draws: FloatArray) -> Outcome:
    course = strike["dynamic_factor_of_course"]
    # objects come back in the order of their names; shares are told greatest first
    shares = sorted(strike["shares"].items(), key=lambda item: (-item[1], item[0]))
    return Outcome(
        **{name: _quantity(strike[name]) for name in OUTCOME},
        chance=float(strike["chance"]),
        by_count=tuple(float(chance) for chance in strike["chance_by_count"]),
        shares={name: float(share) for name, share in shares},
        pulse_ratio=float(strike["pulse_ratio"]),
        dynamic_factor=float(strike["dynamic_factor"]),
        course_factor=None if course is None else float(course),
        needed_draws=draws[0],
        peak_draws=draws[1],
    )


def _quantity(record: Mapping[str, Any]) -> Quantity:
    return cast("Quantity", from_record(record))


def _without_nothing(values: dict[str, Any]) -> dict[str, Any]:
    return {
        key: _without_nothing(value) if isinstance(value, dict) else value
        for key, value in values.items()
        if value is not None
    }
