"""How drawings look: sizes for a phone's width, and a palette of our own.

Colours differ in lightness as much as in hue and never carry a meaning alone: every curve also has
its own line, every mark its own shape, so that a print in grey or an eye that mixes up red and green
loses nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

INK = "#1c2733"
"""Axes and words."""

FORCE = "#134b6f"
"""The force on the plate, and every measured value: dark."""

READING = "#c2701e"
"""What the cell itself read: lighter, and dashed."""

IMPULSE = "#d3e3ea"
"""The area under the force: light enough for words to stand on."""

QUIET = "#6b7680"
"""Help lines and remarks."""

FAINT = "#dde2e4"
"""Grid."""

WIDE = 5.2
"""Width of a drawing that fills a phone. [in]"""

NARROW = 3.5
"""Width of one that may stand beside another. [in]"""

LETTERS = 10.0
"""[pt]"""

_SETTINGS: dict[str, Any] = {
    "svg.fonttype": "none",
    "svg.hashsalt": "tameshi",
    "text.parse_math": False,
    "font.family": ["sans-serif"],
    "font.sans-serif": ["DejaVu Sans"],
    "font.size": LETTERS,
    "axes.labelsize": LETTERS,
    "axes.titlesize": LETTERS,
    "axes.edgecolor": INK,
    "axes.labelcolor": INK,
    "axes.linewidth": 0.8,
    "axes.axisbelow": True,
    "axes.unicode_minus": True,
    "grid.color": FAINT,
    "grid.linewidth": 0.7,
    "text.color": INK,
    "xtick.color": INK,
    "ytick.color": INK,
    "xtick.labelsize": LETTERS - 1.0,
    "ytick.labelsize": LETTERS - 1.0,
    "lines.solid_capstyle": "round",
    "path.simplify": False,
}


@contextmanager
def house_style() -> Iterator[None]:
    """Draw with our settings whatever this machine's own are."""
    import matplotlib as mpl  # noqa: PLC0415  heavy, and only drawing needs it

    with mpl.rc_context():
        mpl.rcdefaults()
        mpl.rcParams.update(_SETTINGS)  # type: ignore[arg-type]
        yield
