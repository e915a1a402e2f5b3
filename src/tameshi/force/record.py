"""The machine-readable form of a reduction, as docs/results.md lays it down."""

from __future__ import annotations

from typing import Any

from tameshi.force.strike import FIGURES, Reduction, Strike
from tameshi.quantity import as_dict

SCHEMA = "tameshi.strikes/1"


def strikes_as_dict(reduction: Reduction) -> dict[str, Any]:
    """Return a reduction as the object that ``tameshi strikes --json`` prints."""
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
        "strikes": [strike_as_dict(strike) for strike in reduction.strikes],
    }


def strike_as_dict(strike: Strike) -> dict[str, Any]:
    """Return one strike in the same form."""
    figures = {name: as_dict(strike.figure(name)) for name in FIGURES}
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
