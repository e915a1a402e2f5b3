"""Draw uncertainty budgets as bars: how much of the variance each source makes up."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tameshi.report.drawing import Bars, Budget
from tameshi.report.figures.style import FORCE, LETTERS, NARROW

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

_LINE = 0.21  # in
_HEAD = 0.34  # in, above each panel
_FOOT = 0.08  # in
_NAMES = 0.46  # of the width
_BARS = 0.38  # of the width; the rest is for figures
_LEAST = 0.005


def draw_budget(drawing: Budget) -> Figure:
    """Return the figure.

    Parameters
    ----------
    drawing : Budget
    """
    from matplotlib.figure import Figure  # noqa: PLC0415  heavy, and only drawing needs it

    heights = [_HEAD + _LINE * len(panel.shares) + _FOOT for panel in drawing.panels]
    whole = sum(heights)
    figure = Figure(figsize=(NARROW, whole))
    top = whole
    for panel, height in zip(drawing.panels, heights, strict=True):
        bottom = (top - height + _FOOT) / whole
        axes = figure.add_axes((_NAMES, bottom, _BARS, _LINE * len(panel.shares) / whole))
        _panel(axes, panel)
        figure.text(0.01, (top - 0.5 * _HEAD) / whole, panel.title, va="center", weight="bold")
        top -= height
    return figure


def _panel(axes: Axes, panel: Bars) -> None:
    places = range(len(panel.shares))
    names = [name for name, _ in panel.shares]
    shares = [share for _, share in panel.shares]
    axes.barh(places, shares, color=FORCE, height=0.62)
    axes.set_xlim(0.0, 1.0)
    axes.set_ylim(len(names) - 0.5, -0.5)
    axes.set_yticks(list(places), names)
    axes.tick_params(length=0.0)
    axes.set_xticks([])
    for place, share in zip(places, shares, strict=True):
        words = f"{share:.0%}" if share >= _LEAST else "under 1 %"
        words = words.replace("%", " %") if "under" not in words else words
        axes.annotate(
            words, (share, place), (4, 0), textcoords="offset points", va="center", size=LETTERS - 1.0
        )
    for side in ("top", "right", "bottom"):
        axes.spines[side].set_visible(False)
