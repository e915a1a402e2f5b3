"""Scale from one ruler that lies beside the print.

Its ticks give the scale along it, and how that changes: how far the camera leaned along the ruler. How far
it leaned across shows in how the ticks splay, if they lie level with the paper. The ticks of a bevelled edge
lean with the bevel: then the camera is taken to have looked from straight above across the ruler, within a
few degrees, which goes into the uncertainty and is said. Where nobody said which it is, ticks are taken to
lie level, and where a bevel would explain their lean as well, the interval allows for that.
"""

from dataclasses import replace

import numpy as np

from tameshi.errors import Flag, UnitError, UnmeasurableError, WrongUseError
from tameshi.footprint.geometry.box import Box
from tameshi.footprint.geometry.plane import Plane
from tameshi.footprint.picture.arrays import FloatArray
from tameshi.footprint.picture.spread import UNKNOWN_SPREAD
from tameshi.footprint.picture.view import View
from tameshi.footprint.references.reference import Asked, Kind, Reference, Strength, lens_said
from tameshi.footprint.references.ruler.beside import paper_beside
from tameshi.footprint.references.ruler.lean import Lean, bevelled_lean, level_lean, unsaid_lean, unseen_lean
from tameshi.footprint.references.ruler.plane import Laid, Pose, local_factor, ruler_parts
from tameshi.footprint.references.ruler.row import RowFit
from tameshi.footprint.references.ruler.ticks import Row, find_rows
from tameshi.footprint.references.slant import slant_flags
from tameshi.footprint.references.stated import stated_length
from tameshi.quantity import Quantity, rectangular_u
from tameshi.reference import row as stated_row

_FLAT, _BEVELLED = "flat", "bevelled"
_MILLIMETRE, _SIXTEENTH = 0.001, 0.0254 / 16.0
_SAME = 1e-6  # metres
_USUAL_FOCAL = 0.8  # of the picture's longer side
_LEAN_WORTH_SAYING = 4.0  # degrees
_ODDS_WORTH_SAYING = 0.1
_BESIDE = 0.003  # metres from where the ticks end: the ruler's own rim and its shadow
_TICK_LENGTHS = (1.9, 6.5)  # pitches: the shortest ticks of millimetre scales
_SMALLEST_ZONE = 0.01  # metres


def sighting(view: View, asked: Asked) -> tuple[Strength, str]:
    """Return whether a picture shows a row of ticks that is a ruler's."""
    del asked
    rows = view.once(find_rows)
    if any(row.is_metric for row in rows):
        return "whole", "a ruler with millimetre ticks"
    if any(row.is_inch for row in rows):
        return "part", "a ruler with inch ticks"
    return "none", ""


