"""Measure a contact print: from pixels to patches, areas and what limits them.

The picture is used coarsely first, to find the reference, the paper and the pieces of ink, and at
its own resolution only where the print is: quick, and memory stays bounded.
"""

import hashlib
import math
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import Flag, UnmeasurableError
from tameshi.footprint.corrected import corrected
from tameshi.footprint.geometry.box import Box
from tameshi.footprint.geometry.known_lens import KnownLens
from tameshi.footprint.geometry.plane import is_scan, pixel_size, rectify
from tameshi.footprint.geometry.unseen import unseen
from tameshi.footprint.ink.area import bright_shift, contact_areas, inked_areas, sum_if_known, sum_of
from tameshi.footprint.ink.beyond import ink_beyond, require_none_beyond
from tameshi.footprint.ink.by_hand import Ground, keep_inside, leave_out, sort_by_hand
from tameshi.footprint.ink.closeup import CloseUp, close_up
from tameshi.footprint.ink.cover import Edge, count_contact, count_inked, look_at_edge
from tameshi.footprint.ink.covered import without_covered, without_strange
from tameshi.footprint.ink.exposure import Exposure, look_at_exposure, require_exposed
from tameshi.footprint.ink.find import Ink, find_ink
from tameshi.footprint.ink.finger_marks import without_finger_marks
from tameshi.footprint.ink.glare import glare_flags
from tameshi.footprint.ink.inks import other_inks
from tameshi.footprint.ink.left_out import outlines_left_out, picture_showing
from tameshi.footprint.ink.loose_edges import edge_remark
from tameshi.footprint.ink.on_stain import require_no_stain
from tameshi.footprint.ink.outline import Outline, draw_outline
from tameshi.footprint.ink.patches import number_patches, put_together
from tameshi.footprint.ink.pieces import Pieces, middle_of, require_whole, sort_pieces
from tameshi.footprint.ink.prints import groups_of, separate_prints
from tameshi.footprint.ink.remarks import (
    bright_remark,
    debris_remark,
    ink_beside_white,
    is_bright,
    remarks,
    require_measurable,
    specks_remark,
)
from tameshi.footprint.ink.ridges import look_for_ridges
from tameshi.footprint.ink.spacing import spacings_of
from tameshi.footprint.picture.arrays import Pixels
from tameshi.footprint.picture.light import as_rgb
from tameshi.footprint.picture.view import View
from tameshi.footprint.references.picked import Picked
from tameshi.footprint.references.reference import Asked, Reference
from tameshi.footprint.references.registry import AUTO, establish_reference
from tameshi.footprint.results.corrections import Corrections, Place
from tameshi.footprint.results.model import Footprint, Patch, ReferenceFacts, SeparatePrint, SetAside, Spacing
from tameshi.footprint.results.settings import FootprintSettings
from tameshi.footprint.results.wide import wide_flags

_PAPERS_EDGE = (
    "sheet",
    "scan",
)  # kinds of reference whose region ends where the paper does, or shows its edge
_MORE_THAN_SPECKS = 1e-4  # square metres


def measure_footprint(  # noqa: PLR0913  each is something else that somebody may know
    pixels: NDArray[np.generic],
    *,
    reference: str | Picked = AUTO,
    bar: float | None = None,
    paper: str | None = None,
    dpi: tuple[float, float] | float | None = None,
    focal: float | None = None,
    lens: KnownLens | None = None,
    key: str = "",
    settings: FootprintSettings | None = None,
    corrections: Corrections | None = None,
) -> Footprint:
    """Measure the contact print in a photo or scan.

    Parameters
    ----------
    pixels : (h, w), (h, w, 3) or (h, w, 4) array of uint8 or uint16
        Upright, red-green-blue.
    reference : str or Picked
        ``"auto"``, ``"target"``, ``"scan"``, ``"scan:600"``, ``"sheet"``, ``"sheet:a4"``, ``"grid:5 mm"``,
        ``"ruler"`` or ``"ruler:flat"``; or points picked by hand.
    bar : float or None
        Measured length of a bar on the printed target sheet, in metres.
    paper : str or None
        Paper of the target sheet or of the plain one; None finds out.
    dpi : (float, float), float or None
        Pixels an inch that a scanner wrote into the file.
    focal : float or None
        Focal length as a share of the picture's diagonal, as a camera wrote it into the file: tells A4
        from Letter in slanted views of a plain sheet.
    lens : KnownLens or None
        What is known of the camera's lens, from a photo of the target sheet for instance.
    key : str
        Identity of the picture, its SHA-256 for instance; empty takes one from the pixels.
    settings : FootprintSettings or None
    corrections : Corrections or None
        What a person changes in the print by hand.

    Returns
    -------
    Footprint

    Raises
    ------
    WrongUseError
        If the reference, paper, bar, resolution or a correction cannot be meant.
    UnmeasurableError
        ``no-reference``, ``reference-ambiguous``, ``wrong-paper``, ``too-tilted``, ``not-flat``,
        ``no-print``, ``print-cut-off``, ``overexposed``, ``glare``, ``too-blurred``, ``too-small``.
    """
    settings = settings or FootprintSettings()
    view = View(as_rgb(pixels))
    both = (dpi, dpi) if isinstance(dpi, (int, float)) else dpi
    picked = reference if isinstance(reference, Picked) else None
    asked = Asked(
        bar=bar, paper=paper, dpi=both, focal=focal, key=key or _digest(view), picked=picked, lens=lens
    )
    found = establish_reference(view, "points" if isinstance(reference, Picked) else reference, asked)
    view = found.straight or view
    measured = _print(view, found, settings, corrections or Corrections())
    if corrections:
        measured = corrected(measured, lambda other: _print(view, found, settings, other), key=found.key)
    return replace(measured, flags=(*measured.flags, *wide_flags(measured.contact_area)))


