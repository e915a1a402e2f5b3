"""What the bow of a sheet's edges says of the lens, and of a sheet that is not flat.

A lens bends all four edges by one coefficient; a sheet that curls bends some and not others. Where
one coefficient explains the bows it is undone; what it leaves, or all where it explains little,
goes into the uncertainty.
"""

from dataclasses import dataclass, replace

import numpy as np

from tameshi.footprint.geometry.lens import Lens
from tameshi.footprint.picture.arrays import FloatArray
from tameshi.footprint.references.sheet.borders import Bow, Edge, bow, curve_terms, meet

_WAVY = 0.00005  # metres: how far the edge of flat paper strays from a straight line
_UNSURE = 0.1  # pixels: a bow is never known better than this
_SIGNIFICANT = 3.0  # standard uncertainties
_EXPLAINED = 0.5  # root mean square bow that may be left, as a share of what there was
_STRONGEST = 0.25  # no camera's lens bends more
_ROUNDS = 3


@dataclass(frozen=True, slots=True)
class Flatness:
    """Corners with the lens undone, and what is left.

    Parameters
    ----------
    lens : Lens
        With k = 0 where nothing was undone.
    u_k : float
        Standard uncertainty of its coefficient, 0 where nothing was undone.
    corners : (4, 2) array
        In pixels of the straight picture.
    bows : four Bow
        Of the edges in it.
    bulges : (4,) array
        How far each edge's middle lies outwards of its ends, in pixels.
    """

    lens: Lens
    u_k: float
    corners: FloatArray
    bows: tuple[Bow, ...]
    bulges: FloatArray


def judge_flatness(
    edges: tuple[Edge, ...], lens: Lens, metres_a_pixel: float, u_known: float | None = None
) -> Flatness:
    """Undo the lens where the four edges agree on one, and measure what is left.

    Parameters
    ----------
    edges : four Edge
    lens : Lens
        With k = 0 where nothing is known of it.
    metres_a_pixel : float
        About, for what paper strays.
    u_known : float or None
        Standard uncertainty of k where it is known: it is undone, and no other looked for.
    """
    plain = _with(edges, lens)
    if u_known is not None:
        return replace(plain, u_k=u_known)
    unsure = np.array([_doubt(curve, metres_a_pixel) for curve in plain.bows])
    pushed = np.array([_pushed(edge, lens) for edge in edges])
    k, u_k = 0.0, 1.0 / float(np.sqrt(np.sum((pushed / unsure) ** 2)))
    bulges = plain.bulges
    for _ in range(_ROUNDS):
        k += float(np.sum(bulges * pushed / unsure**2)) * u_k**2
        if abs(k) > _STRONGEST:
            return plain
        better = _with(edges, replace(lens, k=k))
        bulges = better.bulges
    left, before = (float(np.sqrt(np.mean(one.bulges**2))) for one in (better, plain))
    if abs(k) < _SIGNIFICANT * u_k or left > _EXPLAINED * before:
        return plain
    return Flatness(better.lens, u_k, better.corners, better.bows, better.bulges)


def bulge_area(bulges: FloatArray, sizes: tuple[float, float], metres_a_pixel: float) -> float:
    """Return by how much an area in the middle may be off, as a share.

    Parameters
    ----------
    bulges : (4,) array
        Of the top, right, bottom and left edge, outwards, in pixels.
    sizes : (float, float)
        Width and height of the sheet, in metres.
    metres_a_pixel : float

    Notes
    -----
    A radial distortion that leaves the corners (a, b) in place moves the middle of the side x = a by
    -k a b^2 and changes areas at the centre by -2 k (a^2 + b^2); see ``frame``. A sheet raised in its
    middle does less for the same bulge. Derived.
    """
    a, b = 0.5 * sizes[0], 0.5 * sizes[1]
    bent = np.array([b * a**2, a * b**2, b * a**2, a * b**2])
    each = 2.0 * (a**2 + b**2) * bulges * metres_a_pixel / bent
    return float(np.sqrt(np.mean(each**2)))


def _with(edges: tuple[Edge, ...], lens: Lens) -> Flatness:
    """Return corners and bows with a lens undone."""
    straight = tuple(bow(edge, points=lens.straightened(edge.points) if lens.k else None) for edge in edges)
    corners = meet(tuple(zip(edges, straight, strict=True)))
    return Flatness(lens, 0.0, corners, straight, np.array([curve.terms[2] for curve in straight]))


def _pushed(edge: Edge, lens: Lens) -> float:
    """Return by how much a distortion of k = 1 bows an edge outwards, in pixels."""
    outwards = lens.push(edge.points) @ edge.normal
    terms = np.linalg.lstsq(curve_terms(edge.position), outwards, rcond=None)[0]
    return float(terms[2])


def _doubt(curve: Bow, metres_a_pixel: float) -> float:
    stray = _WAVY / metres_a_pixel
    return float(np.sqrt(curve.covariance[2, 2] + _UNSURE**2 + stray**2))
