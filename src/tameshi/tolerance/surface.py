"""Which part of the striker's own body a technique lands with, from the words it is named with."""

from __future__ import annotations

import re

from tameshi.reference import table


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
