"""The kinds of reference there are, and how one is chosen."""

from dataclasses import replace

from tameshi.errors import UnmeasurableError, WrongUseError
from tameshi.footprint.grid import GRID
from tameshi.footprint.page import SHEET
from tameshi.footprint.points import POINTS
from tameshi.footprint.reference import Asked, Kind, Reference
from tameshi.footprint.ruler import RULER
from tameshi.footprint.scan import SCAN
from tameshi.footprint.target import TARGET, is_blown_out
from tameshi.footprint.view import View

KINDS: tuple[Kind, ...] = (TARGET, SCAN, SHEET, GRID, RULER, POINTS)
"""In the order in which they are preferred where several are wholly there."""

AUTO = "auto"
_OTHER_NAMES = {"page": SHEET.name}


def establish_reference(view: View, named: str, asked: Asked) -> Reference:
    """Return the reference a person named, or the one the picture shows.

    Parameters
    ----------
    view : View
    named : str
        ``"auto"``, a kind's name, or name and argument: ``"scan:600"``.
    asked : Asked

    Raises
    ------
    WrongUseError
        If there is no such kind.
    UnmeasurableError
        ``no-reference`` or ``reference-ambiguous``, or what the kind itself refuses.
    """
    name, _, argument = named.strip().partition(":")
    name = _OTHER_NAMES.get(name, name)
    if name == AUTO and not argument:
        return _seen(view, asked).establish(view, asked)
    kinds = {kind.name: kind for kind in KINDS}
    known = dict.fromkeys((AUTO, *(form for kind in KINDS for form in (kind.name, kind.form))))
    if name not in kinds or (argument and ":" not in kinds[name].form):
        raise WrongUseError(
            "unknown-reference",
            f"{named!r} is no kind of reference known here.",
            hint=f"There are: {', '.join(known)}.",
        )
    return kinds[name].establish(view, replace(asked, argument=argument))


def _seen(view: View, asked: Asked) -> Kind:
    sightings = {kind: kind.sighting(view, asked) for kind in KINDS}
    whole = [kind for kind, (strength, _) in sightings.items() if strength == "whole"]
    part = [kind for kind, (strength, _) in sightings.items() if strength == "part"]
    if whole and (whole[0] is KINDS[0] or not part):
        # markers on a scanned sheet are a finer reference than the scanner's word
        return whole[0]
    if whole and part:
        shown = " and ".join(words for strength, words in sightings.values() if strength != "none")
        raise UnmeasurableError(
            "reference-ambiguous",
            f"The picture shows {shown}: it cannot be told which to go by.",
            hint=f"Name one: {', '.join(kind.form for kind in (*whole, *part))}.",
        )
    if part or is_blown_out(view):
        return part[0] if part else TARGET  # its refusal names what is missing
    raise UnmeasurableError(
        "no-reference",
        "Nothing in the picture gives its scale: no marker of the target sheet, no plain sheet with four "
        "edges that stand out, no squares, no ruler, and no scanner's resolution in the file.",
        hint="Photograph the whole target sheet, or a plain sheet on a darker table, or name a reference: "
        f"{', '.join(kind.form for kind in KINDS)}.",
    )
