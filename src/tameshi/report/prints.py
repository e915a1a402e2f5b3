"""What a report says about contact prints."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping
from typing import Any

from tameshi.errors import WrongUseError
from tameshi.quantity import Missing, from_record
from tameshi.report.budgets import budget
from tameshi.report.frame import PRINT_AREAS, Frame
from tameshi.report.notation import Notation
from tameshi.report.parts import Fact, Link, Named, PatchPart, Picture, PrintPart
from tameshi.report.remarks import refusal, remarks
from tameshi.study import ALL_PRINTS, OVERLAY, Measurement, Print

_MM2 = 1e6
_MM = 1e3


def print_part(contact_print: Print, outcome: Measurement, frame: Frame) -> PrintPart:
    """Return what is said about a print.

    Parameters
    ----------
    contact_print : Print
    outcome : Measurement
    frame : Frame
    """
    said, body, notation = contact_print.description, outcome.body, frame.notation
    place = frame.prints[contact_print.original.sha256]
    facts = (*_said(contact_print), *_found(body))
    strike = None
    if said.recording in frame.recordings and said.strike is not None:
        strike = frame.strike(str(said.recording), said.strike)
    if outcome.error is not None:
        facts = (*facts, *_asked(contact_print))
        return PrintPart(place=place, facts=facts, strike=strike, refused=refusal(place, outcome.error))
    areas = {key: from_record(body[key]) for key in PRINT_AREAS}
    return PrintPart(
        place=place,
        facts=facts,
        strike=strike,
        picture=_picture(place, body, outcome.files),
        areas=tuple(Named(PRINT_AREAS[key], notation.entry(areas[key])) for key in areas),
        patches=tuple(_patch(patch, notation) for patch in body["patches"]),
        spacings=_spacings(body, notation),
        prints=_separate(contact_print, body, notation),
        set_aside=_set_aside(body["set_aside"]),
        budget=budget([(PRINT_AREAS[key], areas[key]) for key in areas], place),
        remarks=remarks(body["flags"]),
    )


def _patch(patch: Mapping[str, Any], notation: Notation) -> PatchPart:
    contact, inked = (notation.entry(from_record(patch[key])) for key in PRINT_AREAS)
    major, minor = (notation.entry(from_record(patch[key])) for key in ("major_axis", "minor_axis"))
    return PatchPart(int(patch["index"]), contact, inked, major, minor, _direction(patch["direction"]))


def _direction(record: Mapping[str, Any]) -> str:
    """Return a direction in degrees, with its interval."""
    found = from_record(record)
    if isinstance(found, Missing):
        return "as wide as long"
    angles = [math.degrees(one) for one in (found.value, found.low, found.high)]
    value, low, high = (f"{angle:.0f}".replace("-", "\u2212") for angle in angles)
    return f"{value}\u00b0 ({low} to {high}\u00b0)"


def _spacings(body: Mapping[str, Any], notation: Notation) -> tuple[Named, ...]:
    return tuple(
        Named(
            f"Patch {one['between'][0]} to patch {one['between'][1]}",
            notation.entry(from_record(one["distance"])),
        )
        for one in body.get("spacings", ())
    )


def _separate(contact_print: Print, body: Mapping[str, Any], notation: Notation) -> tuple[Named, ...]:
    """Return the area of each print where the sheet holds several, and which of them counts."""
    prints = body.get("prints", ())
    which = contact_print.description.which
    if len(prints) <= 1:
        return ()
    return tuple(
        Named(
            f"Print {one['index']}, contact"
            + (", counted" if which in (str(one["index"]), ALL_PRINTS) else ""),
            notation.entry(from_record(one["contact_area"])),
        )
        for one in prints
    )


def _picture_facts(image: Mapping[str, Any]) -> str:
    told = [f"{image['width']} × {image['height']} pixels"]
    if image.get("format"):
        told.append(f"{image['format']}, {image['bits']} {'bit' if image['bits'] == 1 else 'bits'}")
    if image.get("profile"):
        told.append(f"colours in {image['profile']}")
    return ", ".join(told)


def _said(contact_print: Print) -> tuple[Fact, ...]:
    """Return what people said about a print."""
    said = contact_print.description
    facts = {
        "Technique": said.technique,
        "Athlete": said.athlete,
        "Session": said.session,
        "Reference, as named": said.reference,
        "Bar on the sheet, as measured": f"{_MM * said.bar_length:.4g} mm" if said.bar_length else "",
        "Note": said.note,
    }
    return tuple(Fact(name, words) for name, words in facts.items() if words)


def _asked(contact_print: Print) -> tuple[Fact, ...]:
    """Return the corrections that were asked for; a measured print tells those that were made."""
    from tameshi.footprint import corrections_from  # noqa: PLC0415  heavy, and seldom needed

    try:
        words = corrections_from(contact_print.description.corrections or {}).words()
    except WrongUseError:  # the refusal says it
        return ()
    return (Fact("Corrections asked for", "; ".join(words)),) if words else ()


def _found(body: Mapping[str, Any]) -> tuple[Fact, ...]:
    """Return what the picture itself showed."""
    if not body:
        return ()
    image, reference = body["image"], body["reference"]
    facts = {
        "Picture": _picture_facts(image),
        "Scale from": reference.get("said", reference["kind"]).rstrip("."),
        "Resolution": f"{_MM * reference['scale']:.3g}\u00a0mm a pixel",
        "Reference points fit to": f"{reference['residual_px']:.2g} pixels"
        if reference["residual_px"]
        else "",
        "Lens, as known from": body.get("lens", {}).get("file", ""),
        "Corrected by hand": "; ".join(body.get("corrections", {}).get("said", ())),
    }
    return tuple(Fact(name, words) for name, words in facts.items() if words)


def _picture(place: Link, body: Mapping[str, Any], files: Mapping[str, bytes]) -> Picture | None:
    if OVERLAY not in files:
        return None
    count = len(body["patches"])
    patches = "one patch" if count == 1 else f"{count} patches"
    by_hand = _drawn_by_hand(body.get("corrections", {}))
    return Picture(
        png=files[OVERLAY],
        alternative=f"The print of {place.words}, squared up, with the outline of {patches} drawn on it.",
        caption="The print as measured, squared up: outlines, axes, numbers and areas of its patches. "
        f"Ink outside the outlines was not counted.{by_hand}",
    )


def _drawn_by_hand(corrections: Mapping[str, Any]) -> str:
    """Return what the overlay's other lines are."""
    drawn = []
    if corrections.get("leave_out"):
        drawn.append("crossed out: left out by hand")
    if corrections.get("lassos"):
        drawn.append("dashed: the lasso")
    return f" {'; '.join(drawn).capitalize()}." if drawn else ""


def _set_aside(pieces: list[Mapping[str, Any]]) -> str:
    if not pieces:
        return ""
    area = _MM2 * sum(float(piece["area"]) for piece in pieces)
    kinds = Counter(str(piece["kind"]) for piece in pieces)
    told = ", ".join(f"{count} × {kind}" for kind, count in sorted(kinds.items()))
    return f"Ink that was not counted: {told}, {area:.2g} mm² in all."
