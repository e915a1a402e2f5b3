"""Scale from our own target sheet: four markers, and a bar somebody measured.

The markers fix the paper's plane; which paper it is shows in how far apart they are. The printer's
scaling is not in the photo: a measured bar tells it, or the uncertainty stays larger.
"""

from collections import Counter
from dataclasses import replace

import numpy as np

from tameshi.errors import Flag, UnmeasurableError, WrongUseError
from tameshi.footprint.geometry.box import Box
from tameshi.footprint.geometry.lens import Lens
from tameshi.footprint.geometry.plane import Plane, area_scatter, fit_plane, pixel_size, rectify, tilt
from tameshi.footprint.picture.arrays import FloatArray
from tameshi.footprint.picture.light import as_grey
from tameshi.footprint.picture.spread import Spread, weighed
from tameshi.footprint.picture.view import View
from tameshi.footprint.references.layout import BAR_LENGTH, MARKER_PLACES, Sheet, papers, sheet_layout
from tameshi.footprint.references.reference import Asked, Kind, Reference, Strength, learnt, lens_said
from tameshi.footprint.references.sharp import require_sharp
from tameshi.footprint.references.slant import slant_flags
from tameshi.footprint.references.target.corners import Corners, refine_markers
from tameshi.footprint.references.target.flat import Laid, judge_flatness
from tameshi.footprint.references.target.markers import find_markers
from tameshi.quantity import Quantity, Source, rectangular_u
from tameshi.reference import row

_OUTWARDS = np.array([(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)])
_INSET = 0.0015  # metres inside the frame's middle where its line has surely ended
_LARGEST_RESIDUAL = 0.0015  # metres: worse than this it is no sheet of ours
_CLEARLY_BETTER = 3.0  # a paper fits better than another by this factor
_NO_SHIFT = 1e-7  # metres: too little to tell anything by
_BAR_BOUNDS = (0.85, 1.15)  # of its nominal length; beyond, something else was measured
_BEND_WORTH_SAYING, _BEND_TOO_MUCH = 0.01, 0.10  # of an area
_SATURATED = 0.98  # of full scale
_PURE_WHITE, _DARK = 252, 90  # stored values
_MOST, _DARKEST_SHARE = 0.6, 0.002  # of a picture


def sighting(view: View, asked: Asked) -> tuple[Strength, str]:
    """Return how many of the markers a picture shows."""
    del asked
    count = len({marker.identity for marker in view.once(find_markers)})
    words = f"{count} of the target sheet's {len(MARKER_PLACES)} markers"
    if count == len(MARKER_PLACES):
        return "whole", words
    return ("part" if count else "none"), words


def establish(view: View, asked: Asked) -> Reference:
    """Return the reference that the target sheet in a picture gives.

    Raises
    ------
    UnmeasurableError
        ``no-reference``, ``reference-ambiguous``, ``wrong-paper``, ``too-tilted``, ``overexposed``.
    WrongUseError
        If the bar's length cannot be one.
    """
    _require_markers(view)
    corners = refine_markers(view.pixels, view.once(find_markers))
    height, width = view.pixels.shape[:2]
    known = asked.lens
    lens = Lens(width, height) if known is None else known.over(width, height, asked.focal)
    flat = judge_flatness(
        view, lambda bent: _laid(corners, asked.paper, bent), lens, None if known is None else known.u
    )
    sheet, plane, spread = flat.laid.sheet, flat.laid.plane, flat.laid.spread
    angle = tilt(plane, width, height)
    slanted = slant_flags(angle)
    flags = [*_light_flags(view, plane, sheet, spread), *slanted]
    factor, scale_flags = _area_factor(sheet, asked)
    own = _own_scatter(plane, sheet, flat.half, asked.key)
    return Reference(
        kind="target",
        plane=plane,
        region=sheet.zone.grown(-_INSET),
        stretch=float(np.sqrt(factor.value)),
        area_factor=Quantity(factor.value, "1", {**factor.parts, **own}),
        tilt=angle,
        spread=spread,
        flags=(*flags, *_bend_flags(flat.left), *scale_flags),
        key=asked.key,
        said=f"Target sheet ({sheet.paper}), all four markers, {angle:.0f} degrees from square"
        f"{lens_said(flat.lens.k, known=known is not None)}.",
        lens=learnt(flat.lens, flat.u_k, asked),
        sheet=sheet,
        framed=True,
        edge="the frame of the zone",
    )


