"""Draw the peak force that a target needs beside the one a strike brings."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tameshi.report.figures.style import FORCE, IMPULSE, INK, LETTERS, READING, WIDE
from tameshi.report.humps import Hump, NeedAndStrike

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.axis import Axis
    from matplotlib.figure import Figure

_HEIGHT = 2.5
_PLACE = (0.06, 0.22, 0.88, 0.50)  # below its upper scale
_TOP = 1.25
_STEPS = (1.0, 2.0, 5.0)


def draw_need_and_strike(drawing: NeedAndStrike) -> Figure:
    """Return the figure.

    Parameters
    ----------
    drawing : NeedAndStrike
    """
    from matplotlib.figure import Figure  # noqa: PLC0415  heavy, and only drawing needs it

    figure = Figure(figsize=(WIDE, _HEIGHT))
    axes = figure.add_axes(_PLACE)
    axes.set_xscale("log")
    below, above = drawing.axes
    need, strike = drawing.humps
    is_above = need.middle > strike.middle
    _hump(axes, need, below.factor, colour=FORCE, line="-")
    _name(axes, need, below.factor, to_the_right=is_above)
    _hump(axes, strike, below.factor, colour=READING, line="--")
    _name(axes, strike, below.factor, to_the_right=not is_above)
    axes.set_xlim(drawing.ends[0] / below.factor, drawing.ends[1] / below.factor)
    axes.set_ylim(0.0, _TOP)
    axes.set_yticks([])
    axes.set_xlabel(f"peak {below.label}")
    for side in ("left", "right"):
        axes.spines[side].set_visible(False)
    beside = axes.secondary_xaxis("top", functions=below.other(above))
    beside.set_xlabel(f"peak {above.label}")
    _ticks(axes.xaxis, drawing.ends, below.factor)
    _ticks(beside.xaxis, drawing.ends, above.factor)
    return figure


def _hump(axes: Axes, hump: Hump, factor: float, *, colour: str, line: str) -> None:
    if hump.is_line:
        axes.plot([hump.middle / factor] * 2, [0.0, 1.0], color=colour, lw=1.8, ls=line)
    else:
        force = hump.force / factor
        if line == "-":
            axes.fill_between(force, 0.0, hump.height, color=IMPULSE, lw=0.0)
        axes.plot(force, hump.height, color=colour, lw=1.6, ls=line)


def _name(axes: Axes, hump: Hump, factor: float, *, to_the_right: bool) -> None:
    """Name a hump on the side away from the other one."""
    axes.annotate(
        hump.label,
        (hump.middle / factor, 1.0),
        (3 if to_the_right else -3, 4),
        textcoords="offset points",
        ha="left" if to_the_right else "right",
        size=LETTERS - 1.0,
        color=INK,
    )


def _ticks(scale: Axis, ends: tuple[float, float], factor: float) -> None:
    from matplotlib.ticker import FixedLocator, FuncFormatter, NullLocator  # noqa: PLC0415

    low, high = (end / factor for end in ends)
    marks = [step * 10.0**power for power in range(-3, 9) for step in _STEPS]
    scale.set_major_locator(FixedLocator([mark for mark in marks if low <= mark <= high]))
    scale.set_minor_locator(NullLocator())
    scale.set_major_formatter(FuncFormatter(lambda value, _: f"{value:g}"))
