"""Scale from a plain sheet of paper of known size, found by its four edges.

The print lies on the sheet itself. Edges are followed to a part of a pixel, corners are where they
meet; the size of the paper gives metres, and how it was cut the uncertainty of scale.
"""

import math
from dataclasses import replace

import numpy as np

from tameshi.errors import Flag, UnmeasurableError, WrongUseError
from tameshi.footprint.geometry.box import Box
from tameshi.footprint.geometry.lens import Lens
from tameshi.footprint.geometry.plane import Plane, area_scatter, pose, rectify
from tameshi.footprint.picture.arrays import FloatArray
from tameshi.footprint.picture.spread import UNKNOWN_SPREAD
from tameshi.footprint.picture.view import View
from tameshi.footprint.references.layout import sheet_layout
from tameshi.footprint.references.reference import Asked, Kind, Reference, Strength, learnt, lens_said
from tameshi.footprint.references.scan import sighting as scan_sighting
from tameshi.footprint.references.sharp import require_sharp
from tameshi.footprint.references.sheet.borders import Edge, find_edges
from tameshi.footprint.references.sheet.covered import covered_places
from tameshi.footprint.references.sheet.flatness import Flatness, bulge_area, judge_flatness
from tameshi.footprint.references.sheet.paper import Laid, which_paper
from tameshi.footprint.references.sheet.plain import require_plain
from tameshi.footprint.references.sheet.quad import Quad, find_quads
from tameshi.footprint.references.sheet.scanned import lies_on_glass
from tameshi.footprint.references.slant import slant_flags
from tameshi.quantity import Quantity, Source, rectangular_u
from tameshi.reference import row

_INSET = 0.004  # metres: what lies nearer the edge is shadow, fold or table
_FEWEST_SEEN = 0.35  # of each edge
_SHARE_SEEN = 0.55  # of all edges
_EDGE_PLACE = 0.15  # pixels: what an edge's place owes to shadow, thickness and sharpening
_BEND_WORTH_SAYING, _BEND_TOO_MUCH = 0.01, 0.10  # of an area
_LENS_MODEL = 0.1  # of what undoing the lens did: one coefficient is not the whole lens
_PLACES = 5  # each way, over the sheet, at which scale is looked at
_SATURATED = 252  # stored value
_ABOUT_A_SHEET = 0.06  # square metres, of either paper
_SIDE_NAMES = ("top", "right", "bottom", "left")


def sighting(view: View, asked: Asked) -> tuple[Strength, str]:
    """Return whether a plain sheet lies in the picture."""
    quads = view.once(find_quads)
    whole = [quad for quad in quads if not quad.cut]
    scanned, _ = scan_sighting(view, asked)
    if not whole:
        return ("part", "a part of a plain sheet") if quads and scanned == "none" else ("none", "")
    words = "a plain sheet" if len(whole) == 1 else f"{len(whole)} plain sheets"
    if scanned == "whole" and asked.dpi is not None:
        # a photo with such a number in its file shows the sheet in another size, or at a slant
        return ("none", "") if lies_on_glass(whole[0].corners, asked.dpi) else ("part", words)
    return "whole", words


def establish(view: View, asked: Asked) -> Reference:
    """Return the reference that a plain sheet gives.

    Raises
    ------
    UnmeasurableError
        ``no-reference``, ``reference-ambiguous``, ``wrong-paper``, ``too-tilted``, ``not-flat``.
    WrongUseError
        If there is no such paper.
    """
    declared = _declared(asked)
    require_sharp(view)
    quad = _one_sheet(view)
    edges = find_edges(view.pixels, quad.corners)
    _require_seen(edges)
    height, width = view.pixels.shape[:2]
    per_pixel = math.sqrt(_ABOUT_A_SHEET / quad.area)
    known = asked.lens
    lens = Lens(width, height) if known is None else known.over(width, height, asked.focal)
    flat = judge_flatness(edges, lens, per_pixel, None if known is None else known.u)
    covariance = _covariance(edges, flat)
    laid, plane = which_paper(flat.corners, covariance, declared, (width, height), asked.focal)
    angle, _ = pose(plane, width, height, asked.focal)
    require_plain(view, replace(plane, lens=flat.lens if flat.lens.k else None), laid)
    flags = list(slant_flags(angle))
    if flat.lens.k:
        plane = replace(plane, lens=flat.lens)
    bend, bend_flags = _bend(edges, flat, laid)
    over = covered_places(view.pixels, edges, plane)
    return Reference(
        kind="sheet",
        plane=replace(plane, residual=_residual(edges)),
        region=laid.box.grown(-_INSET),
        stretch=1.0,
        area_factor=_area_factor(plane, laid, bend, asked.key),
        tilt=angle,
        spread=UNKNOWN_SPREAD,
        flags=(*flags, *bend_flags, *_light_flags(view, plane, laid.box.grown(-_INSET))),
        key=asked.key,
        said=_said(laid, angle, flat, declared=declared is not None),
        lens=learnt(flat.lens, flat.u_k, asked),
        framed=True,
        edge="the edge of the sheet",
        covered=over,
    )


def _declared(asked: Asked) -> str | None:
    named = {sheet_layout(paper).paper for paper in (asked.argument, asked.paper) if paper}
    if len(named) > 1:
        raise WrongUseError(
            "unknown-paper",
            f"The sheet is said to be {asked.argument!r} and {asked.paper!r}.",
            hint="Name its paper once.",
        )
    return named.pop() if named else None