def _require_markers(view: View) -> None:
    counts = Counter(marker.identity for marker in view.once(find_markers))
    twice = [identity for identity, count in counts.items() if count > 1]
    if twice:
        raise UnmeasurableError(
            "reference-ambiguous",
            f"Marker {twice[0]} ({MARKER_PLACES[twice[0]]}) is in the picture {counts[twice[0]]} times.",
            hint="Show one target sheet only.",
        )
    missing = [f"{n} ({place})" for n, place in enumerate(MARKER_PLACES) if n not in counts]
    if not missing:
        return
    if not counts and is_blown_out(view):
        raise UnmeasurableError(
            "overexposed",
            "No marker of the target sheet is left in the picture: nearly all of it is pure white.",
            hint="Photograph it again with less light or a shorter exposure.",
        )
    if not counts:
        require_sharp(view)
    raise UnmeasurableError(
        "no-reference",
        f"{len(counts)} of the target sheet's 4 markers were found; missing: {', '.join(missing)}.",
        hint="All four corner squares must be in view, sharp and uncovered, with their white rims.",
    )


def is_blown_out(view: View) -> bool:
    """Return whether most of a picture is pure white and nothing in it is dark."""
    some = as_grey(np.ascontiguousarray(view.pixels[::4, ::4]))
    return float(np.mean(some >= _PURE_WHITE)) > _MOST and float(np.quantile(some, _DARKEST_SHARE)) > _DARK


def _laid(corners: Corners, declared: str | None, lens: Lens) -> Laid:
    """Return sheet, plane and edges for a lens."""
    if not lens.k:
        return Laid(*_fitted(corners, declared))
    straight = replace(
        corners, encoded=lens.straightened(corners.encoded), linear=lens.straightened(corners.linear)
    )
    sheet, plane, spread = _fitted(straight, declared)
    return Laid(sheet, replace(plane, lens=lens), spread)


def _fitted(corners: Corners, declared: str | None) -> tuple[Sheet, Plane, Spread]:
    """Return the paper whose markers fit best, the plane, and what its edges look like."""
    wanted = None if declared is None else sheet_layout(declared).paper
    fits = {}
    for paper in papers():
        plane = _plane(sheet_layout(paper), 0.5 * (corners.encoded + corners.linear))
        finest, _ = pixel_size(plane, sheet_layout(paper).zone)
        fits[paper] = plane.residual * finest
    best = min(fits, key=lambda paper: fits[paper])
    if wanted is not None and fits[wanted] > _CLEARLY_BETTER * fits[best]:
        raise UnmeasurableError(
            "wrong-paper",
            f"The sheet was said to be {wanted}, but its markers are spaced as on {best}.",
            hint=f"Leave the paper out, or say {best}.",
        )
    chosen = wanted or best
    if not fits[chosen] < _LARGEST_RESIDUAL:
        raise UnmeasurableError(
            "no-reference",
            f"The markers' corners are {fits[chosen] * 1e3:.1f} mm off their places on a flat sheet.",
            hint="Lay the sheet flat, uncover its corners and photograph it again.",
        )
    sheet = sheet_layout(chosen)
    spread = _edge_spread(sheet, corners)
    share = spread.linear_share
    return sheet, _plane(sheet, share * corners.linear + (1.0 - share) * corners.encoded), spread


def _plane(sheet: Sheet, corners: FloatArray) -> Plane:
    return fit_plane(sheet.marker_corners.reshape(-1, 2), np.tile(_OUTWARDS, (4, 1)), corners.reshape(-1, 2))


def _edge_spread(sheet: Sheet, corners: Corners) -> Spread:
    """Let the markers' size, too, say whether light was mixed at edges or stored values.

    Where the wrong of the two is taken, black squares seem larger or smaller than they were drawn,
    by more than toner spreads if pixels are coarse.
    """
    by_value, by_light = (_plane(sheet, seen).edge_shift for seen in (corners.encoded, corners.linear))
    between = by_light - by_value
    if abs(between) < _NO_SHIFT:
        return corners.spread
    toner = rectangular_u(float(row("prints", "toner-spread")["half_width"]))
    seen = (-by_value / between, toner / abs(between))
    share, unsure = weighed((corners.spread.linear_share, corners.spread.u_linear_share), seen)
    return replace(corners.spread, linear_share=share, u_linear_share=unsure)


