"""Draw the force of a strike over time, with its onset, peak and end, and its impulse as an area."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from tameshi.report.drawing import ForceTime
from tameshi.report.figures.style import FORCE, IMPULSE, LETTERS, QUIET, READING, WIDE

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

_HEIGHT = 3.1
_HEADROOM = 1.16  # room above the peak for its words
_PLACE = (0.155, 0.15, 0.69, 0.75)  # below its legend
_MS = 1000.0
_WORDS = 0.12  # of the width, to either side of a peak
_FAR_RIGHT = 0.62  # of the width: words at a peak beyond it stand to its left


def draw_force_time(drawing: ForceTime) -> Figure:
    """Return the figure.

    Parameters
    ----------
    drawing : ForceTime
    """
    from matplotlib.figure import Figure  # noqa: PLC0415  heavy, and only drawing needs it

    figure = Figure(figsize=(WIDE, _HEIGHT))
    axes = figure.add_axes(_PLACE)
    left, right = drawing.axes
    _scales(axes, drawing)
    _shade(axes, drawing)
    force, reading = drawing.force, drawing.reading
    axes.plot(_MS * force.time, force.force / left.factor, color=FORCE, lw=1.7, label="force on the plate")
    if reading is not None:
        axes.plot(
            _MS * reading.time,
            reading.force / left.factor,
            color=READING,
            lw=1.2,
            ls=(0, (4, 2)),
            label="cell's reading",
        )
    _marks(axes, drawing)
    if reading is not None:
        axes.legend(
            loc="lower left",
            bbox_to_anchor=(0.0, 1.0),
            ncols=2,
            frameon=False,
            fontsize=LETTERS - 1.0,
            handlelength=1.8,
            borderaxespad=0.2,
        )
    beside = axes.secondary_yaxis("right", functions=left.other(right))
    beside.set_ylabel(right.label)
    return figure


def _scales(axes: Axes, drawing: ForceTime) -> None:
    left = drawing.axes[0]
    curves = [curve for curve in (drawing.force, drawing.reading) if curve is not None]
    highest = max(float(curve.force.max()) for curve in curves)
    lowest = min(float(curve.force.min()) for curve in curves)
    axes.set_xlim(_MS * float(drawing.force.time[0]), _MS * float(drawing.force.time[-1]))
    axes.set_ylim(min(1.1 * lowest, -0.04 * highest) / left.factor, _HEADROOM * highest / left.factor)
    axes.set_xlabel("time from onset [ms]")
    axes.set_ylabel(left.label)
    axes.grid(visible=True)
    axes.spines["top"].set_visible(False)
    axes.axhline(0.0, color=QUIET, lw=0.8)


def _shade(axes: Axes, drawing: ForceTime) -> None:
    if drawing.shaded is None:
        return
    start, stop = drawing.shaded
    # both ends are put in: the curve has points only where it bends
    time = np.unique(np.concatenate((drawing.force.time, [start, stop])))
    time = time[(time >= start) & (time <= stop)]
    force = np.interp(time, drawing.force.time, drawing.force.force)
    axes.fill_between(_MS * time, 0.0, force / drawing.axes[0].factor, color=IMPULSE, lw=0.0)
    moment, area = np.trapezoid(time * force, time), np.trapezoid(force, time)
    middle = _MS * float(moment / area) if area > 0.0 else _MS * 0.5 * (start + stop)
    height = 0.3 * float(force.max()) / drawing.axes[0].factor
    axes.text(middle, height, "impulse", ha="center", va="center", size=LETTERS - 1.0)


def _marks(axes: Axes, drawing: ForceTime) -> None:
    left = drawing.axes[0]
    level = drawing.level / left.factor
    axes.axhline(level, color=QUIET, lw=0.9, ls=(0, (1, 2)))
    axes.plot([0.0], [level], marker=">", ms=7, color=FORCE, mec="white", mew=0.8)
    axes.plot([_MS * drawing.end], [level], marker="<", ms=7, color=FORCE, mec="white", mew=0.8)
    axes.annotate("onset", (0.0, level), (-5, 6), textcoords="offset points", ha="right")
    axes.annotate("end", (_MS * drawing.end, level), (6, 6), textcoords="offset points")
    top = drawing.peak if drawing.peak is not None else float(drawing.force.force.max())
    at = _MS * drawing.peak_time
    shape = "o" if drawing.peak is not None else "^"
    axes.plot([at], [top / left.factor], marker=shape, ms=6.5, color=FORCE, mec="white", mew=0.8)
    axes.annotate(
        drawing.peak_words,
        (at, _clear_of(drawing, top) / left.factor),
        (0, 8),
        textcoords="offset points",
        ha="right" if _is_late(drawing) else "center",
        bbox={"facecolor": "white", "edgecolor": "none", "alpha": 0.8, "pad": 1.0},
    )


def _clear_of(drawing: ForceTime, top: float) -> float:
    """Return the force above which words at the peak meet no curve."""
    time = drawing.force.time
    reach = _WORDS * float(time[-1] - time[0])
    near = [
        curve.force[np.abs(curve.time - drawing.peak_time) < reach]
        for curve in (drawing.force, drawing.reading)
        if curve is not None
    ]
    return max([top, *(float(part.max()) for part in near if len(part))])


def _is_late(drawing: ForceTime) -> bool:
    """Return whether the peak lies so far to the right that words have to stand on its left."""
    time = drawing.force.time
    return bool(drawing.peak_time - time[0] > _FAR_RIGHT * (time[-1] - time[0]))
