"""How groups and athletes are told apart: a colour and a shape for each, in one order everywhere.

Colours differ in lightness as well as in hue, and the shape says the same again. Beyond the last colour they
begin again with other shapes.
"""

from __future__ import annotations

import textwrap

COLOURS = ("#134b6f", "#c2701e", "#7a4fa3", "#2b8a80", "#8c1d2c", "#5c5c5c")
"""Of groups. Dark blue is that of measured values everywhere."""

SHAPES = ("o", "s", "^", "D", "v", "P", "X", "<", ">")

POINT = 5.0  # pt
_LETTERS_A_LINE, _MOST_LINES = 14, 3


def colour(place: int) -> str:
    """Return the colour of a group by its place."""
    return COLOURS[place % len(COLOURS)]


def shape(place: int) -> str:
    """Return the shape of a group or athlete by its place."""
    return SHAPES[place % len(SHAPES)]


def printable(label: str) -> str:
    """Return a label with what can be printed of it; anything else makes no valid drawing."""
    return "".join(letter if letter.isprintable() else " " for letter in label)


def wrapped(label: str, letters: int = _LETTERS_A_LINE) -> str:
    """Return a label on lines short enough to stand beside a drawing."""
    lines = textwrap.wrap(printable(label), letters) or [""]
    if len(lines) > _MOST_LINES:
        lines = [*lines[: _MOST_LINES - 1], f"{lines[_MOST_LINES - 1][: letters - 1]}…"]
    return "\n".join(lines)
