"""The machine-readable form of published values and comparisons, as docs/results.md lays down."""

from __future__ import annotations

from typing import Any

from tameshi.quantity import Measured, as_dict
from tameshi.tolerance.case import Case
from tameshi.tolerance.compare import Comparison
from tameshi.tolerance.kind import kind_facts
from tameshi.tolerance.modelled import Modelled
from tameshi.tolerance.published import Published
from tameshi.tolerance.reading import Reading
from tameshi.tolerance.spread import spread_of

SCHEMA = "tameshi.tolerance/1"


def published_as_dict(published: Published) -> dict[str, Any]:
    """Return a published value; numbers in coherent SI."""
    spread = spread_of(published)
    return {
        "key": published.key,
        "region": published.region,
        "structure": published.structure,
        "kind": published.kind.value,
        "value": published.value,
        "low": published.low,
        "high": published.high,
        "unit": kind_facts(published.kind).si,
        "statistic": published.statistic.value,
        "risk": published.risk,
        "count": published.count,
        "range": {"low": spread.low, "high": spread.high, "words": spread.words},
        "outcome": published.outcome,
        "endpoint": published.endpoint,
        "loading": published.loading,
        "rate": published.rate.value,
        "area": published.area,
        "pulse": list(published.pulse),
        "surfaces": list(published.surfaces),
        "surrogate": published.surrogate,
        "status": published.status.value,
        "source": published.source,
        "locator": published.locator,
        "note": published.note,
    }


def case_as_dict(case: Case) -> dict[str, Any]:
    """Return what is known of a strike that was set beside published values."""
    return {
        "label": case.label,
        "force": as_dict(case.force),
        "area": _maybe(case.area),
        "duration": _maybe(case.duration),
        "mean_pressure": as_dict(case.pressure),
        "pad": case.pad,
        "surfaces": list(case.surfaces),
        "modelled": [
            {
                "kind": one.kind.value,
                "model": one.model,
                "assumptions": list(one.assumptions),
                "doubts": list(one.doubts),
                "refused": one.refused or None,
                "regions": list(one.regions),
                "band": _band(one),
            }
            for one in case.modelled
        ],
    }


def comparison_as_dict(comparison: Comparison) -> dict[str, Any]:
    """Return a comparison; the published value is named by its key."""
    placing = comparison.placing
    record: dict[str, Any] = {
        "key": comparison.published.key,
        "comparability": comparison.comparability.value,
        "reason": comparison.reason,
        "reading": None if comparison.reading is None else _reading(comparison.reading),
        "place": None,
        "probability": None,
        "share_below": None,
        "conditions": list(comparison.conditions),
    }
    if placing is not None:
        record["place"] = placing.word
        record["probability"] = {
            "below": placing.below,
            "inside": placing.inside,
            "above": placing.above,
            "undecided": placing.undecided,
        }
        if placing.share is not None:
            share = placing.share
            record["share_below"] = {"value": share.value, "low": share.low, "high": share.high}
    return record


def _reading(reading: Reading) -> dict[str, Any]:
    return {
        "kind": reading.kind.value,
        "how": reading.how,
        "model": reading.model or None,
        "at_least": reading.at_least,
        "low": reading.least.low,
        "high": None if reading.at_least is not None else reading.most.high,
        "unit": reading.least.unit,
    }


def _band(modelled: Modelled) -> dict[str, Any]:
    """Return a modelled band, in the form of those of a transfer; no object of a measured quantity."""
    least, most = modelled.least, modelled.most
    return {
        "median": least.value if most is least else None,
        "low": least.low,
        "high": None if most is None else most.high,
        "unit": kind_facts(modelled.kind).si,
        "modelled": True,
    }


def _maybe(measured: Measured | None) -> dict[str, Any] | None:
    return None if measured is None else as_dict(measured)
