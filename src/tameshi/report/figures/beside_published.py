"""Draw strikes above published ranges of the same kind of quantity, on one logarithmic scale.

Shape tells what colour does: strikes are points with their intervals, ranges are bars, filled where a strike
may be compared with them directly and hollow where from one side only. No colour is a verdict.
"""

from __future__ import annotations

import io
import textwrap
from typing import TYPE_CHECKING

from tameshi.reference import row
from tameshi.report.drawing import BesidePublished, Borne, Struck
from tameshi.report.figures.area_force import round_numbers
from tameshi.report.figures.style import FORCE, INK, LETTERS, QUIET, READING, WIDE, house_style
from tameshi.report.figures.svg import as_svg

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

_ROW, _HEAD, _PAD = 0.31, 0.34, 0.08  # in
_ABOVE, _BELOW = 0.55, 0.52  # in
_LEFT, _RIGHT = 0.40, 0.965  # of the width
_LETTERS_A_LINE, _MOST_LINES = 27, 2
_LETTERS_OF_FOOTER, _LINE = 76, 0.165  # in
_BAR = 0.13  # in
_ROOM = 1.25
_DOTS = 160  # an inch of a PNG
_OWN = "the striker's own limb"
_ONE_SIDE = "struck parts, from one side only"
_BY_MODEL = "what needs a model"


def tolerance_picture(drawing: BesidePublished, form: str = "png") -> bytes:
    """Return a drawing as a picture of its own, its caption and the caution against verdicts below it.

    Parameters
    ----------
    drawing : BesidePublished
    form : str
        ``"png"`` or ``"svg"``.
    """
    with house_style():
        figure = draw_beside_published(drawing, with_words=True)
        if form == "svg":
            ground = '<rect width="100%" height="100%" fill="white"/>'
            return as_svg(figure, drawing.words).replace("</desc>", f"</desc>{ground}", 1).encode()
        written = io.BytesIO()
        figure.savefig(written, format="png", dpi=_DOTS, facecolor="white", metadata={"Software": None})
        return written.getvalue()


def draw_beside_published(drawing: BesidePublished, *, with_words: bool = False) -> Figure:
    """Return the figure.

    Parameters
    ----------
    drawing : BesidePublished
    with_words : bool
        Whether its caption stands in it, for a picture that stands alone.
    """
    from matplotlib.figure import Figure  # noqa: PLC0415  heavy, and only drawing needs it

    sections = _sections(drawing)
    height = sum(_HEAD + _ROW * len(rows) for _, rows in sections) + _PAD
    footer = _footer(drawing) if with_words else []
    below = _BELOW + _LINE * len(footer)
    whole = _ABOVE + below + height
    figure = Figure(figsize=(WIDE, whole))
    figure.text(0.02, 0.5 * _LINE / whole, "\n".join(footer), va="bottom", fontsize=LETTERS - 1.5, color=INK)
    axes = figure.add_axes((_LEFT, below / whole, _RIGHT - _LEFT, height / whole))
    axes.set_xscale("log")
    axes.set_ylim(height, 0.0)
    _scales(axes, drawing)
    top, places, labels = 0.0, [], []
    for title, rows in sections:
        if top > 0.0:
            axes.axhline(top, color=INK, lw=0.5)
        _heading(axes, title, top + 0.55 * _HEAD)
        top += _HEAD
        for shown in rows:
            middle = top + 0.5 * _ROW
            _row(axes, shown, middle, drawing)
            places.append(middle)
            labels.append(_wrapped(shown.label))
            top += _ROW
    axes.set_yticks(places, labels, fontsize=LETTERS - 1.5, linespacing=0.95)
    axes.tick_params(axis="y", length=0.0)
    return figure


def _sections(drawing: BesidePublished) -> list[tuple[str, tuple[Struck | Borne, ...]]]:
    own = tuple(one for one in drawing.borne if not one.is_one_sided)
    other = tuple(one for one in drawing.borne if one.is_one_sided)
    named: list[tuple[str, tuple[Struck | Borne, ...]]] = [
        ("modelled, not measured" if drawing.modelled else "measured", drawing.struck),
        (f"published: {_OWN}", own),
        (f"published: {_BY_MODEL if drawing.modelled else _ONE_SIDE}", other),
    ]
    return [(title, rows) for title, rows in named if rows]


def _footer(drawing: BesidePublished) -> list[str]:
    verdict = row("cautions", "no-verdict")["lead"]
    return textwrap.wrap(f"{drawing.words.caption} {verdict}", _LETTERS_OF_FOOTER)


