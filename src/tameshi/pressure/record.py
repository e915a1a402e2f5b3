"""The machine-readable form of a pressure, as docs/results.md lays it down."""

from __future__ import annotations

from typing import Any

from tameshi.pressure.join import Pressure
from tameshi.quantity import as_dict

SCHEMA = "tameshi.pressure/1"


def pressure_as_dict(pressure: Pressure) -> dict[str, Any]:
    """Return a pressure as the object that ``tameshi pressure --json`` prints."""
    band = pressure.band
    return {
        "schema": SCHEMA,
        "force": as_dict(pressure.force),
        "area": as_dict(pressure.area),
        "mean_pressure": as_dict(pressure.mean_pressure),
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
