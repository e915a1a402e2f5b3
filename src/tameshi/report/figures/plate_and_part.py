"""Draw peak forces measured on the plate above the bands that a model gives for a part of the body."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tameshi.report.figures.style import FORCE, INK, LETTERS, QUIET, READING, WIDE
from tameshi.report.plate_and_part import CarriedRow, PlateAndPart

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

_ROW, _ABOVE, _BELOW = 0.62, 0.55, 0.52  # in
_LEFT, _RIGHT = 0.36, 0.965  # of the width
_ROOM = 1.06
_BAR = 5.0
_LIMITS, _BAND, _MEASURED = 0.66, 0.66, 0.30  # down a row


def draw_plate_and_part(drawing: PlateAndPart) -> Figure:
    """Return the figure.

    Parameters
    ----------
    drawing : PlateAndPart
    """
    from matplotlib.figure import Figure  # noqa: PLC0415  heavy, and only drawing needs it

    height = _ROW * len(drawing.rows)
    whole = _ABOVE + _BELOW + height
    figure = Figure(figsize=(WIDE, whole))
    axes = figure.add_axes((_LEFT, _BELOW / whole, _RIGHT - _LEFT, height / whole))
    below, above = drawing.axes
    axes.set_ylim(float(len(drawing.rows)), 0.0)
    axes.set_xlim(0.0, _ROOM * max(map(_end, drawing.rows)) / below.factor)
    for place, row in enumerate(drawing.rows):
        _row(axes, row, place, below.factor)
    places = [place + shift for place in range(len(drawing.rows)) for shift in (_MEASURED, _BAND)]
    labels = [
        text for row in drawing.rows for text in (f"{row.label}, plate", f"onto the {drawing.part}, modelled")
    ]
    axes.set_yticks(places, labels, fontsize=LETTERS - 1.5)
    axes.tick_params(axis="y", length=0.0)
    axes.set_xlabel(below.label)
    axes.grid(visible=True, axis="x")
    for place in range(1, len(drawing.rows)):
        axes.axhline(place, color=QUIET, lw=0.5)
    axes.secondary_xaxis("top", functions=below.other(above)).set_xlabel(above.label)
    return figure


def _row(axes: Axes, row: CarriedRow, place: int, factor: float) -> None:
    height = place + _MEASURED
    point = row.measured
    axes.plot([point.low / factor, point.high / factor], [height] * 2, color=FORCE, lw=1.6)
    axes.plot([point.value / factor], [height], "o", ms=5.5, color=FORCE, mec="white", mew=0.7)
    low, high = row.limits[0] / factor, row.limits[1]
    right = axes.get_xlim()[1] if high is None else high / factor
    axes.plot([low, right], [place + _LIMITS] * 2, color=READING, lw=0.9, ls=(0, (2, 2)))
    band = row.band
    if band is None:
        return
    end = right if band.is_bound else band.high / factor
    axes.plot([band.low / factor, end], [place + _BAND] * 2, color=READING, lw=_BAR, solid_capstyle="butt")
    if not band.is_bound:
        axes.plot([band.value / factor] * 2, [place + _BAND - 0.13, place + _BAND + 0.13], color=INK, lw=1.4)


def _end(row: CarriedRow) -> float:
    ends = [row.measured.high, row.limits[1] or 0.0]
    if row.band is not None and not row.band.is_bound:
        ends.append(row.band.high)
    return max(ends)
