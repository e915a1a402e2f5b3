"""The machine-readable forms of pressures, repeated prints and laws of area, as docs/results.md lays down."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from tameshi.pressure.area_law import AreaLaw, in_words
from tameshi.pressure.contact_model import Band
from tameshi.pressure.course import Course, Range
from tameshi.pressure.detail import Detail
from tameshi.pressure.improve import Improvement
from tameshi.pressure.join import Pressure
from tameshi.pressure.patches import PatchSplit
from tameshi.pressure.repeats import Repeats
from tameshi.quantity import Quantity, as_dict, to_record

SCHEMA = "tameshi.pressure/1"


def pressure_as_dict(pressure: Pressure) -> dict[str, Any]:
    """Return a pressure as the object that ``tameshi pressure --json`` prints."""
    return _pressure(pressure, as_dict)


def pressure_to_record(pressure: Pressure) -> dict[str, Any]:
    """Return the stored form, whose quantities ``tameshi.quantity.from_record`` reads back."""
    return _pressure(pressure, to_record)


def detail_as_dict(detail: Detail) -> dict[str, Any]:
    """Return pressure over time, by patch, and what limits it, as ``--json`` prints them."""
    return {
        "over_time": None if detail.course is None else _course(detail.course),
        "by_patch": None if detail.split is None else _split(detail.split),
        "limited_by": [_improvement(one) for one in detail.improvements],
    }


def repeats_as_dict(repeats: Repeats) -> dict[str, Any]:
    """Return what repeated prints say as the object that ``--json`` prints."""
    return {
        "count": repeats.count,
        "mean": as_dict(repeats.mean),
        "scatter": repeats.scatter,
        "scatter_interval": repeats.scatter_interval,
        "human": repeats.human,
        "next_print": as_dict(repeats.next_print),
        "shared": list(repeats.shared),
        "flags": [flag.as_dict() for flag in repeats.flags],
    }


def law_as_dict(law: AreaLaw) -> dict[str, Any]:
    """Return a law of area against force as the object that ``--json`` prints."""
    return {
        "exponent": as_dict(law.exponent),
        "force": law.force,
        "area": as_dict(law.area_at(law.force)),
        "forces": law.forces,
        "scatter": law.scatter,
        "scatter_interval": law.scatter_interval,
        "prints": law.count,
        "laws": [
            {
                "name": one.name,
                "exponent": one.exponent,
                "meaning": one.meaning,
                "inside": one.is_inside,
                "support": one.support,
            }
            for one in law.laws
        ],
        "words": in_words(law),
        "flags": [flag.as_dict() for flag in law.flags],
    }


def _pressure(pressure: Pressure, form: Callable[[Quantity], dict[str, Any]]) -> dict[str, Any]:
    return {
        "schema": SCHEMA,
        "force": form(pressure.force),
        "area": form(pressure.area),
        "mean_pressure": form(pressure.mean_pressure),
        "peak_pressure_band": _band(pressure.band),
        "peak_pressure_band_on_tissue": _band(pressure.on_tissue),
        "prints": pressure.prints,
        "own_print": pressure.own_print,
        "area_from": pressure.area_from,
        "flags": [flag.as_dict() for flag in pressure.flags],
    }


def _band(band: Band) -> dict[str, Any]:
    return {
        "low": band.low,
        "high": band.high,
        "unit": "Pa",
        "model": band.model,
        "lowest": band.lowest,
        "highest": band.highest,
        "models": [{"name": model.name, "factor": model.factor} for model in band.models],
        "meaning": band.meaning,
        "why": band.why,
    }


def _course(course: Course) -> dict[str, Any]:
    return {
        "time": course.time.tolist(),
        "pressure": None if course.pressure is None else course.pressure.tolist(),
        "low": course.low.tolist(),
        "high": course.high.tolist(),
        "within_law": course.is_within.tolist(),
        "half_duration": _given(course.half_duration),
        "pressure_impulse": _given(course.pressure_impulse),
        "exponent": None if course.exponent is None else as_dict(course.exponent),
    }


def _split(split: PatchSplit) -> dict[str, Any]:
    return {
        "justified": split.is_justified,
        "words": split.words,
        "patches": [
            {
                "index": one.index,
                "area": as_dict(one.area),
                "share": _given(one.share),
                "pressure": _given(one.pressure),
            }
            for one in split.patches
        ],
    }


def _improvement(one: Improvement) -> dict[str, Any]:
    return {
        "line": one.line,
        "share": one.share,
        "remedy": one.remedy,
        "without": one.without,
        "more": one.more,
        "of_what": one.of_what,
        "narrows_to": one.narrows_to,
        "words": one.words,
    }


def _given(found: Quantity | Range) -> dict[str, Any]:
    """Return a quantity, or the bounds that stand in its place with the reason."""
    if isinstance(found, Range):
        return {"value": None, "unit": found.unit, "low": found.low, "high": found.high, "why": found.why}
    return as_dict(found)
