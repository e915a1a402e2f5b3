"""Draw a rig check: pulse and raw reading above, every limit with its verdict below."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

import numpy as np

from tameshi.report.figures.style import FORCE, INK, LETTERS, QUIET, READING, WIDE, house_style
from tameshi.report.figures.svg import as_svg
from tameshi.report.rig_check import RigDrawing, draw_check
from tameshi.rig import RigCheck

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

_HEAD, _PLOT, _FOOT, _LINE, _END = 0.62, 2.6, 0.62, 0.22, 0.12  # in
_LEFT, _WIDTH = 0.125, 0.735  # of the width
_DOTS = 160  # an inch of a PNG
_MS = 1000.0
_HEADROOM = 1.1
_CLOSE = 0.09  # of the height: names of ends this near would touch
# shape and colour both tell the verdict
_MARKS = {"met": ("o", FORCE), "tight": ("^", READING), "not met": ("X", INK)}
_STYLES = ((0, (1, 2)), (0, (5, 2)), (0, (5, 2, 1, 2)))


def rig_picture(checked: RigCheck, form: str = "png") -> bytes:
    """Return the picture of a rig check.

    Parameters
    ----------
    checked : RigCheck
    form : str
        ``"png"`` or ``"svg"``.
    """
    drawing = draw_check(checked)
    with house_style():
        figure = draw_rig_check(drawing)
        if form == "svg":
            ground = '<rect width="100%" height="100%" fill="white"/>'
            svg = as_svg(figure, drawing.words)
            return svg.replace("</desc>", f"</desc>{ground}", 1).encode()
        written = io.BytesIO()
        figure.savefig(written, format="png", dpi=_DOTS, facecolor="white", metadata={"Software": None})
        return written.getvalue()


def draw_rig_check(drawing: RigDrawing) -> Figure:
    """Return the figure.

    Parameters
    ----------
    drawing : RigDrawing
    """
    from matplotlib.figure import Figure  # noqa: PLC0415  heavy, and only drawing needs it

    below = _LINE * len(drawing.lines) + _END
    whole = _HEAD + _PLOT + _FOOT + below
    figure = Figure(figsize=(WIDE, whole))
    axes = figure.add_axes((_LEFT, (_FOOT + below) / whole, _WIDTH, _PLOT / whole))
    _curves(axes, drawing)
    _ends(axes, drawing)
    left, right = drawing.axes
    beside = axes.secondary_yaxis("right", functions=left.other(right))
    beside.set_ylabel(right.label)
    printable = "".join(letter if letter.isprintable() else " " for letter in drawing.words.title)
    figure.text(0.02, 1.0 - 0.17 / whole, printable[:78], va="center", weight="bold", size=LETTERS - 0.5)
    list_axes = figure.add_axes((0.0, 0.0, 1.0, below / whole))
    _list(list_axes, drawing)
    return figure


def _curves(axes: Axes, drawing: RigDrawing) -> None:
    factor = drawing.axes[0].factor
    axes.plot(
        _MS * drawing.force.time,
        drawing.force.force / factor,
        color=FORCE,
        lw=1.7,
        label="force on the plate",
    )
    reading = drawing.reading
    axes.plot(
        _MS * reading.time, reading.force / factor, color=READING, lw=1.2, ls=(0, (4, 2)), label="raw reading"
    )
    if drawing.samples is not None:
        axes.plot(
            _MS * drawing.samples.time,
            drawing.samples.force / factor,
            ls="none",
            marker="o",
            ms=2.6,
            color=READING,
            label="its samples",
        )
    highest = max(float(drawing.force.force.max()), float(reading.force.max()))
    lowest = float(reading.force.min())
    top = max([highest, *(at for _, at in drawing.ends)])
    axes.set_xlim(_MS * float(drawing.force.time[0]), _MS * float(drawing.force.time[-1]))
    axes.set_ylim(min(1.2 * lowest, -0.04 * highest) / factor, _HEADROOM * top / factor)
    axes.set_xlabel("time from first touch [ms]")
    axes.set_ylabel(drawing.axes[0].label)
    axes.grid(visible=True)
    axes.spines["top"].set_visible(False)
    axes.axhline(0.0, color=QUIET, lw=0.8)
    axes.legend(
        loc="lower left", bbox_to_anchor=(0.0, 1.0), ncols=3, frameon=False, fontsize=LETTERS - 1.0,
        handlelength=1.8, borderaxespad=0.2, columnspacing=1.2,
    )  # fmt: skip


def _ends(axes: Axes, drawing: RigDrawing) -> None:
    """Draw what ends where, named at the right, where the pulse is over; below where the next is close."""
    factor = drawing.axes[0].factor
    close = _CLOSE * float(np.ptp(axes.get_ylim())) * factor
    ends = sorted(drawing.ends, key=lambda end: end[1])
    above = [*(at for _, at in ends[1:]), np.inf]
    for (name, at), following, style in zip(ends, above, _STYLES, strict=False):
        axes.axhline(at / factor, color=QUIET, lw=1.0, ls=style)
        is_below = following - at < close
        axes.annotate(
            name,
            (0.99, at / factor),
            (0, -3 if is_below else 2),
            xycoords=("axes fraction", "data"),
            textcoords="offset points",
            ha="right",
            va="top" if is_below else "bottom",
            size=LETTERS - 1.5,
            color=INK,
        )


def _list(axes: Axes, drawing: RigDrawing) -> None:
    axes.set_axis_off()
    axes.set_xlim(0.0, 1.0)
    axes.set_ylim(len(drawing.lines) + _END / _LINE, 0.0)
    for place, (name, verdict, effect) in enumerate(drawing.lines):
        height = place + 0.5
        shape, colour = _MARKS[verdict]
        axes.plot([0.035], [height], marker=shape, ms=5.5, color=colour, ls="none")
        axes.text(0.06, height, name, va="center", size=LETTERS - 1.5)
        axes.text(0.30, height, verdict, va="center", size=LETTERS - 1.5, weight="bold")
        axes.text(0.415, height, effect, va="center", size=LETTERS - 2.0)
