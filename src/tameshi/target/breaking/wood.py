"""Strength and stiffness of clear wood by species, direction and moisture."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from tameshi.errors import WrongUseError
from tameshi.quantity import parse_quantity
from tameshi.reference import row, table
from tameshi.target.breaking.target import Rings


def species(name: str) -> Mapping[str, Any] | None:
    """Return the row of a species, None where the table has none of this name."""
    found = table("wood_species").rows.get(name.lower().strip())
    return found if found is None else dict(found)


def stress(entry: Mapping[str, Any], name: str) -> float | None:
    """Return a strength or stiffness of a species. [Pa]"""
    return parse_quantity(entry[name], "pressure") if name in entry else None


def at_moisture(dry: float, green: float, percent: float, name: str = "others") -> float:
    """Return a property of clear wood at a moisture content.

    Parameters
    ----------
    dry, green : float
        At 12 % and of green wood, in one unit.
    percent : float
        Mass of water over mass of dry wood, in per cent.
    name : str
        Species; most share one row.

    Returns
    -------
    float
        P12 (P12 / Pg)^((12 - M) / (Mp - 12)); the green value from Mp on.

    Notes
    -----
    Source: Wood Handbook, equation 5-3. Not for tension across the grain, impact bending or work to maximum
    load.
    """
    rows = table("wood_moisture").rows
    bend = float(rows.get(name, rows["others"])["percent"])
    standard = float(row("breaking_choices", "moisture")["value"])
    return float(dry * (dry / green) ** ((standard - min(percent, bend)) / (bend - standard)))


def modulus_along(entry: Mapping[str, Any], moisture: float | None) -> float:
    """Return the stiffness that a bending test along the grain gives at a moisture content. [Pa]"""
    return _adjusted(entry, "modulus", moisture)


def strength_along(entry: Mapping[str, Any], moisture: float | None) -> float:
    """Return the bending strength along the grain at a moisture content. [Pa]"""
    return _adjusted(entry, "bending", moisture)


def modulus_across(
    entry: Mapping[str, Any], rings: Rings, moisture: float | None
) -> tuple[float, float] | None:
    """Return the least and the greatest stiffness across the grain. [Pa]

    Parameters
    ----------
    entry : mapping
        Row of the species.
    rings : "flat", "quarter" or "unknown"
        Flat rings are bent along them, upright ones across; where it is not known it is anything between.
    moisture : float or None
        Mass of water over mass of dry wood.

    Returns
    -------
    (float, float) or None
        None where the table has no ratios for the species.
    """
    if "tangential" not in entry:
        return None
    elastic = modulus_along(entry, moisture) * float(row("breaking_choices", "elastic over bending")["value"])
    ends = float(entry["tangential"]) * elastic, float(entry["radial"]) * elastic
    return {"flat": (ends[0], ends[0]), "quarter": (ends[1], ends[1]), "unknown": ends}[rings]


def density_of(entry: Mapping[str, Any], moisture: float | None) -> float:
    """Return the density from the specific gravity, which counts dry wood in its moist volume. [kg/m3]"""
    standard = 0.01 * float(row("breaking_choices", "moisture")["value"])
    return 1000.0 * float(entry["gravity"]) * (1.0 + (standard if moisture is None else moisture))


def scatter(name: str) -> float:
    """Return the coefficient of variation of clear wood from piece to piece."""
    return parse_quantity(row("wood_scatter", name)["share"], "ratio")


def refuse_moisture(moisture: float | None) -> None:
    """Refuse a moisture content that no formula here holds for.

    Raises
    ------
    WrongUseError
        ``wrong-moisture``.
    """
    limits = row("breaking_choices", "moisture")
    if moisture is None or limits["lowest"] <= 100.0 * moisture <= limits["highest"]:
        return
    raise WrongUseError(
        "wrong-moisture",
        f"A moisture of {100.0 * moisture:.3g} % is outside what the tables hold for, "
        f"{limits['lowest']:g} to {limits['highest']:g} %.",
        hint="Boards kept indoors have 6 to 12 %; dry the board or leave the moisture out.",
    )


def _adjusted(entry: Mapping[str, Any], name: str, moisture: float | None) -> float:
    dry, green = parse_quantity(entry[name], "pressure"), stress(entry, f"green_{name}")
    if moisture is None or green is None:
        return dry
    return at_moisture(dry, green, 100.0 * moisture, str(entry["key"]))
