"""Scale from points that somebody picked in the picture, whose places on the paper are known.

Four fix the plane, more check each other. How well a person picks, and a ruler places, goes through
the fit into the uncertainty of areas. The print has to lie among the points.
"""

import math
from dataclasses import replace
from itertools import combinations

import numpy as np

from tameshi.errors import WrongUseError
from tameshi.footprint.geometry.box import Box
from tameshi.footprint.geometry.plane import Plane, area_scatter, fit_known, tilt
from tameshi.footprint.picture.arrays import FloatArray
from tameshi.footprint.picture.spread import UNKNOWN_SPREAD
from tameshi.footprint.picture.view import View
from tameshi.footprint.references.picked import Picked
from tameshi.footprint.references.reference import Asked, Kind, Reference, Strength, lens_said
from tameshi.footprint.references.slant import slant_flags
from tameshi.quantity import Quantity, Source, rectangular_u
from tameshi.reference import row

_FEWEST = 4
_FLATTEST = 0.02  # height of a triangle beside its longest side: flatter, its corners are on a line
_AT_ODDS = 4.0  # root mean square misfit beside what picking leaves in doubt
_AROUND = 0.05  # metres beyond the points, where the paper may go on
_BENT, _FLAT = 0.005, 0.003  # of an area: sheet and lens, which points do not show; the sheet alone


def sighting(view: View, asked: Asked) -> tuple[Strength, str]:
    """Return whether points were picked: they are not in the picture, somebody has to say them."""
    del view
    if asked.picked is None:
        return "none", ""
    return "whole", f"{len(asked.picked.points)} picked points"


def establish(view: View, asked: Asked) -> Reference:
    """Return the reference that picked points give.

    Raises
    ------
    WrongUseError
        ``too-few-points``, ``points-in-line``, ``points-crossed``, ``point-outside``, ``points-at-odds``.
    UnmeasurableError
        ``too-tilted``.
    """
    picked = asked.picked or Picked(points=())
    height, width = view.pixels.shape[:2]
    seen = np.array([point.seen for point in picked.points], np.float64).reshape(-1, 2)
    places = np.array([point.place for point in picked.points], np.float64).reshape(-1, 2)
    _require_points(seen, places, (width, height))
    if _turning(seen) != _turning(places):
        places = places * (1.0, -1.0)  # measured upwards: turned over, areas stay the same
    _require_order(seen, places)
    known = asked.lens
    lens = None if known is None else known.over(width, height, asked.focal)
    plane = _fitted(seen if lens is None else lens.straightened(seen), places, picked)
    plane = replace(plane, lens=lens)
    angle = tilt(plane, width, height)
    low, high = places.min(axis=0), places.max(axis=0)
    region = Box(float(low[0]), float(low[1]), float(high[0]), float(high[1]))
    middle = (0.5 * float(low[0] + high[0]), 0.5 * float(low[1] + high[1]))
    parts = {
        Source(f"{asked.key}:points", "reference points"): area_scatter(plane, middle),
        Source(f"{asked.key}:flatness", "flatness and lens"): rectangular_u(_BENT if lens is None else _FLAT),
    }
    return Reference(
        kind="points",
        plane=plane,
        region=region,
        around=region.grown(_AROUND),
        stretch=1.0,
        area_factor=Quantity(1.0, "1", parts),
        tilt=angle,
        spread=UNKNOWN_SPREAD,
        flags=slant_flags(angle),
        key=asked.key,
        said=f"{len(seen)} points picked by hand to within {picked.within:g} pixels, "
        f"{angle:.0f} degrees from square{lens_said(0.0 if lens is None else lens.k, known=True)}.",
        edge="the edge of the rectangle around the picked points",
    )