def _heading(axes: Axes, title: str, height: float) -> None:
    axes.annotate(
        title, (-0.69, height), xycoords=("axes fraction", "data"), va="center", ha="left", weight="bold",
        fontsize=LETTERS - 1.0, annotation_clip=False, bbox={"fc": "white", "ec": "none", "pad": 1.5},
    )  # fmt: skip


def _row(axes: Axes, shown: Struck | Borne, middle: float, drawing: BesidePublished) -> None:
    factor = drawing.axes[0].factor
    if isinstance(shown, Struck):
        _struck(axes, shown, middle, factor, thick=drawing.modelled)
    else:
        _borne(axes, shown, middle, factor)


def _struck(axes: Axes, strike: Struck, middle: float, factor: float, *, thick: bool) -> None:
    point = strike.typical
    if point is not None:
        left = axes.get_xlim()[0]
        low, high = max(point.low / factor, left), point.high / factor
        width = 4.0 if point.is_bound or thick else 1.6
        axes.plot([low, high], [middle, middle], color=FORCE, lw=width, solid_capstyle="butt")
        if not point.is_bound:
            axes.axvline(point.value / factor, color=FORCE, lw=0.6, ls=(0, (1, 3)), zorder=0.5)
            axes.plot([point.value / factor], [middle], "o", ms=5.5, color=FORCE, mec="white", mew=0.7)
    if strike.greatest is not None:
        axes.plot([strike.greatest / factor], [middle], "^", ms=6.0, color="white", mec=FORCE, mew=1.2)


def _borne(axes: Axes, published: Borne, middle: float, factor: float) -> None:
    from matplotlib.patches import Rectangle  # noqa: PLC0415

    low, high = published.low / factor, published.high / factor
    fill = {"fc": "white"} if published.is_one_sided else {"fc": READING, "alpha": 0.45}
    if high > low:
        box = Rectangle((low, middle - 0.5 * _BAR), high - low, _BAR, ec="none", **fill)
        edge = Rectangle((low, middle - 0.5 * _BAR), high - low, _BAR, ec=READING, fc="none", lw=1.1)
        axes.add_patch(box)
        axes.add_patch(edge)
        ticks = [value / factor for value in published.middles]
        axes.vlines(ticks, middle - 0.5 * _BAR, middle + 0.5 * _BAR, color=READING, lw=1.1)
        return
    face = "white" if published.is_one_sided else READING
    axes.plot([low], [middle], "D", ms=5.0, color=face, mec=READING, mew=1.2)


def _scales(axes: Axes, drawing: BesidePublished) -> None:
    from matplotlib.ticker import FixedLocator, NullLocator  # noqa: PLC0415

    below, above = drawing.axes
    low, high = _ends(drawing)
    axes.set_xlim(low / _ROOM / below.factor, high * _ROOM / below.factor)
    over = axes.secondary_xaxis("top", functions=below.other(above))
    left, right = axes.get_xlim()
    for scale, axis, ratio in ((axes.xaxis, below, 1.0), (over.xaxis, above, below.factor / above.factor)):
        scale.set_major_locator(FixedLocator(round_numbers(left * ratio, right * ratio)))
        scale.set_minor_locator(NullLocator())
        scale.set_major_formatter(lambda value, _: f"{value:.10g}")
        scale.set_label_text(axis.label)
    axes.grid(visible=True, axis="x")
    axes.axhline(0.0, color=QUIET, lw=0.5)


def _ends(drawing: BesidePublished) -> tuple[float, float]:
    values = [end for one in drawing.borne for end in (one.low, one.high)]
    for one in drawing.struck:
        if one.typical is not None:
            least = 0.0 if drawing.modelled else 0.5 * one.typical.value
            values += [one.typical.value, one.typical.high, max(one.typical.low, least)]
        if one.greatest is not None:
            values.append(one.greatest)
    return min(values), max(values)


def _wrapped(label: str) -> str:
    """Return a label on lines short enough to stand beside the drawing."""
    # a study may hold any character; those that cannot be printed make no valid drawing
    printable = "".join(letter if letter.isprintable() else " " for letter in label)
    lines = textwrap.wrap(printable, _LETTERS_A_LINE) or [""]
    if len(lines) > _MOST_LINES:
        lines = [*lines[: _MOST_LINES - 1], f"{lines[_MOST_LINES - 1][: _LETTERS_A_LINE - 1]}…"]
    return "\n".join(lines)
