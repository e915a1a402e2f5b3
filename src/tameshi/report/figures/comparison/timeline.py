"""Draw the strikes of a session in their order, with a line and its band for each group."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from tameshi.report.comparison.drawings import Course, Timeline
from tameshi.report.figures.comparison.marks import POINT, colour, printable, shape
from tameshi.report.figures.style import INK, LETTERS, WIDE

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

_HEIGHT, _LEGEND_LINE = 3.3, 0.2  # in
_LEFT, _RIGHT, _BOTTOM, _TOP = 0.78, 0.80, 0.55, 0.12  # in
_ROOM = 0.07  # of the range
_A_ROW = 3


def draw_timeline(drawing: Timeline) -> Figure:
    """Return the figure.

    Parameters
    ----------
    drawing : Timeline
    """
    from matplotlib.figure import Figure  # noqa: PLC0415  heavy, and only drawing needs it

    rows = math.ceil(len(drawing.courses) / _A_ROW)
    height = _HEIGHT + _LEGEND_LINE * rows
    top = _TOP + _LEGEND_LINE * rows
    figure = Figure(figsize=(WIDE, height))
    axes = figure.add_axes(
        (_LEFT / WIDE, _BOTTOM / height, (WIDE - _LEFT - _RIGHT) / WIDE, (height - _BOTTOM - top) / height)
    )
    factor = drawing.axes[0].factor
    for course in drawing.courses:
        _course(axes, course, factor)
    _scales(axes, drawing)
    axes.legend(
        loc="lower center", bbox_to_anchor=(0.5, 1.0), ncols=_A_ROW, frameon=False, fontsize=LETTERS - 1.0,
        handletextpad=0.2, columnspacing=1.2, borderaxespad=0.2,
    )  # fmt: skip
    return figure


def _course(axes: Axes, course: Course, factor: float) -> None:
    number = course.place
    if len(course.line):
        axes.fill_between(
            course.along, course.low / factor, course.high / factor, color=colour(number), alpha=0.18, lw=0.0
        )
        axes.plot(course.along, course.line / factor, color=colour(number), lw=1.4)
    for place, point in zip(course.across, course.points, strict=True):
        axes.plot([place, place], [point.low / factor, point.high / factor], color=colour(number), lw=1.0)
    values = [point.value / factor for point in course.points]
    axes.plot(
        course.across, values, marker=shape(number), ms=POINT, color=colour(number), mec="white", mew=0.6,
        ls="none", label=printable(course.label),
    )  # fmt: skip
    for place in course.outliers:
        axes.plot(
            [course.across[place]],
            [values[place]],
            marker="o",
            ms=2.0 * POINT,
            mfc="none",
            mec=INK,
            mew=1.0,
            ls="none",
        )


def _scales(axes: Axes, drawing: Timeline) -> None:
    from matplotlib.ticker import MaxNLocator  # noqa: PLC0415

    left, right = drawing.axes
    ends = [end for one in drawing.courses for point in one.points for end in (point.low, point.high)]
    ends += [
        float(end) for one in drawing.courses if len(one.line) for end in (one.low.min(), one.high.max())
    ]
    room = _ROOM * (max(ends) - min(ends)) or 1.0
    axes.set_ylim((min(ends) - room) / left.factor, (max(ends) + room) / left.factor)
    axes.margins(x=0.05)
    axes.xaxis.set_major_locator(MaxNLocator(nbins=8, integer=drawing.is_counted))
    axes.grid(visible=True)
    axes.set_xlabel(drawing.across)
    axes.set_ylabel(left.label)
    if right.unit != left.unit:
        axes.secondary_yaxis("right", functions=left.other(right)).set_ylabel(right.label)
