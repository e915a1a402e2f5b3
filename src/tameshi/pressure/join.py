"""Join force and contact area into pressure, with the uncertainty of both.

A strike that left its own print is joined with it. Otherwise its technique's typical print is taken,
and how much the area varies from strike to strike becomes part of the uncertainty.
"""

from __future__ import annotations

import hashlib
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tameshi.errors import Flag, UnmeasurableError, WrongUseError
from tameshi.pressure.contact_model import Band, local_band
from tameshi.quantity import Measured, Missing, Quantity, Source, ratio, total
from tameshi.reference import row

_FEW = 3  # fewer prints than this say little of their own scatter
_RIM = "dark-rim"


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
        What the greatest local pressure could be. [Pa]
    prints : int
        How many prints the area comes from.
    own_print : bool
        True where the print is the strike's own.
    flags : tuple of Flag
    """

    force: Quantity
    area: Quantity
    mean_pressure: Quantity
    band: Band
    prints: int
    own_print: bool
    flags: tuple[Flag, ...] = ()


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
    return _joined(_given(force), area, flags, strike, prints=1, own_print=True)


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
    area, more = typical_area(areas)
    added = [Flag(flag.code, flag.message, strike) for flag in more]
    return _joined(_given(force), area, [*flags, *added], strike, prints=len(areas), own_print=False)


def typical_area(areas: Sequence[Quantity]) -> tuple[Quantity, tuple[Flag, ...]]:
    """Return the contact area to expect of one more strike of a technique.

    Parameters
    ----------
    areas : sequence of Quantity, at least one
        [m2]

    Returns
    -------
    Quantity
        Mean of the prints. Besides their measurement it carries the scatter from strike to strike,
        s sqrt(1 + 1/n) on n - 1 degrees of freedom: the strike it is used for is one more draw.
    tuple of Flag
        ``few-prints`` where one or two prints say too little of their scatter, and what is usual is
        counted with them.

    Raises
    ------
    WrongUseError
        If there is no print.

    Notes
    -----
    Source: JCGM 100:2008, 4.2.2 to 4.2.4 (type A evaluation), for a single further observation. With
    fewer than three prints their variance is pooled with an assumed one that counts as four degrees of
    freedom (JCGM 100:2008, 4.2.4 and H.3.6 on pooled estimates).
    """
    if not areas:
        raise WrongUseError(
            "no-print", "There is no print to take an area from.", hint="Add a print of the technique."
        )
    count = len(areas)
    mean = total(areas) * (1.0 / count)
    key = "+".join(sorted(source.key for area in areas for source in area.parts))
    variance = float(np.var([area.value for area in areas], ddof=1)) if count > 1 else 0.0
    dof = count - 1.0
    flags: tuple[Flag, ...] = ()
    if count < _FEW:
        usual = row("scatter", "contact area")
        share, weight = float(usual["share"]), float(usual["dof"])
        variance = (weight * (share * mean.value) ** 2 + dof * variance) / (weight + dof)
        dof += weight
        flags = (_few_prints(count, share),)
    source = Source(f"scatter:{_digest(key)}", "area scatter", dof)
    return mean.with_part(source, math.sqrt(variance * (1.0 + 1.0 / count))), flags


def _few_prints(count: int, share: float) -> Flag:
    held = "One print says" if count == 1 else "Two prints say"
    return Flag(
        "few-prints",
        f"{held} too little of how the area varies from strike to strike; {share:.0%} was assumed.",
    )


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
    own_print: bool,
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
    return Pressure(force, area, mean, local_band(mean), prints, own_print, tuple(kept))


def _digest(key: str) -> str:

    return hashlib.sha256(key.encode()).hexdigest()[:16]
