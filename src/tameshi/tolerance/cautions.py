"""Cautions and gaps that go with the regions that are shown."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from tameshi.reference import table


@dataclass(frozen=True, slots=True)
class Warned:
    """A caution: a lead, and the rest."""

    key: str
    lead: str
    words: str


_GENERAL = ("injury", "no-verdict", "qualified")


def cautions_for(regions: Collection[str] | None = None) -> tuple[Warned, ...]:
    """Return the cautions that belong to these regions; all of them where None.

    Those of every report on injury, verdicts and qualified people come along.
    """
    general = table("cautions").rows
    warned = [Warned(key, general[key]["lead"], general[key]["text"]) for key in _GENERAL]
    for key, found in table("tolerance_cautions").rows.items():
        belongs = not found["regions"] or regions is None or bool(set(found["regions"]) & set(regions))
        if belongs:
            warned.append(Warned(key, found["lead"], found["text"]))
    return tuple(warned)


def gaps_for(regions: Collection[str] | None = None) -> tuple[str, ...]:
    """Return what no published number was found for in these regions; all of it where None."""
    rows = table("tolerance_gaps").rows.values()
    return tuple(
        str(row["words"])
        for row in rows
        if regions is None or row["region"] == "any" or row["region"] in regions
    )