def establish(view: View, asked: Asked) -> Reference:
    """Return the reference that a ruler beside the print gives.

    Raises
    ------
    WrongUseError
        ``wrong-tick-pitch`` where what was typed is no pitch of ticks known here.
    UnmeasurableError
        ``no-reference``, ``inch-ruler``, ``too-tilted``.
    """
    pitch, edge_is = _stated(asked.argument)
    size = (view.pixels.shape[1], view.pixels.shape[0])
    lens = None if asked.lens is None else asked.lens.over(*size, asked.focal)
    if lens is not None:
        view = View(lens.straighten(view.pixels))
    chosen = _chosen(view.once(find_rows), pitch)
    fit, along = _right_handed(chosen)
    splay = chosen.splay if along is chosen.along or chosen.splay is None else chosen.splay.backwards()
    laid = Laid(chosen.start, along, fit, pitch, size, splay)
    pose = _before(size, asked.focal)
    lean = _lean(laid, pose, edge_is)
    pose = replace(pose, across=lean.across)
    angle = laid.slant(pose)
    slanted = slant_flags(angle)
    edge = chosen.base / chosen.pitch * pitch + _BESIDE
    plane = Plane(laid.matrix(pose), _small_covariance(), float(len(chosen.numbers)), chosen.fit.scatter)
    zone = paper_beside(view, plane, edge)
    if zone is None or min(zone.width, zone.height) < _SMALLEST_ZONE:
        raise UnmeasurableError(
            "no-print",
            "No paper was found beside the ruler's millimetre edge.",
            hint="Lay the edge with the millimetre ticks towards the print, on the same paper.",
        )
    shift = np.array([[1.0, 0.0, zone.left], [0.0, 1.0, zone.top], [0.0, 0.0, 1.0]])
    plane = replace(plane, matrix=plane.matrix @ shift)
    count = len(chosen.numbers)
    named = "millimetre" if pitch < _SIXTEENTH - _SAME else "sixteenth-inch"
    return Reference(
        kind="ruler",
        plane=plane,
        region=Box(0.0, 0.0, zone.width, zone.height),
        stretch=1.0,
        area_factor=Quantity(1.0, "1", ruler_parts()),
        tilt=angle,
        spread=UNKNOWN_SPREAD,
        flags=(*slanted, *_flags(lean, edge_is), *_doubt(chosen, pitch)),
        key=asked.key,
        said=(
            f"Ruler, {count} {named} ticks over {np.ptp(chosen.numbers) * pitch * 1e3:.0f} mm, leaning "
            f"{laid.lean(pose.focal):.0f} degrees along it; "
            + (
                "taken as seen from straight above across it"
                if edge_is == _BEVELLED
                else f"{abs(np.degrees(lean.across)):.0f} degrees across it by its ticks"
            )
            + f"{lens_said(0.0 if lens is None else lens.k, known=True)}."
        ),
        local=local_factor(laid, pose, lean, (zone.left, zone.top), asked),
        straight=None if lens is None else view,
        framed=True,
        edge="the edge of the paper beside the ruler",
    )


def _before(size: tuple[int, int], focal: float | None) -> Pose:
    """Return what is known before the ticks are looked at: focal length, and height of the ticks."""
    height = float(stated_row("prints", "ruler-tick-height")["value"])
    if focal is None:
        return Pose(_USUAL_FOCAL, 0.0, height)
    spread = rectangular_u(float(stated_row("prints", "focal-length-written")["half_width"]))
    return Pose(focal * float(np.hypot(*size)) / max(size), 0.0, height, focal_spread=spread)


def _lean(laid: Laid, pose: Pose, edge_is: str) -> Lean:
    """Return how far the paper leans across the ruler, by its ticks and what is said of its edge."""
    splayed = laid.splayed(pose)
    if splayed is None:
        if edge_is == _BEVELLED:
            return unseen_lean()
        raise UnmeasurableError(
            "no-reference",
            "The ruler's ticks are too short in the picture to tell how far they splay.",
            hint="Photograph it from nearer; or from straight above, and say ruler:bevelled.",
        )
    seen, u = splayed
    if edge_is == _FLAT:
        return level_lean(seen, u)
    u_bevel = float(np.hypot(u, laid.u_by_focal(pose)))
    if edge_is != _BEVELLED:
        return unsaid_lean(seen, u, u_bevel)
    lean = bevelled_lean(seen, u_bevel)
    if lean is None:
        raise UnmeasurableError(
            "too-tilted",
            f"The ticks are seen at {np.degrees(seen):.0f} degrees across the ruler, counted down towards "
            "the print: seen from straight above, no bevel looks so.",
            hint="Photograph ruler and print from straight above; if the ticks lie level, say ruler:flat.",
        )
    return lean


def _stated(argument: str) -> tuple[float, str]:
    """Return the pitch of the ticks, in metres, and what the edge is said to be: empty where nothing is."""
    words = argument.split()
    edges = {word for word in words if word in (_FLAT, _BEVELLED)}
    rest = " ".join(word for word in words if word not in edges)
    if len(edges) > 1:
        raise _wrong(argument)
    edge = edges.pop() if edges else ""
    if not rest:
        return _MILLIMETRE, edge
    try:
        pitch = stated_length(rest)
    except UnitError as error:
        raise _wrong(argument) from error
    for known in (_MILLIMETRE, _SIXTEENTH):
        if abs(pitch - known) < _SAME:
            return known, edge
    raise _wrong(argument)


