"""Draw contact area against peak force on logarithmic scales, where every simple law is a straight line."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from tameshi.report.drawing import AreaForce, Cross
from tameshi.report.figures.style import FORCE, LETTERS, QUIET, READING, WIDE

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

_HEIGHT = 3.6
_PLACE = (0.15, 0.14, 0.70, 0.60)  # below its legend and its upper scale
_STYLES = ((0, (6, 2)), (0, (3, 2)), (0, (1, 2)))
_STEPS = (
    tuple(0.1 * step for step in range(10, 100)),
    tuple(0.2 * step for step in range(5, 50)),
    tuple(0.5 * step for step in range(2, 20)),
    (1.0, 1.2, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0),
    (1.0, 1.5, 2.0, 3.0, 5.0, 7.0),
    (1.0, 2.0, 5.0),
    (1.0, 3.0),
    (1.0,),
)  # finest first
_EVEN = 3  # of them go by even steps: within one decade only
_MOST_TICKS = 6
_ROOM = 0.12  # above and below, of the height


def draw_area_force(drawing: AreaForce) -> Figure:
    """Return the figure.

    Parameters
    ----------
    drawing : AreaForce
    """
    from matplotlib.figure import Figure  # noqa: PLC0415  heavy, and only drawing needs it

    figure = Figure(figsize=(WIDE, _HEIGHT))
    axes = figure.add_axes(_PLACE)
    axes.set_xscale("log")
    axes.set_yscale("log")
    _fit(axes, drawing)
    _laws(axes, drawing)
    for point in drawing.points:
        _point(axes, point, drawing)
    _scales(axes, drawing)
    axes.legend(
        loc="lower center", bbox_to_anchor=(0.5, 1.17), ncols=2, frameon=False, fontsize=LETTERS - 1.5,
        handlelength=2.4, borderaxespad=0.1, columnspacing=1.2,
    )  # fmt: skip
    return figure


def _fit(axes: Axes, drawing: AreaForce) -> None:
    across, up = drawing.across[0].factor, drawing.up[0].factor
    force = drawing.force / across
    axes.fill_between(force, drawing.low / up, drawing.high / up, color=READING, alpha=0.22, lw=0.0)
    axes.plot(force, drawing.area / up, color=READING, lw=2.0, label="fit with its 95 % band")


def _laws(axes: Axes, drawing: AreaForce) -> None:
    """Draw each law through the middle of the fit, so that only its slope is compared."""
    middle = float(np.exp(np.mean(np.log(drawing.force[[0, -1]]))))
    area = float(np.exp(np.interp(math.log(middle), np.log(drawing.force), np.log(drawing.area))))
    for slope, style in zip(drawing.slopes, _STYLES, strict=False):
        line = area * (drawing.force / middle) ** slope.exponent
        axes.plot(
            drawing.force / drawing.across[0].factor,
            line / drawing.up[0].factor,
            color=QUIET,
            lw=1.5 if slope.is_inside else 0.9,
            ls=style,
            label=slope.label,
        )


def _point(axes: Axes, point: Cross, drawing: AreaForce) -> None:
    across, up = drawing.across[0].factor, drawing.up[0].factor
    x, y = point.across.value / across, point.up.value / up
    axes.plot([point.across.low / across, point.across.high / across], [y, y], color=FORCE, lw=1.0)
    axes.plot([x, x], [point.up.low / up, point.up.high / up], color=FORCE, lw=1.0)
    axes.plot([x], [y], marker="o", ms=4.5, color=FORCE, mec="white", mew=0.6)


def _scales(axes: Axes, drawing: AreaForce) -> None:
    from matplotlib.ticker import FixedLocator, NullLocator  # noqa: PLC0415

    (below, above), (left, right) = drawing.across, drawing.up
    ends = [end / left.factor for point in drawing.points for end in (point.up.low, point.up.high)]
    low, high = min(ends), max(ends)
    room = max((high / low) ** _ROOM, 1.05)
    axes.set_ylim(low / room, high * room)
    axes.set_xlim(float(drawing.force[0]) / below.factor, float(drawing.force[-1]) / below.factor)
    over = axes.secondary_xaxis("top", functions=below.other(above))
    beside = axes.secondary_yaxis("right", functions=left.other(right))
    for scale, axis, ratio, limits in (
        (axes.xaxis, below, 1.0, axes.get_xlim()),
        (axes.yaxis, left, 1.0, axes.get_ylim()),
        (over.xaxis, above, below.factor / above.factor, axes.get_xlim()),
        (beside.yaxis, right, left.factor / right.factor, axes.get_ylim()),
    ):
        ticks = round_numbers(limits[0] * ratio, limits[1] * ratio)
        scale.set_major_locator(FixedLocator(ticks))
        scale.set_minor_locator(NullLocator())
        scale.set_major_formatter(lambda value, _: f"{value:.4g}")
        scale.set_label_text(axis.label)
    axes.grid(visible=True)


def round_numbers(low: float, high: float) -> list[float]:
    """Return round numbers for a logarithmic scale, few enough to stand side by side."""
    decades = range(math.floor(math.log10(low)), math.ceil(math.log10(high)) + 1)
    one_decade = math.floor(math.log10(low)) == math.floor(math.log10(high))
    for steps in _STEPS if one_decade else _STEPS[_EVEN:]:
        ticks = [step * 10.0**decade for decade in decades for step in steps]
        shown = [tick for tick in ticks if low <= tick <= high]
        if len(shown) <= _MOST_TICKS:
            return shown
    return shown
