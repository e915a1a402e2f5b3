"""The kinds of reference there are, and how one is chosen."""

import math
from collections.abc import Iterable
from dataclasses import replace

import cv2
import numpy as np

from tameshi.errors import UnmeasurableError, WrongUseError
from tameshi.footprint.geometry.plane import area_of_pixel, to_pixels
from tameshi.footprint.picture.view import View
from tameshi.footprint.references.grid.kind import GRID
from tameshi.footprint.references.grid.lattice import find_lattice
from tameshi.footprint.references.points import POINTS
from tameshi.footprint.references.reference import Asked, Kind, Reference
from tameshi.footprint.references.ruler.kind import RULER
from tameshi.footprint.references.ruler.lying import require_no_ruler
from tameshi.footprint.references.scan import INCH, SCAN
from tameshi.footprint.references.sharp import require_sharp
from tameshi.footprint.references.sheet.kind import SHEET
from tameshi.footprint.references.sheet.quad import find_quads
from tameshi.footprint.references.sheet.scanned import pitch_flags, resolution_flags
from tameshi.footprint.references.target.kind import TARGET, is_blown_out

KINDS: tuple[Kind, ...] = (TARGET, SCAN, SHEET, GRID, RULER, POINTS)
"""In the order in which they are listed."""

AUTO = "auto"
_PREFERRED = (TARGET.name, SCAN.name, RULER.name, SHEET.name, GRID.name, POINTS.name)
_MOSTLY = 0.5
_AT_ODDS = 3.0  # standard uncertainties
_UNSAID = 0.03  # of an area: what references leave to be said by the place of the print
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
        return _found_out(view, asked)
    kinds = {kind.name: kind for kind in KINDS}
    known = dict.fromkeys((AUTO, *(form for kind in KINDS for form in (kind.name, kind.form))))
    if name not in kinds or (argument and ":" not in kinds[name].form):
        raise WrongUseError(
            "unknown-reference",
            f"{named!r} is no kind of reference known here.",
            hint=f"There are: {', '.join(known)}.",
        )
    found = kinds[name].establish(view, replace(asked, argument=argument))
    if name == SHEET.name:
        require_no_ruler(view, found.plane, found.region)
    if name == GRID.name and not any(flag.code == "pitch-doubtful" for flag in found.flags):
        return replace(found, flags=(*found.flags, *pitch_flags(view, found.plane)))
    if name == SCAN.name:
        dpi = (INCH * float(found.plane.matrix[0, 0]), INCH * float(found.plane.matrix[1, 1]))
        return replace(found, flags=(*found.flags, *resolution_flags(view, dpi, asked.dpi)))
    return found


def _found_out(view: View, asked: Asked) -> Reference:
    """Ask every kind what speaks for it, and establish the one that is wholly there."""
    shown = {TARGET: TARGET.sighting(view, asked), SCAN: SCAN.sighting(view, asked)}
    if shown[TARGET][0] == "whole":
        # markers on a scanned sheet are a finer reference than the scanner's word
        return TARGET.establish(view, asked)
    if shown[TARGET][0] == "none":
        if shown[SCAN][0] == "none" and not is_blown_out(view):
            require_sharp(view)
        # our target sheet is a sheet as well: where its markers show, they are what counts
        shown |= {kind: kind.sighting(view, asked) for kind in KINDS if kind not in shown}
    whole = [kind for kind, (strength, _) in shown.items() if strength == "whole"]
    part = [kind for kind, (strength, _) in shown.items() if strength == "part"]
    if SHEET in whole and GRID in part:
        # a sheet with squares on it is squared paper; squares around it are a checked table
        if _squares_on_sheet(view):
            whole.remove(SHEET)
        else:
            part.remove(GRID)
    # of a sheet that the picture cuts off nothing can be measured: it vies with nothing
    rivals = [kind for kind in part if kind is not SHEET or SCAN in whole]
    if whole and not rivals:
        return _agreed(view, asked, whole)
    if whole:
        vying = [kind for kind in KINDS if kind in (*whole, *rivals)]
        seen = " and ".join(shown[kind][1] for kind in vying)
        raise _ambiguous(f"The picture shows {seen}: it cannot be told which to go by.", vying)
    if part or is_blown_out(view):
        return (part[0] if part else TARGET).establish(view, asked)  # its refusal names what is missing
    raise UnmeasurableError(
        "no-reference",
        "Nothing in the picture gives its scale: no marker of the target sheet, no plain sheet with four "
        "edges that stand out, no squares, no ruler, and no scanner's resolution in the file.",
        hint="Photograph the whole target sheet, or a plain sheet on a darker table, or name a reference: "
        f"{', '.join(kind.form for kind in KINDS)}.",
    )


def _squares_on_sheet(view: View) -> bool:
    """Return whether squares lie on the sheet in view, and not on the table around it."""
    lattice = view.once(find_lattice)
    if lattice is None:
        return False
    outline = view.once(find_quads)[0].corners.astype(np.float32)
    some = ((float(x), float(y)) for x, y in lattice.seen[::7])
    inside = [cv2.pointPolygonTest(outline, place, measureDist=False) > 0 for place in some]
    return float(np.mean(inside)) > _MOSTLY


def _agreed(view: View, asked: Asked, whole: list[Kind]) -> Reference:
    """Establish all kinds that are there: they must agree on the scale; one that fails was none."""
    found, failed = [], []
    for kind in whole:
        try:
            found.append(kind.establish(view, asked))
        except UnmeasurableError as error:
            failed.append(error)
    if not found:
        raise failed[0]
    # a ruler that lies on a sheet would pass for ink on it: by the ruler, ink is looked for beside it
    chosen = min(found, key=lambda one: _PREFERRED.index(one.kind))
    if chosen.kind == SHEET.name and RULER in whole:
        require_no_ruler(view, chosen.plane, chosen.region)
    for other in found:
        if other is not chosen and _at_odds(chosen, other):
            raise _ambiguous(
                f"The picture shows two references that do not agree: {chosen.said} {other.said}", whole
            )
    others = ", ".join(one.kind for one in found if one is not chosen)
    return replace(chosen, said=f"{chosen.said} It agrees with: {others}.") if others else chosen


def _at_odds(one: Reference, other: Reference) -> bool:
    """Return whether two references give a place in the picture another scale."""
    region = one.region
    middle = np.array([[0.5 * (region.left + region.right), 0.5 * (region.top + region.bottom)]])
    at = to_pixels(one.plane, middle)[0]
    areas = [area_of_pixel(each.plane, at) * each.area_factor.value for each in (one, other)]
    spread = math.hypot(_UNSAID, *(each.area_factor.u for each in (one, other)))
    return abs(math.log(areas[0] / areas[1])) > _AT_ODDS * spread


def _ambiguous(message: str, kinds: Iterable[Kind]) -> UnmeasurableError:
    return UnmeasurableError(
        "reference-ambiguous", message, hint=f"Name one: {', '.join(kind.form for kind in kinds)}."
    )
