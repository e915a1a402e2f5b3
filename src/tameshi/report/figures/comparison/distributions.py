"""Draw how strikes are spread, group under group: every strike a point, density, mean, scatter."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from tameshi.reference import row
from tameshi.report.comparison.drawings import Distributions, Spread
from tameshi.report.figures.comparison.marks import POINT, colour, shape, wrapped
from tameshi.report.figures.style import FORCE, INK, LETTERS, WIDE

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

_ABOVE, _BELOW, _LEGEND = 0.52, 0.50, 0.26  # in
_LEFT, _RIGHT = 0.235, 0.97  # of the width
_BELL, _SUMMARY, _EDGE = 0.30, 0.34, 0.10  # in: density above the points, mean and scatter below, room
_STEP = 0.088  # in, between points stacked over one another
_MOST_STACKED = 14
_ROOM = 0.05  # of the range, on either side
_MOST_ATHLETES = 6


def draw_distributions(drawing: Distributions) -> Figure:
    """Return the figure.

    Parameters
    ----------
    drawing : Distributions
    """
    from matplotlib.figure import Figure  # noqa: PLC0415  heavy, and only drawing needs it

    factor = drawing.axes[0].factor
    low, high = _ends(drawing)
    width = WIDE * (_RIGHT - _LEFT)
    stacks = [_stacked(one, (low, high), width) for one in drawing.groups]
    steps = [min(_STEP, _STEP * _MOST_STACKED / max(1, int(stack.max(initial=0)))) for stack in stacks]
    heights = [
        _EDGE + (_BELL if _has_density(one) else 0.0) + step * float(stack.max(initial=0)) + _STEP + _SUMMARY
        for one, stack, step in zip(drawing.groups, stacks, steps, strict=True)
    ]
    athletes = _athletes(drawing)
    above = _ABOVE + (_LEGEND if athletes else 0.0)
    whole = above + _BELOW + sum(heights)
    figure = Figure(figsize=(WIDE, whole))
    axes = figure.add_axes((_LEFT, _BELOW / whole, _RIGHT - _LEFT, sum(heights) / whole))
    axes.set_xlim(low / factor, high / factor)
    axes.set_ylim(sum(heights), 0.0)
    top, middles = 0.0, []
    for place, (one, height) in enumerate(zip(drawing.groups, heights, strict=True)):
        base = top + height - _SUMMARY
        _density(
            axes,
            one,
            (base - steps[place] * float(stacks[place].max(initial=0)) - 0.5 * _STEP, factor),
            place,
        )
        _points(axes, one, base - steps[place] * stacks[place], factor, (place, athletes))
        _summary(axes, one, top + height - 0.5 * _SUMMARY + 0.02, factor)
        middles.append(top + 0.5 * height)
        top += height
        axes.axhline(top, color=INK, lw=0.5)
    axes.set_yticks(middles, [f"{wrapped(one.label)}\nn = {len(one.points)}" for one in drawing.groups])
    _scales(axes, drawing)
    if athletes:
        _legend(axes, athletes, (above - _LEGEND + 0.02) / sum(heights))
    return figure


def _ends(drawing: Distributions) -> tuple[float, float]:
    values = [point.value for one in drawing.groups for point in one.points]
    values += [end for one in drawing.groups if one.mean for end in (one.mean.low, one.mean.high)]
    values += [end for one in drawing.groups for point in one.points for end in (point.low, point.high)]
    low, high = min(values), max(values)
    room = _ROOM * (high - low) or _ROOM * abs(high) or 1.0
    return low - room, high + room


def _stacked(one: Spread, ends: tuple[float, float], width: float) -> np.ndarray:
    """Return how high each point stands so that none hides another."""
    values = np.array([point.value for point in one.points])
    across = (values - ends[0]) / (ends[1] - ends[0]) * width
    levels = np.zeros(len(values), np.intp)
    last: list[float] = []  # of each level the point farthest to the right
    for place in np.argsort(across, kind="stable"):
        free = next((level for level, right in enumerate(last) if across[place] - right >= _STEP), len(last))
        levels[place] = free
        last[free : free + 1] = [float(across[place])]
    return levels


def _has_density(one: Spread) -> bool:
    fewest = int(row("comparison_limits", "fewest for density")["limit"])
    return len(one.points) >= fewest and len({point.value for point in one.points}) > 1


def _density(axes: Axes, one: Spread, base: tuple[float, float], place: int) -> None:
    if not _has_density(one):
        return
    from scipy.stats import gaussian_kde  # noqa: PLC0415

    bottom, factor = base
    values = np.array([point.value for point in one.points]) / factor
    grid = np.linspace(*axes.get_xlim(), 200)
    bell = gaussian_kde(values)(grid)
    axes.fill_between(
        grid, bottom, bottom - _BELL * bell / bell.max(), color=colour(place), alpha=0.28, lw=0.0
    )


def _points(
    axes: Axes, one: Spread, heights: np.ndarray, factor: float, look: tuple[int, tuple[str, ...]]
) -> None:
    place, athletes = look
    for number, (point, height) in enumerate(zip(one.points, heights, strict=True)):
        value = point.value / factor
        form = shape(athletes.index(one.whose[number])) if athletes else "o"
        axes.plot([point.low / factor, point.high / factor], [height, height], color=colour(place), lw=1.0)
        axes.plot(
            [value], [height], marker=form, ms=POINT, color=colour(place), mec="white", mew=0.6, ls="none"
        )
        if number in one.outliers:
            axes.plot([value], [height], marker="o", ms=2.0 * POINT, mfc="none", mec=INK, mew=1.0, ls="none")


def _summary(axes: Axes, one: Spread, height: float, factor: float) -> None:
    """Draw mean with its interval, median, and a standard deviation to either side."""
    if one.mean is None:
        return
    mean = one.mean.value / factor
    if one.sd is not None:
        ends = [mean - one.sd / factor, mean + one.sd / factor]
        axes.plot(ends, [height, height], color=INK, lw=0.8, marker="|", ms=6.0, mew=0.8)
    axes.plot(
        [one.mean.low / factor, one.mean.high / factor],
        [height, height],
        color=INK,
        lw=2.6,
        solid_capstyle="butt",
    )
    axes.plot([mean], [height], marker="D", ms=5.5, color="white", mec=INK, mew=1.2, ls="none")
    median = one.median / factor
    axes.plot([median, median], [height - 0.09, height + 0.09], color=FORCE, lw=1.6)


def _scales(axes: Axes, drawing: Distributions) -> None:
    below, above = drawing.axes
    axes.tick_params(axis="y", length=0.0)
    axes.grid(visible=True, axis="x")
    axes.set_xlabel(below.label)
    if above.unit != below.unit:
        axes.secondary_xaxis("top", functions=below.other(above)).set_xlabel(above.label)


def _athletes(drawing: Distributions) -> tuple[str, ...]:
    """Return the athletes that shapes tell apart; none where there is one, or more than shapes."""
    found = tuple(dict.fromkeys(who for one in drawing.groups for who in one.whose))
    return found if 1 < len(found) <= _MOST_ATHLETES else ()


def _legend(axes: Axes, athletes: tuple[str, ...], above: float) -> None:
    from matplotlib.lines import Line2D  # noqa: PLC0415

    marks = [
        Line2D(
            [],
            [],
            marker=shape(place),
            ms=POINT,
            color=INK,
            mec="white",
            mew=0.6,
            ls="none",
            label=who or "no athlete named",
        )
        for place, who in enumerate(athletes)
    ]
    axes.legend(
        handles=marks, loc="center", bbox_to_anchor=(0.5, 1.0 + above), ncols=len(marks), frameon=False,
        fontsize=LETTERS - 1.0, handletextpad=0.2, columnspacing=1.2, borderaxespad=0.0,
    )  # fmt: skip
