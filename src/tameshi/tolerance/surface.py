"""Which part of the striker's own body a technique lands with, from the words it is named with."""

from __future__ import annotations

import re
from collections.abc import Iterable

from tameshi.reference import table
from tameshi.tolerance.published import Way, published_values

_LIGHT = ("pain", "slight injury", "none")


def surfaces_of(technique: str | None) -> tuple[str, ...]:
    """Return the striking surfaces of a technique; empty where its name does not tell.

    The longest known words in the name count: a hammer fist does not land with the knuckles.
    """
    if not technique:
        return ()
    name = " ".join(re.split(r"[\s_-]+", technique.lower()))
    rows = table("striking_surfaces").rows
    known = [words for words in rows if re.search(rf"\b{re.escape(words)}(s|es)?\b", name)]
    if not known:
        return ()
    return tuple(rows[max(known, key=len)]["surfaces"])


def unbroken_surfaces(surfaces: Iterable[str]) -> tuple[str, ...]:
    """Return those striking surfaces of which no force was found that breaks them, only floors or nothing."""
    known = {
        surface
        for row in published_values()
        if row.way is not Way.NEVER and row.endpoint not in _LIGHT
        for surface in row.surfaces
    }
    return tuple(surface for surface in surfaces if surface not in known)
