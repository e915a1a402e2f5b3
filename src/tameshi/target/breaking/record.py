"""A prediction as it stands in machine-readable results."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from tameshi.quantity import as_dict
from tameshi.reference import table
from tameshi.target.breaking.predict import SURE, Outcome, Prediction

SCHEMA = "tameshi.breaking/1"
NEEDS = ("static_force", "force", "deflection", "energy", "stiffness", "mass", "period")
_RARE = 0.01
OUTCOME = ("peak", "needed", "reached", "speed", "energy")


def prediction_as_dict(prediction: Prediction) -> dict[str, Any]:
    """Return the object that --json prints; see docs/results.md."""
    return {
        "schema": SCHEMA,
        "target": _without_nothing(asdict(prediction.target)),
        "needs": {name: as_dict(getattr(prediction.needs, name)) for name in NEEDS},
        "strike": None if prediction.outcome is None else _outcome(prediction.outcome),
        "sources": list(prediction.sources),
        "cautions": [f"{row['lead']} {row['text']}" for row in table("breaking_cautions").rows.values()],
        "flags": [flag.as_dict() for flag in prediction.flags],
    }


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


def _outcome(outcome: Outcome) -> dict[str, Any]:
    return {
        **{name: as_dict(getattr(outcome, name)) for name in OUTCOME},
        "chance": outcome.chance,
        "chance_bound": bound_of(outcome.chance),
        "chance_by_count": list(outcome.by_count),
        "shares": dict(outcome.shares),
        "pulse_ratio": outcome.pulse_ratio,
        "dynamic_factor": outcome.dynamic_factor,
        "dynamic_factor_of_course": outcome.course_factor,
    }


def _without_nothing(values: dict[str, Any]) -> dict[str, Any]:
    return {
        key: _without_nothing(value) if isinstance(value, dict) else value
        for key, value in values.items()
        if value is not None
    }
