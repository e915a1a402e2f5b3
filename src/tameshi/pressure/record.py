"""The machine-readable form of a pressure, as docs/results.md lays it down."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from tameshi.pressure.join import Pressure
from tameshi.quantity import Quantity, as_dict, to_record

SCHEMA = "tameshi.pressure/1"


def pressure_as_dict(pressure: Pressure) -> dict[str, Any]:
    """Return a pressure as the object that ``tameshi pressure --json`` prints."""
    return _pressure(pressure, as_dict)


def pressure_to_record(pressure: Pressure) -> dict[str, Any]:
    """Return the stored form, whose quantities ``tameshi.quantity.from_record`` reads back."""
    return _pressure(pressure, to_record)


def _pressure(pressure: Pressure, form: Callable[[Quantity], dict[str, Any]]) -> dict[str, Any]:
    band = pressure.band
    return {
        "schema": SCHEMA,
        "force": form(pressure.force),
        "area": form(pressure.area),
        "mean_pressure": form(pressure.mean_pressure),
        "peak_pressure_band": {
            "low": band.low,
            "high": band.high,
            "unit": "Pa",
            "model": band.model,
            "lowest": band.lowest,
            "highest": band.highest,
            "models": [{"name": model.name, "factor": model.factor} for model in band.models],
        },
        "prints": pressure.prints,
        "own_print": pressure.own_print,
        "flags": [flag.as_dict() for flag in pressure.flags],
    }
