"""Target files for tests; every one of them is invented."""

from __future__ import annotations

from tameshi.rig import expected_strike
from tameshi.target.breaking import PlateStrike, Target, parse_target, typed_strike

BOARD = """
name = "club board"
kind = "board"
material = "eastern white pine"
[wood]
grain = "across"
[size]
thickness = "19 mm"
width = "30 cm"
[support]
how = "two edges"
span = "28 cm"
"""

TILE = """
name = "roof tile"
kind = "tile"
material = "fired clay"
[size]
thickness = "10 mm"
width = "15 cm"
[support]
how = "two edges"
span = "25 cm"
"""

PLATE = """
name = "plaster plate"
kind = "plate"
material = "gypsum board, weak way"
[size]
thickness = "12.5 mm"
width = "30 cm"
length = "40 cm"
[support]
how = "all round"
"""

DISC = PLATE.replace('width = "30 cm"\nlength = "40 cm"', 'diameter = "30 cm"')


def target(text: str, *changes: tuple[str, str], more: str = "") -> Target:
    """Return a target with pieces of its file replaced and tables added."""
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return parse_target(text + more)


def strike(
    peak: str = "3 kN", duration: str = "5 ms", *, scatter: float = 0.0, mass: float | None = 2.5
) -> PlateStrike:
    """Return a typed strike."""
    return typed_strike(expected_strike(peak, duration), scatter=scatter, mass=mass)
