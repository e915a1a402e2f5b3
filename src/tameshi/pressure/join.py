"""Join force and contact area into pressure, with the uncertainty of both.

A strike that left its own print is joined with it. Otherwise the law of area against force of its technique
gives the area at its force, where there is one; else its technique's typical print is taken. How much the
area varies from strike to strike is then part of the uncertainty.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from tameshi.errors import Flag, UnmeasurableError
from tameshi.pressure.area_law import AreaLaw
from tameshi.pressure.contact_model import Band, band_on_tissue, local_band
from tameshi.pressure.repeats import typical_area
from tameshi.quantity import Measured, Missing, Quantity, ratio

_RIM = "dark-rim"

AreaFrom = Literal["own print", "area law", "typical print"]
"""Where the contact area of a strike comes from."""


@dataclass(frozen=True, slots=True)
class Pressure:
    """Pressure under a strike.

    Parameters
    ----------
    force : Quantity
        Peak force. [N]
    area : Quantity
        Contact area. [m2]
    mean_pressure : Quantity
        Force over area: the mean over the contact at the peak. [Pa]
    band : Band
        What the greatest local pressure on the plate could be. [Pa]
    prints : int
        How many prints the area comes from.
    area_from : str
        ``"own print"``, ``"area law"`` or ``"typical print"``.
    flags : tuple of Flag
    """

    force: Quantity
    area: Quantity
    mean_pressure: Quantity
    band: Band
    prints: int
    area_from: AreaFrom
    flags: tuple[Flag, ...] = ()

    @property
    def on_tissue(self) -> Band:
        """What is set beside published local pressures, which were measured on soft tissue. [Pa]"""
        return band_on_tissue(self.mean_pressure)

    @property
    def own_print(self) -> bool:
        """Whether the print is the strike's own."""
        return self.area_from == "own print"


def join(
    force: Measured, area: Quantity, *, flags: Sequence[Flag] = (), strike: int | None = None
) -> Pressure:
    """Return the pressure of a strike with its own print.

    Parameters
    ----------
    force : Quantity or Missing
        Peak force. [N]
    area : Quantity
        Contact area of its print. [m2]
    flags : sequence of Flag
        Those of strike and print, carried along.
    strike : int or None
        Index of the strike, for flags made here.

    Raises
    ------
    UnmeasurableError
        ``no-force`` where the peak force is missing.
    """
    return _joined(_given(force), area, flags, strike, prints=1, area_from="own print")


def join_typical(
    force: Measured, areas: Sequence[Quantity], *, flags: Sequence[Flag] = (), strike: int | None = None
) -> Pressure:
    """Return the pressure of a strike with its technique's typical print.

    Parameters
    ----------
    force : Quantity or Missing
        Peak force. [N]
    areas : sequence of Quantity, at least one
        Contact areas of prints of the same technique. [m2]
    flags, strike
        As for :func:`join`.
    """
    given = _given(force)
    area, more = typical_area(areas, draw=_name_of(given, strike))
    added = [Flag(flag.code, flag.message, strike) for flag in more]
    return _joined(given, area, [*flags, *added], strike, prints=len(areas), area_from="typical print")


def join_by_law(
    force: Measured, law: AreaLaw, *, flags: Sequence[Flag] = (), strike: int | None = None
) -> Pressure:
    """Return the pressure of a strike with the contact area that its technique's law gives at its force.

    Parameters
    ----------
    force : Quantity or Missing
        Peak force. [N]
    law : AreaLaw
        Of the same technique on the same pad.
    flags, strike
        As for :func:`join`.

    Raises
    ------
    UnmeasurableError
        ``no-force``; ``beyond-law`` where the force is too far from those the law was fitted to.
    """
    given = _given(force)
    area = law.area_of(given, draw=_name_of(given, strike))
    return _joined(given, area, flags, strike, prints=law.count, area_from="area law")


def _name_of(force: Quantity, strike: int | None) -> str:
    """Return what tells this strike from any other: its number, and the errors its force does not share."""
    known = f"{strike}:{sorted(source.key for source in force.parts)}"
    return hashlib.sha256(known.encode()).hexdigest()[:16]


def _given(force: Measured) -> Quantity:
    if isinstance(force, Missing):
        bound = "" if force.at_least is None else f" It was at least {force.at_least:.0f} N."
        raise UnmeasurableError(
            "no-force", f"There is no peak force to divide: {force.why}.{bound}", hint="Take another strike."
        )
    return force


def _joined(
    force: Quantity,
    area: Quantity,
    flags: Sequence[Flag],
    strike: int | None,
    *,
    prints: int,
    area_from: AreaFrom,
) -> Pressure:
    if area.value <= 0.0:
        raise UnmeasurableError("no-print", "The contact area is zero.", hint="Take another print.")
    if area.low <= 0.0:
        raise UnmeasurableError(
            "area-too-uncertain",
            f"The area is only known to ±{area.expanded() / area.value:.0%}, too little to divide by.",
            hint="Take three prints of the technique or more.",
        )
    mean = ratio(force, area)
    kept = list(flags)
    if any(flag.code == _RIM for flag in flags):
        message = (
            "The print is darkest at its rim, as a hard edge leaves it: there the local pressure has no "
            "upper bound, and the band does not hold."
        )
        kept.append(Flag("unbounded-edge", message, strike))
    return Pressure(force, area, mean, local_band(mean), prints, area_from, tuple(kept))
