"""Flags in plain words, and a list of every one that was raised with what to do about it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from tameshi.errors import TameshiError
from tameshi.reference import table
from tameshi.report.parts import FlagMet, Link, Refused, Remark


def remark(stored: Mapping[str, Any]) -> Remark:
    """Return a stored flag with its title; a code nobody has worded speaks for itself."""
    code = str(stored["code"])
    row = table("flags").rows.get(code, {})
    title = row.get("title") or code.replace("-", " ").capitalize()
    return Remark(code, str(title), str(stored["message"]))


def remarks(stored: Iterable[Mapping[str, Any]]) -> tuple[Remark, ...]:
    """Return stored flags with their titles, each once."""
    return tuple(dict.fromkeys(remark(flag) for flag in stored))


def refusal(place: Link, error: TameshiError) -> Refused:
    """Return why a file could not be measured."""
    return Refused(place, error.code, error.message, error.hint)


def flags_met(raised: Iterable[tuple[Remark, Link]]) -> tuple[FlagMet, ...]:
    """Return every flag that was raised, with its advice and its places.

    Parameters
    ----------
    raised : iterable of (Remark, Link)

    Returns
    -------
    tuple of FlagMet
        In the order of the reference table, those it does not know last.
    """
    places: dict[str, dict[Link, None]] = {}
    titles: dict[str, str] = {}
    for one, place in raised:
        places.setdefault(one.code, {})[place] = None
        titles[one.code] = one.title
    known = table("flags").rows
    order = {code: rank for rank, code in enumerate(known)}
    return tuple(
        FlagMet(code, titles[code], str(known[code]["advice"]) if code in known else "", tuple(places[code]))
        for code in sorted(places, key=lambda code: (order.get(code, len(order)), code))
    )
