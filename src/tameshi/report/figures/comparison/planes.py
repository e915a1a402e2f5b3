"""Draw planes of two figures on logarithmic scales, with lines along which what they make is the same."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from tameshi.report.comparison.drawings import Cloud, ForceArea, Level, SpeedMass
from tameshi.report.figures.area_force import round_numbers
from tameshi.report.figures.comparison.marks import POINT, colour, printable, shape
from tameshi.report.figures.style import LETTERS, QUIET, WIDE

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

_HEIGHT, _LEGEND_LINE = 3.9, 0.2  # in
_LEFT, _RIGHT, _BOTTOM, _TOP = 0.78, 0.80, 0.55, 0.62  # in, around the plane
_ROOM = 1.25  # beyond points on either side
_OVER = 4.6  # of the letters, from the plane to its legend: the upper scale stands between
_A_ROW = 3  # names in a row of the legend
_PHRASE = 8.5  # pt, of words along a line
_MIDDLE = 0.5  # of a line: words beyond it end there
_SHORT = 0.24  # of the width: a shorter line has no room for its words

Law = Callable[[float, np.ndarray], np.ndarray]


def draw_force_area(drawing: ForceArea) -> Figure:
    """Return the figure.

    Parameters
    ----------
    drawing : ForceArea
    """
    figure, axes = _plane(drawing)
    _lines(axes, drawing, drawing.pressures, lambda pressure, area: pressure * area, "-", at=0.88)
    _clouds(axes, drawing)
    return figure


def draw_speed_mass(drawing: SpeedMass) -> Figure:
    """Return the figure.

    Parameters
    ----------
    drawing : SpeedMass
    """
    figure, axes = _plane(drawing)
    _lines(axes, drawing, drawing.momenta, lambda momentum, mass: momentum / mass, (0, (5, 3)), at=0.88)
    _lines(
        axes,
        drawing,
        drawing.energies,
        lambda energy, mass: np.sqrt(2.0 * energy / mass),
        (0, (1, 2)),
        at=0.12,
    )
    _clouds(axes, drawing)
    return figure


def _plane(drawing: ForceArea | SpeedMass) -> tuple[Figure, Axes]:
    from matplotlib.figure import Figure  # noqa: PLC0415  heavy, and only drawing needs it

    rows = math.ceil(len(drawing.clouds) / _A_ROW)
    top = _TOP + _LEGEND_LINE * rows
    height = _HEIGHT + _LEGEND_LINE * rows
    figure = Figure(figsize=(WIDE, height))
    axes = figure.add_axes(
        (_LEFT / WIDE, _BOTTOM / height, (WIDE - _LEFT - _RIGHT) / WIDE, (height - _BOTTOM - top) / height)
    )
    axes.set_xscale("log")
    axes.set_yscale("log")
    _limits(axes, drawing)
    _scales(axes, drawing)
    return figure, axes


def _limits(axes: Axes, drawing: ForceArea | SpeedMass) -> None:
    axes.set_xlim(*(end / drawing.across[0].factor for end in _ends(drawing, 0)))
    axes.set_ylim(*(end / drawing.up[0].factor for end in _ends(drawing, 1)))


def _ends(drawing: ForceArea | SpeedMass, side: int) -> tuple[float, float]:
    """Return what is seen of one scale: points with their intervals, and ellipses that are known."""
    ends: list[float] = []
    for cloud in drawing.clouds:
        for cross in cloud.points:
            point = (cross.across, cross.up)[side]
            ends += [point.low, point.high]
        if cloud.outline is not None and not cloud.is_shaky:
            ends += [float(cloud.outline[side].min()), float(cloud.outline[side].max())]
    return min(ends) / _ROOM, max(ends) * _ROOM


def _scales(axes: Axes, drawing: ForceArea | SpeedMass) -> None:
    from matplotlib.ticker import FixedLocator, NullLocator  # noqa: PLC0415

    (below, above), (left, right) = drawing.across, drawing.up
    scales = [(axes.xaxis, below, 1.0, axes.get_xlim()), (axes.yaxis, left, 1.0, axes.get_ylim())]
    if above.unit != below.unit:
        over = axes.secondary_xaxis("top", functions=below.other(above))
        scales.append((over.xaxis, above, below.factor / above.factor, axes.get_xlim()))
    if left.unit != right.unit:
        beside = axes.secondary_yaxis("right", functions=left.other(right))
        scales.append((beside.yaxis, right, left.factor / right.factor, axes.get_ylim()))
    for scale, axis, ratio, limits in scales:
        scale.set_major_locator(FixedLocator(round_numbers(limits[0] * ratio, limits[1] * ratio)))
        scale.set_minor_locator(NullLocator())
        scale.set_major_formatter(lambda value, _: f"{value:.4g}")
        scale.set_label_text(axis.label)


def _lines(
    axes: Axes, drawing: ForceArea | SpeedMass, levels: Sequence[Level], law: Law, style: object, *, at: float
) -> None:
    """Draw lines along which something is the same, each with its value written along it.

    ``at`` says where along the seen part of a line its words stand, as a share of it.
    """
    across, up = drawing.across[0].factor, drawing.up[0].factor
    (left, right), (bottom, top) = axes.get_xlim(), axes.get_ylim()
    grid = np.geomspace(left, right, 400)
    for level in levels:
        line = law(level.value, grid * across) / up
        seen = np.flatnonzero((line > bottom) & (line < top))
        axes.plot(grid, line, color=QUIET, lw=0.8, ls=style, zorder=1.0, scalex=False, scaley=False)
        if len(seen) < _SHORT * len(grid):  # too short for its words
            continue
        where = int(seen[round(at * (len(seen) - 1))])
        _words_along(
            axes, level.label, (grid[where], line[where]), (grid[seen[[0, -1]]], line[seen[[0, -1]]]), at=at
        )


def _words_along(
    axes: Axes, words: str, place: tuple[float, float], ends: tuple[np.ndarray, np.ndarray], *, at: float
) -> None:
    shown = axes.transData.transform(np.column_stack(ends))
    angle = math.degrees(math.atan2(*(shown[1] - shown[0])[::-1]))
    axes.annotate(
        words, place, (0, 2), textcoords="offset points", rotation=angle, rotation_mode="anchor",
        ha="right" if at > _MIDDLE else "left", va="bottom", fontsize=_PHRASE, color=QUIET, zorder=1.5,
    )  # fmt: skip


def _clouds(axes: Axes, drawing: ForceArea | SpeedMass) -> None:
    from matplotlib.lines import Line2D  # noqa: PLC0415

    across, up = drawing.across[0].factor, drawing.up[0].factor
    marks = []
    for cloud in drawing.clouds:
        number = cloud.place
        _ellipse(axes, cloud, number, (across, up))
        for cross in cloud.points:
            x, y = cross.across.value / across, cross.up.value / up
            look: dict[str, Any] = {"color": colour(number), "lw": 1.0, "zorder": 3.0}
            axes.plot([cross.across.low / across, cross.across.high / across], [y, y], **look)
            axes.plot([x, x], [cross.up.low / up, cross.up.high / up], **look)
            axes.plot(
                [x], [y], marker=shape(number), ms=POINT, color=colour(number), mec="white", mew=0.6,
                ls="none", zorder=4.0,
            )  # fmt: skip
        marks.append(
            Line2D(
                [],
                [],
                marker=shape(number),
                ms=POINT,
                color=colour(number),
                mec="white",
                mew=0.6,
                ls="none",
                label=printable(cloud.label),
            )
        )
    axes.legend(
        handles=marks, loc="lower center", bbox_to_anchor=(0.5, 1.0), ncols=_A_ROW,
        frameon=False, fontsize=LETTERS - 1.0, handletextpad=0.2, columnspacing=1.2, borderaxespad=_OVER,
    )  # fmt: skip


def _ellipse(axes: Axes, cloud: Cloud, number: int, factors: tuple[float, float]) -> None:
    if cloud.outline is None:
        return
    x, y = cloud.outline[0] / factors[0], cloud.outline[1] / factors[1]
    axes.fill(x, y, color=colour(number), alpha=0.14, lw=0.0, zorder=2.0)
    style = (0, (4, 2)) if cloud.is_shaky else "-"
    axes.plot(x, y, color=colour(number), lw=1.4, ls=style, zorder=2.5, scalex=False, scaley=False)