def _require_points(seen: FloatArray, places: FloatArray, size: tuple[int, int]) -> None:
    if len(seen) < _FEWEST:
        raise WrongUseError(
            "too-few-points",
            f"{len(seen)} points were picked; a slanted view needs {_FEWEST} at least.",
            hint='Give four: --point "812,455=0 mm,0 mm" and so on, around the print.',
        )
    outside = (seen < 0.0) | (seen > np.array(size) - 1.0)
    for n in np.flatnonzero(outside.any(axis=1)):
        raise WrongUseError(
            "point-outside",
            f"Point {n + 1} at {seen[n, 0]:g},{seen[n, 1]:g} is outside of the picture, "
            f"which has {size[0]} x {size[1]} pixels.",
            hint="Count pixels from the top left corner of the picture as it is shown upright.",
        )
    for points, where in ((seen, "in the picture"), (places, "on the paper")):
        _require_spread(points, where)


def _require_spread(points: FloatArray, where: str) -> None:
    """Refuse points of which no four are free of three on a line."""
    flat = {trio for trio in combinations(range(len(points)), 3) if _is_flat(points[list(trio)])}
    if any(not flat.intersection(combinations(four, 3)) for four in combinations(range(len(points)), 4)):
        return
    numbers = ", ".join(str(n + 1) for n in min(flat))
    raise WrongUseError(
        "points-in-line",
        f"Points {numbers} lie on one line {where}, or two of them are the same.",
        hint="Pick points like the corners of a rectangle around the print.",
    )


def _is_flat(trio: FloatArray) -> bool:
    longest = max(float(np.linalg.norm(one - other)) for one, other in combinations(trio, 2))
    return abs(_area(trio)) <= _FLATTEST * 0.5 * longest**2


def _area(trio: FloatArray) -> float:
    """Return the area of a triangle, positive when its corners go clockwise."""
    (a, b), (c, d) = trio[1] - trio[0], trio[2] - trio[0]
    return 0.5 * float(a * d - b * c)


def _turning(points: FloatArray) -> bool:
    """Return whether most triangles, by area, go clockwise."""
    return sum(_area(points[list(trio)]) for trio in combinations(range(len(points)), 3)) > 0.0


def _require_order(seen: FloatArray, places: FloatArray) -> None:
    """Refuse points whose order around no camera could have changed so."""
    for trio in combinations(range(len(seen)), 3):
        one, other = seen[list(trio)], places[list(trio)]
        if _is_flat(one) or _is_flat(other):
            continue
        if _area(one) * _area(other) < 0.0:
            numbers = ", ".join(str(n + 1) for n in trio)
            raise WrongUseError(
                "points-crossed",
                f"Points {numbers} go around one way in the picture and the other way on the paper.",
                hint="Check which place belongs to which point: two of them are probably exchanged.",
            )


def _fitted(seen: FloatArray, places: FloatArray, picked: Picked) -> Plane:
    """Return the plane, with the doubts of picking and of placing in its covariance."""
    ruler = float(row("prints", "bar-reading")["half_width"])
    placed = rectangular_u(ruler if picked.placed_within is None else picked.placed_within)
    by_hand = rectangular_u(picked.within)
    covariance = by_hand**2 * np.eye(2 * len(seen))
    rough = fit_known(places, seen, covariance)
    for n, place in enumerate(places):
        slope = _slope(rough, place)
        part = slice(2 * n, 2 * n + 2)
        covariance[part, part] += placed**2 * slope @ slope.T
    plane = fit_known(places, seen, covariance)
    allowed = math.sqrt(float(np.trace(covariance)) / len(seen))
    if plane.residual > _AT_ODDS * allowed:
        raise WrongUseError(
            "points-at-odds",
            f"The points miss each other by {plane.residual:.0f} pixels; picked and placed as stated, "
            f"{allowed:.0f} would be usual.",
            hint="Check the places on the paper, and pick the points again; the paper must lie flat.",
        )
    return plane


def _slope(plane: Plane, place: FloatArray) -> FloatArray:
    """Return the (2, 2) derivative of pixels by metres at a place."""
    lifted = plane.matrix @ np.append(place, 1.0)
    point = lifted[:2] / lifted[2]
    return np.asarray((plane.matrix[:2, :2] - np.outer(point, plane.matrix[2, :2])) / lifted[2])


POINTS = Kind("points", "points", sighting, establish)
"""Points picked by hand."""
