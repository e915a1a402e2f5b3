"""Show contact areas by technique, and how they grow with force, for a person and for a program."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from tameshi.cli.shown import both_units, print_flags, print_table, say
from tameshi.pressure import in_words, law_as_dict, repeats_as_dict
from tameshi.quantity import Quantity, System, as_dict, show
from tameshi.study import AgainstForce, Contact, Pair

CONTACT_SCHEMA = "tameshi.contact/1"


def contacts_as_list(contacts: Sequence[Contact]) -> list[dict[str, Any]]:
    """Return contact areas by technique as JSON holds them."""
    return [
        {
            "technique": one.technique,
            "athlete": one.athlete,
            "prints": [contact_print.original.name for contact_print in one.prints],
            "repeats": repeats_as_dict(one.repeats),
            "against_force": [_against_force(found) for found in one.against_force],
        }
        for one in contacts
    ]


def show_contacts(contacts: Sequence[Contact], system: System) -> None:
    """Print contact areas by technique for a person."""
    rows = [_repeats_row(one, system) for one in contacts]
    headings = ("technique", "prints", "mean contact area (95 %)", "also", "scatter", "one more print")
    print_table("contact area", headings, rows)
    for one in contacts:
        for found in one.against_force:
            _show_against_force(one, found, system)
        print_flags(one.repeats.flags)


def _against_force(found: AgainstForce) -> dict[str, Any]:
    return {
        "pad": found.pad,
        "pairs": [_pair(pair) for pair in found.pairs],
        **({"law": law_as_dict(found.law)} if found.law else {"law": None, "why": found.why}),
    }


def _pair(pair: Pair) -> dict[str, Any]:
    return {
        "print": pair.contact_print.original.name,
        "recording": pair.recording.original.name,
        "strike": pair.strike,
        "force": as_dict(pair.force),
        "area": as_dict(pair.area),
    }


def _repeats_row(one: Contact, system: System) -> tuple[str, ...]:
    repeats = one.repeats
    name = f"{one.technique}, {one.athlete}" if one.athlete else one.technique
    ahead = show(repeats.next_print, system)
    return (
        name,
        str(repeats.count),
        *both_units(repeats.mean, system),
        "-" if repeats.scatter is None else f"{repeats.scatter / repeats.mean.value:.1%}",
        f"{ahead.low} to {ahead.high} {ahead.unit}",
    )


def _show_against_force(one: Contact, found: AgainstForce, system: System) -> None:
    name = ", ".join(
        filter(None, (one.technique, one.athlete, f"pad {found.pad or 'not known'}" if found.pairs else ""))
    )
    law = found.law
    if law is None:
        say(f"  {name}: no law of area against force. {found.why} {found.hint}")
        return
    least, most = (show(Quantity(force, "N"), system) for force in law.forces)
    say(
        f"  {name}: area grows with force to the power n = {show(law.exponent)}, from {law.count} prints "
        f"at {least} to {most}; scatter about it {law.scatter:.1%}.",
        f"    {in_words(law)}",
    )
    print_flags(law.flags)
