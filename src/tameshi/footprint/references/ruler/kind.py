"""Scale from one ruler that lies beside the print.

Its ticks give the scale along it, and how that changes: how far the camera leaned along the ruler. How far
it leaned across shows in how the ticks splay, if they lie level with the paper. The ticks of a bevelled edge
lean with the bevel: then the camera is taken to have looked from straight above across the ruler, within a
few degrees, which goes into the uncertainty and is said. Where nobody said which it is, ticks are taken to
lie level, and where a bevel would explain their lean as well, the interval allows for that.
"""

from collections.abc import Callable
from functools import partial

import numpy as np

from tameshi.errors import Flag, UnitError, UnmeasurableError, WrongUseError
from tameshi.footprint.geometry.box import Box
from tameshi.footprint.picture.spread import UNKNOWN_SPREAD
from tameshi.footprint.picture.view import View
from tameshi.footprint.references.reference import Asked, Kind, Reference, Strength, lens_said
from tameshi.footprint.references.ruler.laying import BEVELLED, FLAT, Lying, lay
from tameshi.footprint.references.ruler.lean import Lean
from tameshi.footprint.references.ruler.plane import local_factor, ruler_parts
from tameshi.footprint.references.ruler.ticks import Row, find_rows
from tameshi.footprint.references.slant import slant_flags
from tameshi.footprint.references.stated import stated_length
from tameshi.quantity import Quantity
from tameshi.reference import row as stated_row

_MILLIMETRE, _SIXTEENTH = 0.001, 0.0254 / 16.0
_SAME = 1e-6  # metres
_LEAN_WORTH_SAYING = 4.0  # degrees
_ODDS_WORTH_SAYING = 0.1
_MOST_EDGES, _NEARLY_AS_LONG = 3, 0.4  # edges with ticks that are tried; ticks beside those of the first
_TICK_LENGTHS = (1.9, 6.5)  # pitches: the shortest ticks of millimetre scales


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
    lens = None if asked.lens is None else asked.lens.over(*_size(view), asked.focal)
    if lens is not None:
        view = View(lens.straighten(view.pixels))
    lying = _beside_print([partial(lay, view, row, pitch, edge_is, asked) for row in _fitting(view, pitch)])
    laid, pose, lean, zone, row = lying.laid, lying.pose, lying.lean, lying.beside.box, lying.row
    angle = laid.slant(pose)
    over = np.ptp(row.numbers) * pitch * 1e3
    named = "millimetre" if pitch < _SIXTEENTH - _SAME else "sixteenth-inch"
    return Reference(
        kind="ruler",
        plane=lying.plane,
        region=Box(0.0, 0.0, zone.width, zone.height),
        stretch=1.0,
        area_factor=Quantity(1.0, "1", ruler_parts()),
        tilt=angle,
        spread=UNKNOWN_SPREAD,
        flags=(*slant_flags(angle), *_flags(lean, edge_is), *_doubt(row, pitch)),
        key=asked.key,
        said=(
            f"Ruler, {len(row.numbers)} {named} ticks over {over:.0f} mm, leaning "
            f"{laid.lean(pose.focal):.0f} degrees along it; "
            + (
                "taken as seen from straight above across it"
                if edge_is == BEVELLED
                else f"{abs(np.degrees(lean.across)):.0f} degrees across it by its ticks"
            )
            + f"{lens_said(0.0 if lens is None else lens.k, known=True)}."
        ),
        local=local_factor(laid, pose, lean, (zone.left, zone.top), asked),
        straight=None if lens is None else view,
        framed=True,
        edge="the edge of the paper beside the ruler",
    )


def _stated(argument: str) -> tuple[float, str]:
    """Return the pitch of the ticks, in metres, and what the edge is said to be: empty where nothing is."""
    words = argument.split()
    edges = {word for word in words if word in (FLAT, BEVELLED)}
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


def _beside_print(edges: list[Callable[[], Lying]]) -> Lying:
    """Return the edge, of a ruler with ticks along both, beside which the print lies.

    Parameters
    ----------
    edges : list of callable
        Each lays the plane of one, or raises UnmeasurableError; the one with most ticks first.
    """
    laid, failed = [], []
    for lay_one in edges:
        try:
            laid.append(lay_one())
        except UnmeasurableError as error:
            failed.append(error)
    if not laid:
        raise failed[0]
    return max(laid, key=lambda lying: lying.beside.held)


def _fitting(view: View, pitch: float) -> list[Row]:
    """Return the rows of the wanted kind with most ticks."""
    rows = view.once(find_rows)
    metric = pitch < _SIXTEENTH - _SAME
    fitting = [row for row in rows if (row.is_metric if metric else row.is_inch)]
    if fitting:
        least = _NEARLY_AS_LONG * len(fitting[0].numbers)
        return [row for row in fitting[:_MOST_EDGES] if len(row.numbers) >= least]
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


def _size(view: View) -> tuple[int, int]:
    return view.pixels.shape[1], view.pixels.shape[0]


def _flags(lean: Lean, edge_is: str) -> list[Flag]:
    """Say what the lean across the ruler rests on, where it matters."""
    if edge_is == BEVELLED:
        within = float(stated_row("prints", "camera-above")["half_width"])
        message = (
            "The ticks of a bevelled ruler hardly show how far the camera leaned across it: taken "
            f"as straight above, within {within:.0f} degrees. Taken at more of a slant, the area is wrong."
        )
        return [Flag("tilt-unknown", message)]
    seen = float(np.degrees(abs(lean.across)))
    if edge_is == FLAT or (seen <= _LEAN_WORTH_SAYING and lean.odds <= _ODDS_WORTH_SAYING):
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
