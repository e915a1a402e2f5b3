"""From counted pixels to areas with their uncertainty.

Each named line of the budget is one cause. Scale, printer, ruler and bleed are common to prints of
one sheet, ink or scanner and carry keys that say so; what one picture does to an edge is its own.
"""

import math
from collections.abc import Iterable

from tameshi.footprint.ink.cover import Counted, Edge
from tameshi.footprint.ink.exposure import Exposure
from tameshi.footprint.ink.ridges import Ridging
from tameshi.footprint.references.reference import Reference
from tameshi.quantity import Measured, Missing, Quantity, Source, rectangular_u, total
from tameshi.reference import row

_PIXEL_ERROR = 0.06  # pixels an outline is off by, from sampling: what rendered prints show
_BLUR_ERROR = 0.05  # and so much of the blur's standard deviation
_NO_BLEED = 0.0003  # metres: pixels, ridges and a dry rim make edges so soft without any bleed
_BLED_SHIFT = 0.65  # of what is beyond: half the light and half the ink lie so far apart in a bled edge
_BRIGHT_SHIFT = 0.5  # of the softness: paper up to a fifth brighter than white shows moves half way so far
_SOFT_ERROR = 0.12  # and so much of what softens an edge beyond the blur


def contact_areas(
    counted: Counted, reference: Reference, edge: Edge, scale: float, *, bright: float = 0.0
) -> tuple[Quantity, ...]:
    """Return the contact area of each patch.

    Parameters
    ----------
    counted : Counted
    reference : Reference
    edge : Edge
    scale : float
        Metres a pixel, as drawn.
    bright : float
        How far the outline may be off since the paper is whiter than the picture can show, in pixels.
    """
    bleed = rectangular_u(float(row("prints", "ink-bleed")["half_width"]))
    parts = {Source("ink:bleed", "ink bleed"): bleed}
    bled = max(0.0, edge.softness * scale - _NO_BLEED)
    if bled > 0.0:
        parts[Source(f"{reference.key}:soft", "soft edge")] = rectangular_u(_BLED_SHIFT * bled)
    if bright > 0.0:
        parts[Source(f"{reference.key}:bright", "paper too bright")] = rectangular_u(bright * scale)
    areas = []
    for area, length in zip(_areas(counted, reference, edge, scale), counted.length, strict=True):
        for source, off in parts.items():
            area = area.with_part(source, off * float(length) * scale * reference.area_factor.value)  # noqa: PLW2901
        areas.append(area)
    return tuple(areas)


def bright_shift(edge: Edge, exposure: Exposure, *, pale: bool) -> float:
    """Return how far paper whiter than the picture can show may have moved the outline, in pixels.

    Parameters
    ----------
    edge : Edge
    exposure : Exposure
    pale : bool
        Whether the ink is pale as well.
    """
    return max(exposure.shift, _BRIGHT_SHIFT * edge.softness if pale else 0.0)


def inked_areas(
    counted: Counted, ridging: Ridging, reference: Reference, edge: Edge, scale: float
) -> tuple[Measured, ...]:
    """Return the inked area of each patch, as it is on the paper; missing where ridges could hide gaps."""
    if ridging.hidden:
        return tuple(Missing("m2", ridging.hidden) for _ in counted.length)
    areas = _areas(counted, reference, edge, scale)
    source = Source(f"{reference.key}:ridges", "ink between ridges")
    return tuple(area.with_part(source, ridging.u_share * area.value) for area in areas)


def sum_of(areas: Iterable[Quantity]) -> Quantity:
    """Return the area of all patches; where theirs are bounded on one side, so is their sum."""
    each = tuple(areas)
    whole = total(each)
    if all(area.interval is None for area in each):
        return whole
    return whole.with_interval(sum(area.low for area in each), sum(area.high for area in each))


def sum_if_known(areas: Iterable[Measured]) -> Measured:
    """Return the area of all patches; missing where that of any is."""
    each = tuple(areas)
    for area in each:
        if isinstance(area, Missing):
            return area
    return sum_of(area for area in each if isinstance(area, Quantity))


def edge_error(edge: Edge) -> float:
    """Return the standard uncertainty of an outline's place, in pixels, from sampling and blur."""
    ragged = math.sqrt(max(0.0, edge.softness**2 - edge.blur**2))
    return math.hypot(_PIXEL_ERROR, _BLUR_ERROR * edge.blur, _SOFT_ERROR * ragged)


def _areas(counted: Counted, reference: Reference, edge: Edge, scale: float) -> tuple[Quantity, ...]:
    spread = reference.spread
    pixels = counted.area(spread.linear_share)
    light = (counted.linear - counted.encoded) * spread.u_linear_share
    areas = []
    for value, length, by_light in zip(pixels, counted.length, light, strict=True):
        parts = {
            Source(f"{reference.key}:light", "light at the edge"): by_light * scale**2,
            Source(f"{reference.key}:resolution", "resolution"): edge_error(edge) * length * scale**2,
        }
        areas.append(Quantity(value * scale**2, "m2", parts) * reference.area_factor)
    return tuple(areas)
