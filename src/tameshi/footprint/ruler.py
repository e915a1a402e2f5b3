"""Scale from one ruler that lies beside the print.

Its ticks give the scale along it, and how that changes: how far the camera leaned along the ruler.
How far it leaned across cannot be seen in one row of ticks; that it looked from straight above, within a few
degrees, is assumed, goes into the uncertainty of areas by how far the print is from the ruler, and is said.
"""

from dataclasses import replace

import numpy as np

from tameshi.errors import Flag, UnitError, UnmeasurableError, WrongUseError
from tameshi.footprint.arrays import FloatArray
from tameshi.footprint.beside import paper_beside
from tameshi.footprint.edges import UNKNOWN_SPREAD
from tameshi.footprint.plane import Plane
from tameshi.footprint.reference import Asked, Kind, Reference, Strength
from tameshi.footprint.row_fit import RowFit
from tameshi.footprint.ruler_plane import Laid, Pose, local_factor, ruler_parts
from tameshi.footprint.sheet import Box
from tameshi.footprint.stated import stated_length
from tameshi.footprint.ticks import Row, find_rows
from tameshi.footprint.view import View
from tameshi.quantity import Quantity, rectangular_u
from tameshi.reference import row as stated_row

_FLAT = "flat"
_MILLIMETRE, _SIXTEENTH = 0.001, 0.0254 / 16.0
_SAME = 1e-6  # metres
_USUAL_FOCAL = 0.8  # of the picture's longer side
_BEVEL = 22.0  # degrees: bevel and lean together are less
_BESIDE = 0.003  # metres from where the ticks end: the ruler's own rim and its shadow
_STEEPEST, _TILT_WORTH_SAYING = 40.0, 20.0  # degrees along the ruler
_SMALLEST_ZONE = 0.01  # metres


def sighting(view: View, asked: Asked) -> tuple[Strength, str]:
    """Return whether a picture shows a row of ticks that is a ruler's."""
    del asked
    if view.markers:
        return "none", ""
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
    pitch, flat = _stated(asked.argument)
    chosen = _chosen(view.once(find_rows), pitch)
    fit, along = _right_handed(chosen)
    size = (view.pixels.shape[1], view.pixels.shape[0])
    splay = chosen.splay if along is chosen.along or chosen.splay is None else chosen.splay.backwards()
    laid = Laid(chosen.start, along, fit, pitch, size, splay)
    pose = _pose(laid, flat=flat)
    angle = laid.slant(pose)
    if angle > _STEEPEST:
        raise UnmeasurableError(
            "too-tilted",
            f"The ruler is seen at {angle:.0f} degrees from square.",
            hint="Photograph ruler and print from straight above.",
        )
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
        flags=tuple(_flags(angle, flat=flat)),
        key=asked.key,
        said=(
            f"Ruler, {count} {named} ticks over {np.ptp(chosen.numbers) * pitch * 1e3:.0f} mm, leaning "
            f"{laid.lean(pose.focal):.0f} degrees along it; "
            + (
                f"{abs(np.degrees(pose.across)):.0f} degrees across it by its ticks."
                if flat
                else "taken as seen from straight above across it."
            )
        ),
        local=local_factor(laid, pose, (zone.left, zone.top), asked.key),
        framed=True,
        edge="the edge of the paper beside the ruler",
    )


def _pose(laid: Laid, *, flat: bool) -> Pose:
    """Return what is taken for known: the lean across the ruler read off flat ticks, or assumed."""
    height = float(stated_row("prints", "ruler-tick-height")["value"])
    pose = Pose(_USUAL_FOCAL, 0.0, height)
    splayed = laid.splayed(pose)
    if not flat:
        if splayed is not None and abs(splayed[0]) - 3.0 * splayed[1] > np.radians(_BEVEL):
            raise UnmeasurableError(
                "too-tilted",
                f"The ticks splay as if at {np.degrees(abs(splayed[0])):.0f} degrees across the ruler: no "
                "bevel is that steep.",
                hint="Photograph ruler and print from straight above.",
            )
        return pose
    if splayed is None:
        raise UnmeasurableError(
            "no-reference",
            "The ticks are too short in the picture to tell how far they splay.",
            hint="Photograph it from nearer, or leave out flat.",
        )
    level = rectangular_u(np.radians(float(stated_row("prints", "ruler-flatness")["half_width"])))
    return Pose(_USUAL_FOCAL, splayed[0], height, float(np.hypot(splayed[1], level)))


def _stated(argument: str) -> tuple[float, bool]:
    """Return the pitch of the ticks, in metres, and whether the ruler is said to be flat."""
    words = argument.split()
    flat = _FLAT in words
    rest = " ".join(word for word in words if word != _FLAT)
    if not rest:
        return _MILLIMETRE, flat
    try:
        pitch = stated_length(rest)
    except UnitError as error:
        raise _wrong(argument) from error
    for known in (_MILLIMETRE, _SIXTEENTH):
        if abs(pitch - known) < _SAME:
            return known, flat
    raise _wrong(argument)


def _wrong(argument: str) -> WrongUseError:
    return WrongUseError(
        "wrong-tick-pitch",
        f"{argument.strip()!r} is no pitch of ticks known here.",
        hint="There are ruler (millimetre ticks), ruler:1/16 in, and ruler:flat for one without a bevel.",
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


def _flags(angle: float, *, flat: bool) -> list[Flag]:
    flags = []
    if not flat:
        within = float(stated_row("prints", "camera-above")["half_width"])
        message = (
            "One ruler does not show how far the camera leaned across it: taken as straight above, within "
            f"{within:.0f} degrees. A photo taken at more of a slant gives a wrong area."
        )
        flags.append(Flag("tilt-unknown", message))
    if angle > _TILT_WORTH_SAYING:
        flags.append(Flag("tilted", f"The ruler is seen at {angle:.0f} degrees from square."))
    return flags


RULER = Kind("ruler", "ruler:1/16 in", sighting, establish)
"""A ruler that lies beside the print."""