def _print(view: View, found: Reference, settings: FootprintSettings, corrections: Corrections) -> Footprint:
    """Return the print on the paper, with these corrections."""
    ink, pieces, covered, places = _overview(view, found, settings, corrections)
    gone = outlines_left_out(pieces, Ground(found.region, ink.scale, found.stretch))
    seen = close_up(view, found.plane, found.region, (ink, pieces), settings, at=corrections.outline_at)
    if found.local is not None:
        found = replace(found, area_factor=found.local(seen.box))
    outline, left_out, curves = leave_out(seen, draw_outline(seen, settings.gap), places, found.stretch)
    glare = glare_flags(seen, outline)
    edge = look_at_edge(seen, outline)  # the ink's own, not a lasso's
    exposure = look_at_exposure(view, seen, outline, edge, scanned=is_scan(found.plane))
    seen, outline = keep_inside(seen, outline, corrections, found.stretch)
    apart = corrections.apart or settings.apart
    patches, spacings, prints, flags = _measured(seen, outline, (edge, exposure), found, apart)
    aside = (*left_out, *_set_aside(ink, pieces, found))
    whole = sum_of(patch.contact_area for patch in patches)
    said = {flag.code for flag in found.flags}
    picture, box = picture_showing(view, found, seen, gone, settings.most_pixels)
    return Footprint(
        reference=_facts(found, seen.scale),
        contact_area=whole,
        inked_area=sum_if_known(patch.inked_area for patch in patches),
        patches=patches,
        prints=prints,
        spacings=spacings,
        set_aside=aside,
        flags=(
            *found.flags,
            *covered,
            *glare,
            *(flag for flag in flags if flag.code not in said),
            *specks_remark(patches, settings.smallest_patch),
            *debris_remark(aside, whole.value),
        ),
        settings=settings,
        picture=_read_only(picture),
        box=_stretched(box, found.stretch),
        corrections=corrections,
        left_out=(*gone, *curves),
    )


def _overview(
    view: View, reference: Reference, settings: FootprintSettings, corrections: Corrections
) -> tuple[Ink, Pieces, tuple[Flag, ...], tuple[Place, ...]]:
    """Find the ink where it may be, and refuse what is no whole print.

    Last come the places whose patches are still to be left out.
    """
    scale = max(settings.overview_scale, pixel_size(reference.plane, reference.region)[0])
    picture = rectify(view, reference.plane, reference.region, scale)
    hidden = unseen(reference.plane, reference.region, scale, view.size)
    ink = find_ink(picture, scale, framed=reference.framed, hidden=hidden)
    pieces = sort_pieces(ink, settings, framed=reference.framed, hidden=hidden)
    pieces, flags = without_covered(pieces, reference.covered, reference.region, scale)
    pieces, strange = without_strange(picture, pieces, reference, scale)
    marks: tuple[Flag, ...] = ()
    if reference.kind in _PAPERS_EDGE:
        pieces, marks = without_finger_marks(pieces, reference.region, scale, reference.stretch)
    ground = Ground(reference.region, scale, reference.stretch)
    pieces, places = sort_by_hand(pieces, corrections, ground)
    _require_print(pieces)
    require_whole(pieces, reference.region, scale, edge=reference.edge)
    require_no_stain(ink, pieces, reference.region)
    beyond = ink_beyond(view, pieces, reference, scale, settings.smallest_patch)
    outside = require_none_beyond(beyond, reference, settings, lassoed=bool(corrections.lassos))
    edges = edge_remark(ink, pieces, reference.region)
    inks = other_inks(picture, pieces, reference.region, scale)
    return ink, pieces, (*flags, *strange, *marks, *outside, *edges, *inks), places


