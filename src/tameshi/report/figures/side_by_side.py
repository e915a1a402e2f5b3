"""Draw one quantity of every strike, technique under technique: each strike a point with its interval."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING

import numpy as np

from tameshi.report.drawing import Point, Series, SideBySide
from tameshi.report.figures.style import FORCE, INK, READING, WIDE

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

_LEAST_ROW, _STRIKE, _GAP = 0.55, 0.13, 0.22  # in
_ABOVE, _BELOW = 0.52, 0.50  # in
_LEFT, _RIGHT = 0.235, 0.97  # of the width
_LETTERS_A_LINE, _MOST_LINES = 14, 3
_FEWEST_CROWDED = 40


def draw_side_by_side(drawing: SideBySide) -> Figure:
    """Return the figure.

    Parameters
    ----------
    drawing : SideBySide
    """
    from matplotlib.figure import Figure  # noqa: PLC0415  heavy, and only drawing needs it

    heights = [max(_LEAST_ROW, _STRIKE * len(one.points) + _GAP) for one in drawing.series]
    heights = [min(height, _STRIKE * _FEWEST_CROWDED) for height in heights]
    whole = _ABOVE + _BELOW + sum(heights)
    figure = Figure(figsize=(WIDE, whole))
    axes = figure.add_axes((_LEFT, _BELOW / whole, _RIGHT - _LEFT, sum(heights) / whole))
    factor = drawing.axes[0].factor
    farthest = drawing.farthest
    axes.set_xlim(0.0, farthest / factor)
    axes.set_ylim(sum(heights), 0.0)
    top, middles = 0.0, []
    for one, height in zip(drawing.series, heights, strict=True):
        _row(axes, one, (top, height), factor, farthest)
        middles.append(top + 0.5 * height)
        top += height
        axes.axhline(top, color=INK, lw=0.5)
    axes.set_yticks(middles, [_wrapped(one.label) for one in drawing.series])
    _scales(axes, drawing)
    return figure


def _scales(axes: Axes, drawing: SideBySide) -> None:
    below, above = drawing.axes
    axes.tick_params(axis="y", length=0.0)
    axes.grid(visible=True, axis="x")
    axes.set_xlabel(below.label)
    over = axes.secondary_xaxis("top", functions=below.other(above))
    over.set_xlabel(above.label)


def _row(axes: Axes, one: Series, place: tuple[float, float], factor: float, farthest: float) -> None:
    top, height = place
    if one.typical is not None:
        low, high = (min(edge, farthest) / factor for edge in (one.typical.low, one.typical.high))
        axes.fill_betweenx(
            [top + 0.06, top + height - 0.06], max(0.0, low), high, color=READING, alpha=0.22, lw=0.0
        )
        mean = one.typical.value / factor
        axes.plot([mean, mean], [top + 0.06, top + height - 0.06], color=READING, lw=2.0)
    inner = height - _GAP
    offsets = np.linspace(0.0, inner, len(one.points) + 2)[1:-1] if one.points else ()
    for point, offset in zip(one.points, offsets, strict=True):
        _point(axes, point, top + 0.5 * _GAP + float(offset), factor, farthest)


def _point(axes: Axes, point: Point, height: float, factor: float, farthest: float) -> None:
    value = point.value / factor
    if point.is_bound:
        axes.plot([value], [height], marker=">", ms=6.5, color="white", mec=FORCE, mew=1.2)
        return
    edge = farthest / factor
    low, high = max(0.0, point.low) / factor, point.high / factor
    axes.plot([low, min(high, edge)], [height, height], color=FORCE, lw=1.1)
    if high > edge:
        axes.plot([edge], [height], marker=">", ms=4.5, color=FORCE, clip_on=False)
    axes.plot([value], [height], marker="o", ms=5.0, color=FORCE, mec="white", mew=0.7)


def _wrapped(label: str) -> str:
    """Return a label on lines short enough to stand beside the drawing."""
    # a rig file may hold any character; those that cannot be printed make no valid drawing
    printable = "".join(letter if letter.isprintable() else " " for letter in label)
    lines = textwrap.wrap(printable, _LETTERS_A_LINE) or [""]
    if len(lines) > _MOST_LINES:
        lines = [*lines[: _MOST_LINES - 1], f"{lines[_MOST_LINES - 1][: _LETTERS_A_LINE - 1]}…"]
    return "\n".join(lines)
