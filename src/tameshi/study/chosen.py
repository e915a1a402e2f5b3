"""The area and the patches of a print that a strike left: of several on one sheet the one that was said."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from tameshi.quantity import Measured, Missing, Quantity, from_record
from tameshi.study.describe import Print
from tameshi.study.description import ALL_PRINTS


def chosen_area(contact_print: Print, body: Mapping[str, Any]) -> Measured:
    """Return the contact area of a measured print.

    Parameters
    ----------
    contact_print : Print
    body : mapping
        The result as stored.

    Returns
    -------
    Quantity or Missing
        Missing where the sheet holds several prints and nobody said which, or one that is not there. [m2]
    """
    which = contact_print.description.which
    prints = body.get("prints", ())
    if which == ALL_PRINTS or (which is None and len(prints) <= 1):
        return from_record(body["contact_area"])
    name = contact_print.original.name
    if which is None:
        return Missing("m2", f"{name} holds {len(prints)} prints, and nobody said which one is meant")
    if int(which) > max(1, len(prints)):
        return Missing("m2", f"{name} holds no print {which}, only {max(1, len(prints))}")
    return from_record(prints[int(which) - 1]["contact_area"] if prints else body["contact_area"])


def chosen_patches(contact_print: Print, body: Mapping[str, Any]) -> list[Quantity]:
    """Return the contact areas of the patches of the print that :func:`chosen_area` speaks of. [m2]"""
    which, prints = contact_print.description.which, body.get("prints", ())
    one = which is not None and which != ALL_PRINTS and prints
    wanted = set(prints[int(which) - 1]["patches"]) if one and which is not None else None
    return [
        area
        for patch in body["patches"]
        if (wanted is None or patch["index"] in wanted)
        and isinstance(area := from_record(patch["contact_area"]), Quantity)
    ]
