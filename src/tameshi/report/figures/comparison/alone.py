"""A drawing as a picture of its own, with its title and caption, or without a ground to lie over film."""

from __future__ import annotations

import io
import textwrap
from typing import TYPE_CHECKING, Any

from tameshi.report.comparison.drawings import ComparisonDrawing
from tameshi.report.figures.comparison.draw import draw_comparison
from tameshi.report.figures.style import INK, LETTERS, house_style
from tameshi.report.figures.svg import as_svg

if TYPE_CHECKING:
    from matplotlib.figure import Figure

_DOTS = 300  # an inch of a PNG: 1560 across
_LETTERS_OF_TITLE, _LETTERS_OF_CAPTION = 60, 78
_TITLE_LINE, _CAPTION_LINE, _ROOM = 0.21, 0.17, 0.1  # in
_CAPTION = LETTERS - 1.5
_TINT = 0.45
_HALO = 2.6  # pt beyond a stroke to either side, of white
_WORDS_HALO = 3.4  # pt
_MARK_HALO = 2.0  # pt, of marks, which stand close


def picture_of(drawing: ComparisonDrawing, form: str = "png", *, over_film: bool = False) -> bytes:
    """Return a drawing as a picture of its own.

    Parameters
    ----------
    drawing : Distributions, ForceArea, SpeedMass or Timeline
    form : str
        ``"png"`` or ``"svg"``.
    over_film : bool
        Without a ground and without the caption; every stroke and letter has a white halo, so that it can be
        read on any picture.
    """
    with house_style():
        figure = draw_comparison(drawing)
        _with_words(figure, drawing, caption=not over_film)
        if over_film:
            _with_halo(figure)
        if form == "svg":
            drawn = as_svg(figure, drawing.words)
            ground = "" if over_film else '<rect width="100%" height="100%" fill="white"/>'
            return drawn.replace("</desc>", f"</desc>{ground}", 1).encode()
        written = io.BytesIO()
        figure.savefig(written, format="png", dpi=_DOTS, transparent=over_film, metadata={"Software": None})
        return written.getvalue()


def _with_words(figure: Figure, drawing: ComparisonDrawing, *, caption: bool) -> None:
    """Make room above and below a figure and write its title and caption there."""
    title = textwrap.wrap(drawing.words.title, _LETTERS_OF_TITLE)
    below = textwrap.wrap(drawing.words.caption, _LETTERS_OF_CAPTION) if caption else []
    width, height = figure.get_size_inches()
    head = _TITLE_LINE * len(title) + _ROOM
    foot = _CAPTION_LINE * len(below) + (_ROOM if below else 0.0)
    whole = height + head + foot
    for axes in figure.axes:
        place = axes.get_position()
        axes.set_position(
            (place.x0, (place.y0 * height + foot) / whole, place.width, place.height * height / whole)
        )
    figure.set_size_inches(width, whole)
    look: dict[str, Any] = {"ha": "left", "linespacing": 1.25}
    figure.text(0.02, 1.0 - 0.7 * _ROOM / whole, "\n".join(title), va="top", weight="bold", color=INK, **look)
    if below:
        figure.text(
            0.02, 0.6 * _ROOM / whole, "\n".join(below), va="bottom", fontsize=_CAPTION, color=INK, **look
        )


def _with_halo(figure: Figure) -> None:
    """Put white behind every stroke and letter; what is only help behind the data goes."""
    from matplotlib.lines import Line2D  # noqa: PLC0415
    from matplotlib.patches import Patch  # noqa: PLC0415
    from matplotlib.patheffects import Normal, Stroke  # noqa: PLC0415
    from matplotlib.text import Text  # noqa: PLC0415

    for axes in figure.axes:
        axes.grid(visible=False)
        for tint in axes.collections:  # a faint tint is lost on a dark picture
            tint.set_alpha(_TINT)
            tint.set_edgecolor("white")
            tint.set_linewidth(0.8)
        for spine in axes.spines.values():
            spine.set_path_effects(
                [Stroke(linewidth=spine.get_linewidth() + _HALO, foreground="white"), Normal()]
            )
    for artist in figure.findobj(lambda one: isinstance(one, Text | Line2D) and not isinstance(one, Patch)):
        if isinstance(artist, Text):
            artist.set_color(INK)
            artist.set_fontweight("bold")
            artist.set_path_effects([Stroke(linewidth=_WORDS_HALO, foreground="white"), Normal()])
        elif isinstance(artist, Line2D):
            line = artist.get_linestyle() != "None"
            width = artist.get_linewidth() + _HALO if line else _MARK_HALO
            artist.set_path_effects([Stroke(linewidth=width, foreground="white"), Normal()])
