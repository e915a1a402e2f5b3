"""How long, how wide and which way a patch lies: its principal axes, and the distance to its neighbours.

The axes are those of the ellipse with the same second moments. What moves the outline moves them as it
moves the area; what scales the area scales lengths by half as much, and one way of the paper may be
scaled a little otherwise than the other.
"""

import math
from dataclasses import dataclass

import numpy as np

from tameshi.footprint.ink.moments import Moments
from tameshi.footprint.picture.arrays import FloatArray
from tameshi.footprint.references.reference import Reference
from tameshi.footprint.results.model import Axes
from tameshi.quantity import Measured, Missing, Quantity, Source

_POINTS_NOWHERE = math.radians(20.0)  # standard uncertainty of a direction that says nothing
_OF_ELLIPSE = 4.0  # an ellipse's axis is four times the root of its mean square
_NO_SHAPE = 1e-9  # of the mean square: rounder than that no direction can be worked out

Parts = dict[Source, float]


@dataclass(frozen=True, slots=True)
class Lie:
    """How a patch lies on the paper, in true metres.

    Parameters
    ----------
    centre : (2,) array
    spread : (2, 2) array
        Covariance of the centre, from its own outline.
    axes : Axes
    """

    centre: FloatArray
    spread: FloatArray
    axes: Axes


def lie_of(moments: Moments, contact: Quantity, reference: Reference, scale: float) -> Lie:
    """Return how a patch lies.

    Parameters
    ----------
    moments : Moments
    contact : Quantity
        Its contact area, in square metres: its sources of error are those of the axes.
    reference : Reference
    scale : float
        Metres a pixel, as drawn.

    Notes
    -----
    Source: second moments of an ellipse, a^2/4 and b^2/4 for half axes a and b; derivatives derived.
    """
    side = scale * math.sqrt(reference.area_factor.value)
    perimeter = moments.length * side
    moved = {
        source: part / perimeter for source, part in contact.parts.items() if _is_of_edge(source, reference)
    }
    # the area is counted more finely than the pixels of the outline
    beyond = (contact.value - moments.area * side**2) / perimeter / side
    second = moments.second + beyond * moments.grown()
    squares, ways = np.linalg.eigh(second if np.all(np.linalg.eigvalsh(second) > 0.0) else moments.second)
    ways = ways[:, ::-1]  # the longer one first
    major, minor = (
        _axis(float(squares[1 - n]) * side**2, ways[:, n], moments.grown() * side, moved, reference)
        for n in (0, 1)
    )
    direction = _direction(moments, (float(squares[1]), float(squares[0])), ways, (moved, side), reference)
    off = math.hypot(*moved.values()) / side
    return Lie(
        moments.centre * side, moments.spread_of_centre() * (off * side) ** 2, Axes(major, minor, direction)
    )


def strains(way: FloatArray, reference: Reference) -> Parts:
    """Return what one metre along a way on the paper is wrong by, from the scale.

    Parameters
    ----------
    way : (2,) array
        Unit vector, x across and y down.
    reference : Reference
        Half the relative errors of its area are the lengths' own. As much again is allowed for a scale that
        differs between the two ways of the paper, and for a sheet that is not square.
    """
    factor = reference.area_factor
    both = {source: 0.5 * part / factor.value for source, part in factor.parts.items()}
    apart = 0.5 * factor.u / factor.value
    x, y = (float(one) for one in way)
    return {
        **both,
        _uneven(reference, "sides"): apart * (x * x - y * y),
        _uneven(reference, "corners"): apart * 2.0 * x * y,
    }


def _axis(square: float, way: FloatArray, grown: FloatArray, moved: Parts, reference: Reference) -> Quantity:
    """Return the length of one axis; ``square`` and ``grown`` are in metres."""
    length = _OF_ELLIPSE * math.sqrt(square)
    by_edge = 0.5 * _OF_ELLIPSE * float(way @ grown @ way) / math.sqrt(square)
    parts = {source: by_edge * part for source, part in moved.items()}
    parts |= {source: length * part for source, part in strains(way, reference).items()}
    return Quantity(length, "m", parts)


def _direction(
    moments: Moments,
    squares: tuple[float, float],
    ways: FloatArray,
    moved: tuple[Parts, float],
    reference: Reference,
) -> Measured:
    """Return the angle of the longer axis from across the sheet, towards down it."""
    parts, side = moved
    more = max(squares[0] - squares[1], _NO_SHAPE * squares[0])
    x, y = (float(one) for one in ways[:, 0])
    off = math.hypot(*parts.values()) / side
    turned = (squares[0] + squares[1]) / more
    apart = 0.5 * reference.area_factor.u / reference.area_factor.value
    angle = math.atan2(y, x)
    found = Quantity(
        angle - math.pi * math.ceil(angle / math.pi - 0.5),  # an axis has no front: over -90 up to 90 degrees
        "rad",
        {
            Source(
                f"{reference.key}:shape:{moments.centre[0]:.1f}:{moments.centre[1]:.1f}", "outline's shape"
            ): (off * moments.spread_of_product(ways) / more),
            _uneven(reference, "sides"): -2.0 * x * y * apart * turned,
            _uneven(reference, "corners"): (x * x - y * y) * apart * turned,
        },
    )
    if found.u > _POINTS_NOWHERE:
        return Missing("rad", "The patch is about as wide as long, so that it points no way.")
    return found


def _is_of_edge(source: Source, reference: Reference) -> bool:
    return source not in reference.area_factor.parts


def _uneven(reference: Reference, what: str) -> Source:
    return Source(f"{reference.key}:uneven-{what}", "scale one way against the other")
