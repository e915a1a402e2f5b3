"""Quantities as they stand in machine-readable results, and with the memory they need in a study."""

import math
from collections.abc import Mapping
from typing import Any

from tameshi.quantity.number import Measured, Missing, Quantity
from tameshi.quantity.source import Source


def as_dict(measured: Measured) -> dict[str, Any]:
    """Return the public form: value, unit, u, low, high, dof, budget, or why there is none.

    ``dof`` is None where nothing limits it.
    """
    if isinstance(measured, Missing):
        missing: dict[str, Any] = {"value": None, "unit": measured.unit, "why": measured.why}
        if measured.at_least is not None:
            missing["at_least"] = measured.at_least
        return missing
    dof = measured.dof
    return {
        "value": measured.value,
        "unit": measured.unit,
        "u": measured.u,
        "low": measured.low,
        "high": measured.high,
        "dof": dof if math.isfinite(dof) else None,
        "budget": measured.budget,
    }


def to_record(measured: Measured) -> dict[str, Any]:
    """Return the stored form: the public one and the sources, so that correlation survives."""
    record = as_dict(measured)
    if isinstance(measured, Quantity):
        record["symmetric"] = measured.interval is None
        record["parts"] = [
            [source.key, source.name, _finite(source.dof), source.group, part]
            for source, part in measured.parts.items()
        ]
    return record


def from_record(record: Mapping[str, Any]) -> Measured:
    """Return what :func:`to_record` stored."""
    if record["value"] is None:
        return Missing(record["unit"], record["why"], record.get("at_least"))
    parts = {
        Source(key, name, math.inf if dof is None else dof, group): part
        for key, name, dof, group, part in record["parts"]
    }
    interval = None if record["symmetric"] else (record["low"], record["high"])
    return Quantity(record["value"], record["unit"], parts, interval)


def _finite(dof: float) -> float | None:
    return dof if math.isfinite(dof) else None