def _measured(
    seen: CloseUp, outline: Outline, looks: tuple[Edge, Exposure], reference: Reference, apart: float
) -> tuple[tuple[Patch, ...], tuple[Spacing, ...], tuple[SeparatePrint, ...], tuple[Flag, ...]]:
    """Count the areas of the patches, put them together to prints, and say what limits them."""
    edge, exposure = looks
    numbers = number_patches(seen, outline)
    contact = count_contact(seen, outline, edge, numbers)
    white = ink_beside_white(seen, outline, edge)
    require_measurable(seen, contact, edge, white)
    exposed = require_exposed(exposure, contact)
    pale = is_bright(white)
    blur, coarsest = _picture_blur(seen, reference, edge)
    ridging = look_for_ridges(seen, outline, blur, coarsest, reference.spread)
    inked = count_inked(seen, outline, edge, numbers, ridging, contact)
    patches, lies = put_together(
        seen,
        outline,
        numbers,
        (
            contact_areas(
                contact, reference, edge, seen.scale, bright=bright_shift(edge, exposure, pale=pale)
            ),
            inked_areas(inked, ridging, reference, edge, seen.scale),
        ),
        lengths=contact.length,
        reference=reference,
    )
    groups = groups_of(seen, outline, numbers, apart / reference.stretch)
    prints, several = separate_prints(patches, groups)
    flags = (
        *(exposed or bright_remark(pale=pale)),
        *remarks(seen, outline, contact, edge, ridging),
        *several,
    )
    return patches, spacings_of(lies, groups, reference), prints, flags


def _require_print(pieces: Pieces) -> None:
    if pieces.patches:
        return
    rest = [piece for piece in pieces.others if piece.kind != "border"]
    held = "There is no print on the paper."
    if rest and rest[0].kind == "line":
        held = f"{held[:-1]}, only lines, such as writing, of up to {rest[0].area * 1e6:.1f} mm²."
    elif rest and rest[0].area > _MORE_THAN_SPECKS:
        held = (
            f"{held[:-1]}: {rest[0].area * 1e4:.0f} cm² are darker, but as a shadow, a stain or a ring is: "
            "no edge of ink on bare paper goes around them."
        )
    elif rest:
        held = f"{held[:-1]}, only specks of up to {rest[0].area * 1e6:.1f} mm²."
    raise UnmeasurableError(
        "no-print",
        held,
        hint="Ink the skin, strike inside the frame, and make sure that light and exposure show the ink: "
        "a print that takes less than a twentieth of the paper's light is too pale to be found.",
    )


def _facts(reference: Reference, scale: float) -> ReferenceFacts:
    return ReferenceFacts(
        kind=reference.kind,
        scale=scale * reference.stretch,
        tilt_deg=reference.tilt,
        residual_px=reference.plane.residual,
        said=reference.said,
        lens=reference.lens,
    )


def _set_aside(ink: Ink, pieces: Pieces, reference: Reference) -> tuple[SetAside, ...]:
    aside = []
    for piece in pieces.others:
        x, y = middle_of(piece, reference.region, ink.scale)
        place = (x * reference.stretch, y * reference.stretch)
        aside.append(SetAside(piece.kind, piece.area * reference.area_factor.value, place))
    return tuple(aside)


def _picture_blur(seen: CloseUp, reference: Reference, edge: Edge) -> tuple[float, float]:
    """Return the picture's blur in pixels of the close-up, and its coarsest pixel in metres.

    The blur is the markers', or the print's own where there are none.
    """
    finest, coarsest = pixel_size(reference.plane, seen.box)
    if reference.sheet is None:
        return edge.blur, coarsest
    return reference.spread.blur * math.sqrt(finest * coarsest) / seen.scale, coarsest


def _stretched(box: Box, by: float) -> Box:
    return Box(box.left * by, box.top * by, box.right * by, box.bottom * by)


def _read_only(picture: Pixels) -> Pixels:
    picture.setflags(write=False)
    return picture


def _digest(view: View) -> str:
    """Return an identity for a picture nobody named."""
    some = np.ascontiguousarray(view.pixels[::61])  # whole rows: they lie together
    return hashlib.blake2b(some.tobytes() + str(view.pixels.shape).encode(), digest_size=12).hexdigest()