def _one_sheet(view: View) -> Quad:
    """Return the one sheet in the picture or say why there is none."""
    quads = view.once(find_quads)
    whole = [quad for quad in quads if not quad.cut]
    if len(whole) > 1:
        raise UnmeasurableError(
            "reference-ambiguous",
            f"There are {len(whole)} sheets in the picture.",
            hint="Show one sheet only, the one with the print, and clear away other bright rectangles.",
        )
    if whole:
        return whole[0]
    if quads:
        raise UnmeasurableError(
            "no-reference",
            f"The sheet is cut off by the picture's edge at its {' and '.join(quads[0].cut)}.",
            hint="All four edges and corners of the sheet must be in the picture, with some table around.",
        )
    raise UnmeasurableError(
        "no-reference",
        "No plain sheet was found: nothing with four straight edges stands out from what is around it.",
        hint="Lay the sheet flat on a darker, plain table and photograph it with all four edges in view.",
    )


def _require_seen(edges: tuple[Edge, ...]) -> None:
    seen = np.array([edge.seen for edge in edges])
    if seen.min() >= _FEWEST_SEEN and seen.mean() >= _SHARE_SEEN:
        return
    worst = int(np.argmin(seen))
    share = f"{100.0 * seen[worst]:.0f} %"
    raise UnmeasurableError(
        "no-reference",
        f"Of the sheet's {_SIDE_NAMES[worst]} edge only {share} can be told from the table.",
        hint="Lay the sheet on a table of another colour, with nothing over its edges.",
    )


def _covariance(edges: tuple[Edge, ...], flat: Flatness) -> FloatArray:
    """Return the (8, 8) covariance of the corners, in square pixels."""
    ends = np.zeros((8, 8))  # of each edge's offset at its start and end
    at = np.array([[1.0, -1.0, 0.0], [1.0, 1.0, 0.0]])
    for n, (edge, curve) in enumerate(zip(edges, flat.bows, strict=True)):
        place = _EDGE_PLACE**2 + (0.5 * edge.by_light) ** 2
        ends[2 * n : 2 * n + 2, 2 * n : 2 * n + 2] = at @ curve.covariance @ at.T + place
    moves = np.zeros((8, 8))
    for n, edge in enumerate(edges):
        # a corner lies on the end of the edge before it and on the start of its own
        back = np.linalg.inv(np.stack([edges[n - 1].normal, edge.normal]))
        moves[2 * n : 2 * n + 2, 2 * ((n - 1) % 4) + 1] = back[:, 0]
        moves[2 * n : 2 * n + 2, 2 * n] = back[:, 1]
    return np.asarray(moves @ ends @ moves.T)


def _area_factor(plane: Plane, laid: Laid, bend: float, key: str) -> Quantity:
    """Return what areas are multiplied by: 1, with the errors of scale as its parts."""
    half = float(row("prints", "paper-cut")["half_width"])
    middle = (0.5 * laid.width, 0.5 * laid.height)
    short, long = sorted((laid.width, laid.height))
    parts = {
        Source(f"paper:{laid.paper}:across", "paper size"): rectangular_u(half / short),
        Source(f"paper:{laid.paper}:along", "paper size"): rectangular_u(half / long),
        Source(f"{key}:points", "reference points", plane.dof): area_scatter(plane, middle),
        Source(f"{key}:flatness", "flatness and lens"): rectangular_u(bend),
    }
    return Quantity(1.0, "1", parts)


def _bend(edges: tuple[Edge, ...], flat: Flatness, laid: Laid) -> tuple[float, list[Flag]]:
    """Return the half width that a bent sheet or lens adds to an area, as a share."""
    across, along = (_length(edges[n]) for n in (0, 1))
    per_pixel = 0.5 * (laid.width / across + laid.height / along)
    left = bulge_area(flat.bulges, (laid.width, laid.height), per_pixel)
    bow = f"The sheet's edges bow by up to {np.abs(flat.bulges).max() * per_pixel * 1e3:.1f} mm:"
    if left > _BEND_TOO_MUCH:
        raise UnmeasurableError(
            "not-flat",
            f"{bow} it does not lie flat, and areas on it could be off by more than a tenth.",
            hint="Press the sheet flat, or hold its corners down, and photograph it from farther away.",
        )
    # what the lens did to an area in the middle beside the corners, and how far that is known
    undone = 0.5 * (across**2 + along**2) / flat.lens.reach**2
    half = math.hypot(left, undone * 1.96 * flat.u_k, undone * _LENS_MODEL * flat.lens.k)
    if left <= _BEND_WORTH_SAYING:
        return half, []
    message = (
        f"{bow} areas may be off by {100.0 * left:.1f} %. The sheet is not flat, or the lens bends straight "
        "lines."
    )
    return half, [Flag("sheet-not-flat", message)]


def _length(edge: Edge) -> float:
    return float(np.linalg.norm(edge.chord[1] - edge.chord[0]))


def _residual(edges: tuple[Edge, ...]) -> float:
    return float(np.sqrt(np.mean([edge.scatter**2 for edge in edges])))


def _light_flags(view: View, plane: Plane, region: Box) -> tuple[Flag, ...]:
    """Say where the paper is as bright as the picture can show: thin ink may have been lost in it."""
    if float(np.median(rectify(view, plane, region, 0.002).min(axis=2))) < _SATURATED:
        return ()
    return (Flag("bright", "The paper is brighter than the picture can show; thin ink may have been lost."),)


def _said(laid: Laid, angle: float, flat: Flatness, *, declared: bool) -> str:
    lies = "upright" if laid.height > laid.width else "lying"
    origin = "as stated" if declared else "by its proportions"
    lens = lens_said(flat.lens.k)
    return f"Plain sheet ({laid.paper}, {origin}), {lies}, {angle:.0f} degrees from square{lens}."


SHEET = Kind("sheet", "sheet:a4", sighting, establish)
"""A plain sheet of A4 or Letter on a table of another colour."""