def _wrong(argument: str) -> WrongUseError:
    return WrongUseError(
        "wrong-tick-pitch",
        f"{argument.strip()!r} is no pitch of ticks known here.",
        hint="There are ruler (millimetre ticks), ruler:flat, ruler:bevelled and ruler:1/16 in.",
    )


def _chosen(rows: tuple[Row, ...], pitch: float) -> Row:
    """Return the row with most ticks among those of the wanted kind."""
    metric = pitch < _SIXTEENTH - _SAME
    fitting = [row for row in rows if (row.is_metric if metric else row.is_inch)]
    if fitting:
        return fitting[0]
    if metric and any(row.is_inch for row in rows):
        raise UnmeasurableError(
            "inch-ruler",
            "Every second tick of the ruler is longer, not every fifth: it is no millimetre scale.",
            hint="Show a millimetre scale; if the ticks are sixteenths of an inch, say ruler:1/16 in.",
        )
    if rows:
        raise UnmeasurableError(
            "no-reference",
            f"A row of {len(rows[0].numbers)} ticks was found, but not which of them are the longer ones.",
            hint="Show ticks of full length, sharp and evenly lit, at least 4 cm of them.",
        )
    raise UnmeasurableError(
        "no-reference",
        "No ruler was found: there is no row of even, dark ticks in the picture.",
        hint="Lay a ruler beside the print, at least 4 cm of it in view, ticks sharp and uncovered.",
    )


def _right_handed(row: Row) -> tuple[RowFit, FloatArray]:
    """Return the fit counted so that along the ruler and off it are right and down, seen from above."""
    if row.along[0] * row.aside[1] - row.along[1] * row.aside[0] > 0.0:
        return row.fit, row.along
    fit = row.fit
    flip = np.diag([-1.0, 1.0, -1.0])
    # place n -> -n and along -> -along: start changes sign with the way, step changes twice
    return RowFit(-fit.start, fit.step, -fit.turn, flip @ fit.covariance @ flip, fit.scatter), -row.along


def _small_covariance() -> FloatArray:
    """Return a covariance that says: not a scan. What the fit leaves open goes by place instead."""
    return np.eye(8) * 1e-30


def _flags(lean: Lean, edge_is: str) -> list[Flag]:
    """Say what the lean across the ruler rests on, where it matters."""
    if edge_is == _BEVELLED:
        within = float(stated_row("prints", "camera-above")["half_width"])
        message = (
            "The ticks of a bevelled ruler hardly show how far the camera leaned across it: taken "
            f"as straight above, within {within:.0f} degrees. Taken at more of a slant, the area is wrong."
        )
        return [Flag("tilt-unknown", message)]
    seen = float(np.degrees(abs(lean.across)))
    if edge_is == _FLAT or (seen <= _LEAN_WORTH_SAYING and lean.odds <= _ODDS_WORTH_SAYING):
        return []
    message = (
        f"By its ticks the ruler is seen at {seen:.0f} degrees across: so it is if they lie level with the "
        "paper. If they stand on a bevelled edge, "
    )
    if lean.odds <= _ODDS_WORTH_SAYING:
        return [Flag("tilt-by-ticks", f"{message}the area is wrong.")]
    return [Flag("tilt-by-ticks", f"{message}it is another one: the interval is as wide as that asks for.")]


def _doubt(chosen: Row, pitch: float) -> list[Flag]:
    """Remark on millimetre ticks of a length that such ticks have not: they may be of another scale."""
    low, high = _TICK_LENGTHS
    if pitch > _MILLIMETRE + _SAME or low <= chosen.short <= high:
        return []
    message = (
        f"If the ruler's ticks are millimetres, the shortest are {chosen.short:.1f} mm long, which is "
        "unusual: it may be a scale of tenths of an inch or of half millimetres, and the area wrong by far."
    )
    return [Flag("tick-pitch-doubtful", message)]


RULER = Kind("ruler", "ruler:flat", sighting, establish)
"""A ruler that lies beside the print."""