def _area_factor(sheet: Sheet, asked: Asked) -> tuple[Quantity, list[Flag]]:
    """Return what areas as drawn are multiplied by, with the errors that prints of one sheet share."""
    if asked.bar is None:
        half = float(row("prints", "printer-scale-unchecked")["half_width"])
        parts = {
            Source(f"printer:{sheet.paper}:unchecked:{way}", "printer's scale"): rectangular_u(half)
            for way in ("across", "along")
        }
        message = (
            "Nobody measured a bar on the printed sheet: its scale is taken as 100 % within "
            f"{100.0 * half:.0f} %. A sheet fitted to the page would be off by more."
        )
        return Quantity(1.0, "1", parts), [Flag("print-scale-unchecked", message)]
    low, high = _BAR_BOUNDS
    stretch = asked.bar / BAR_LENGTH
    if not low <= stretch <= high:
        raise WrongUseError(
            "bar-not-credible",
            f"A bar of {asked.bar * 1e3:.1f} mm was given; drawn, it is {BAR_LENGTH * 1e3:.0f} mm long.",
            hint="Measure between the ticks of one bar on the printed sheet.",
        )
    reading = float(row("prints", "bar-reading")["half_width"]) / BAR_LENGTH
    other = float(row("prints", "printer-other-direction")["half_width"])
    named = f"{sheet.paper}:{asked.bar * 1000.0:.2f}mm"
    parts = {
        Source(f"bar:{named}", "bar reading"): 2.0 * stretch * rectangular_u(reading),
        Source(f"printer:{named}:other", "printer's scale"): stretch**2 * rectangular_u(other),
    }
    return Quantity(stretch**2, "1", parts), []


def _own_scatter(plane: Plane, sheet: Sheet, bend: float, key: str) -> dict[Source, float]:
    """Return the errors of scale that belong to this picture alone, as shares of an area."""
    zone = sheet.zone
    middle = (0.5 * (zone.left + zone.right), 0.5 * (zone.top + zone.bottom))
    points = Source(f"{key}:points", "reference points", plane.dof)
    return {
        points: area_scatter(plane, middle),
        Source(f"{key}:flatness", "flatness and lens"): rectangular_u(bend),
    }


def _bend_flags(left: float) -> list[Flag]:
    """Say where the sheet is not flat."""
    if left <= _BEND_WORTH_SAYING:
        return []
    if left > _BEND_TOO_MUCH:
        raise UnmeasurableError(
            "not-flat",
            f"The frame around the zone bulges so that areas could be off by {100.0 * left:.0f} %: the sheet "
            "does not lie flat.",
            hint="Press the sheet flat, or hold its corners down, and photograph it from farther away.",
        )
    message = (
        f"The frame around the zone bulges: areas may be off by {100.0 * left:.1f} %. "
        "The sheet is not flat, or the lens bends straight lines."
    )
    return [Flag("sheet-not-flat", message)]


def _light_flags(view: View, plane: Plane, sheet: Sheet, spread: Spread) -> list[Flag]:
    """Look at the grey tints: if they are as white as paper, so may be the edge of the ink."""
    if spread.white < _SATURATED:
        return []
    levels = [_brightness(view, plane, tint.box.grown(-0.001)) for tint in sheet.tints]
    if levels[1] >= _SATURATED:
        raise UnmeasurableError(
            "overexposed",
            "The picture is overexposed: the sheet's grey tints are as white as its paper.",
            hint="Photograph it again with less light or a shorter exposure.",
        )
    if levels[0] >= _SATURATED:
        return [
            Flag("bright", "The paper is brighter than the picture can show; thin ink may have been lost.")
        ]
    return []


def _brightness(view: View, plane: Plane, box: Box) -> float:
    return float(rectify(view, plane, box, 0.0005).mean()) / 255.0


TARGET = Kind("target", "target", sighting, establish)
"""The target sheet that ``tameshi target-sheet`` prints."""
