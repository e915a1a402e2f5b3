"""Parts of the body as one mass on one spring, from published parameters."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from tameshi.errors import WrongUseError
from tameshi.reference import row, table
from tameshi.target.transfer.spread import Range

TABLE = "body_parts"


@dataclass(frozen=True, slots=True, kw_only=True)
class PartModel:
    """One published statement about a part.

    Parameters
    ----------
    key, name : str
    stiffness : Range [N/m]
    mass : Range [kg]
    source, mass_source : str
        Keys of the reference table ``sources``.
    """

    key: str
    name: str
    stiffness: Range
    mass: Range
    source: str
    mass_source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BodyPart:
    """A part of the body that a strike may meet.

    Parameters
    ----------
    name : str
    models : tuple of PartModel
        All that is published about it here.
    is_head : bool
        Whether measures of a head pulse mean anything for it.
    """

    name: str
    models: tuple[PartModel, ...]
    is_head: bool


def part_names() -> tuple[str, ...]:
    """Return the parts there are."""
    return tuple(dict.fromkeys(str(one["part"]) for one in table(TABLE).rows.values()))


def body_part(name: str) -> BodyPart:
    """Return a part of the body.

    Raises
    ------
    WrongUseError
        ``unknown-part``; the hint lists those there are.
    """
    wanted = " ".join(name.lower().replace("-", " ").split())
    found = [(key, one) for key, one in table(TABLE).rows.items() if one["part"] == wanted]
    if not found:
        raise WrongUseError(
            "unknown-part", f"There is no part {name!r}.", hint=f"There are: {', '.join(part_names())}."
        )
    return BodyPart(
        name=wanted,
        models=tuple(_model(key, one) for key, one in found),
        is_head=any(one["is_head"] for _, one in found),
    )


def _model(key: str, entry: Mapping[str, Any]) -> PartModel:
    return PartModel(
        key=key,
        name=entry["name"],
        stiffness=_range(entry, "stiffness"),
        mass=_range(entry, "mass"),
        source=entry["source"],
        mass_source=entry.get("mass_source", entry["source"]),
    )


def _range(entry: Mapping[str, Any], what: str) -> Range:
    """Return a range as published; a single value with the spread that is assumed of such."""
    ends = [float(entry.get(f"{what}_{end}", entry.get(what, 0.0))) for end in ("low", "high")]
    if f"{what}_low" not in entry and f"{what}_high" not in entry:
        spread = float(row("transfer_limits", f"{what}-spread")["value"])
        return Range(ends[0] / spread, ends[1] * spread)
    return Range(*ends)
