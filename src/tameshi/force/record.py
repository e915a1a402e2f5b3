"""The machine-readable form of a reduction, as docs/results.md lays it down."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict
from typing import Any

from tameshi.force.strike import FIGURES, Reduction, Strike
from tameshi.quantity import Measured, as_dict, to_record

Form = Callable[[Measured], dict[str, Any]]
SCHEMA = "tameshi.strikes/1"


def strikes_as_dict(reduction: Reduction) -> dict[str, Any]:
    """Return a reduction as the object that ``tameshi strikes --json`` prints."""
    return _reduction(reduction, as_dict)


def strikes_to_record(reduction: Reduction) -> dict[str, Any]:
    """Return the stored form: the public one, its quantities with their sources, and the settings.

    ``tameshi.quantity.from_record`` reads the quantities back, correlations included.
    """
    return {**_reduction(reduction, to_record), "settings": asdict(reduction.settings)}


def _reduction(reduction: Reduction, form: Form) -> dict[str, Any]:
    checked = [asdict(one) for one in reduction.rehearsed]
    return {
        "schema": SCHEMA,
        "recording": {
            "file": reduction.origin.file,
            "sha256": reduction.origin.sha256,
            "rate": reduction.rate,
            "samples": reduction.samples,
            "duration": reduction.duration,
            "channel": reduction.origin.channel,
            "conversion": reduction.conversion,
            "noise": reduction.noise,
            "pad": reduction.pad,
        },
        "flags": [flag.as_dict() for flag in reduction.flags],
        "strikes": [_strike(strike, form) for strike in reduction.strikes],
        **({"budget_check": checked} if checked else {}),
    }


def _strike(strike: Strike, form: Form) -> dict[str, Any]:
    figures = {name: form(strike.figure(name)) for name in FIGURES}
    if figures["loading_rate"]["value"] is not None:
        figures["loading_rate"]["span"] = strike.loading_span
    return {
        "index": strike.index,
        "onset": strike.onset,
        "end": strike.end,
        "peak_time": strike.peak_time,
        **figures,
        "flags": [flag.as_dict() for flag in strike.flags],
    }
