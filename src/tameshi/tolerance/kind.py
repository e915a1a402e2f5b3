"""Kinds of quantity: what decides whether two values may be set beside each other.

Units do not: pressure in the skull and pressure under a fist are both pascals. The facts about each kind
stand in the reference table ``tolerance_kinds``.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from typing import Literal

from tameshi.quantity import parse_unit
from tameshi.reference import row

Reach = Literal["measured", "band", "model", "never"]


class Kind(StrEnum):
    """A kind of quantity. The list is closed: every row of the table has one of these."""

    CONTACT_FORCE = "contact force"
    MEAN_PRESSURE = "mean pressure"
    LOCAL_PRESSURE = "local pressure"
    SURFACE_PRESSURE = "surface pressure"
    ABSORBED_ENERGY = "absorbed energy"
    IMPACT_ENERGY = "impact energy"
    BENDING_MOMENT = "bending moment"
    INTERNAL_FORCE = "internal force"
    HEAD_PEAK_ACCELERATION = "head peak acceleration"
    HEAD_MEAN_ACCELERATION = "head mean acceleration"
    HEAD_INJURY_CRITERION = "head injury criterion"
    HEAD_INJURY_CRITERION_15 = "head injury criterion over 15 ms"
    HEAD_INJURY_CRITERION_36 = "head injury criterion over 36 ms"
    HEAD_SEVERITY_INDEX = "head severity index"
    HEAD_HELD_ACCELERATION = "head acceleration held for 3 ms"
    INTERNAL_MOMENT = "internal moment"
    INTERNAL_PRESSURE = "internal pressure"
    AIR_PRESSURE = "air pressure"
    TISSUE_STRESS = "tissue stress"
    STRAIN_ENERGY_DENSITY = "strain energy density"
    ENERGY_DENSITY = "energy density"
    PREPARED_FORCE = "force on a prepared part"
    DEFLECTION = "deflection"
    COMPRESSION = "compression"
    VISCOUS_CRITERION = "viscous criterion"
    PROJECTILE_SPEED = "projectile speed"
    INCIDENCE = "incidence"
    BLUNT_CRITERION = "blunt criterion"
    RATIO = "ratio"
    DELIVERED_FORCE = "delivered force"
    DELIVERED_SPEED = "delivered speed"
    DELIVERED_MASS = "delivered mass"
    DELIVERED_ENERGY = "delivered energy"
    DELIVERED_HEAD_ACCELERATION = "delivered head acceleration"


@dataclass(frozen=True, slots=True)
class KindFacts:
    """What is known of a kind.

    Parameters
    ----------
    unit : str
        In which its plausible ends are written.
    si : str
        Its coherent SI unit as written for this kind.
    low, high : float
        What a plausible published value lies between. [coherent SI]
    reach : "measured", "band", "model" or "never"
        How a strike on a plate comes to such a quantity.
    why : str
        The reason, for people.
    """

    unit: str
    si: str
    low: float
    high: float
    reach: Reach
    why: str


@cache
def kind_facts(kind: Kind) -> KindFacts:
    """Return what the reference table says of a kind."""
    found = row("tolerance_kinds", kind.value)
    factor = parse_unit(found["unit"]).factor
    return KindFacts(
        found["unit"],
        found["si"],
        factor * float(found["low"]),
        factor * float(found["high"]),
        found["reach"],
        found["why"],
    )
