"""tameshi footprint: contact area of a print from a photo or scan."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from tameshi.cli import options as given
from tameshi.cli.several import measure_each
from tameshi.cli.shown import both_units, note, print_flags, print_table, say, system_of
from tameshi.errors import UnmeasurableError, WrongUseError

if TYPE_CHECKING:
    from tameshi.cli.measuring import MeasuredImage
    from tameshi.footprint import Footprint
    from tameshi.quantity import System


def footprint(
    images: Annotated[list[Path], typer.Argument(help="Photos of the print, or flatbed scans.")],
    reference: given.Reference = "auto",
    bar: given.BarLength = None,
    paper: given.Paper = None,
    point: given.Points = None,
    picked_within: given.PickedWithin = 2.0,
    placed_within: given.PlacedWithin = None,
    lens: given.Lens = None,
    leave_out: given.LeaveOut = None,
    take_in: given.TakeIn = None,
    lasso: given.Lasso = None,
    outline_at: given.OutlineAt = None,
    apart: given.Apart = None,
    keep_lens: Annotated[
        Path | None,
        typer.Option(
            "--keep-lens",
            help="Write what this photo of the target sheet, a plain sheet or squared paper shows of the "
            "camera's lens here (TOML), for its other photos.",
        ),
    ] = None,
    overlay: Annotated[
        Path | None, typer.Option("--overlay", help="Write a picture with the outlines here (PNG).")
    ] = None,
    units: given.Units = "si",
    as_json: given.Json = False,
) -> None:
    """Measure the contact area of prints."""
    from tameshi.cli.by_hand import PointsTyped, by_hand_of
    from tameshi.cli.measuring import ImageOptions, measure_image

    system = system_of(units)
    options = ImageOptions(
        reference=reference,
        bar=bar,
        paper=paper,
        points=PointsTyped(points=tuple(point or ()), within=picked_within, placed_within=placed_within),
        lens=lens,
        by_hand=by_hand_of(leave_out, take_in, lasso, outline_at, apart),
    )
    options.by_hand.refuse_several(len(images))
    if overlay is not None and len(images) > 1:
        raise WrongUseError(
            "overlay-unclear", "One overlay cannot show several prints.", hint="Give one image."
        )
    if keep_lens is not None and len(images) > 1:
        raise WrongUseError("lens-unclear", "A lens is kept from one picture.", hint="Give one image.")

    def measure(path: Path) -> MeasuredImage:
        measured = measure_image(path, options)
        _keep_lens(measured, keep_lens)
        _write_overlay(measured, overlay)
        return measured

    measure_each(
        images,
        measure,
        image_as_dict,
        lambda measured: show_footprint(measured, system),
        of="footprints",
        as_json=as_json,
    )


def image_as_dict(measured: MeasuredImage) -> dict[str, Any]:
    """Return a measured picture as the object that --json prints."""
    from tameshi.footprint import as_dict

    told = as_dict(measured.footprint, file=measured.file, sha256=measured.sha256, size=measured.size)
    return {**told, "image": {**told["image"], **measured.facts}}


def show_footprint(measured: MeasuredImage, system: System) -> None:
    """Print a measured print for a person."""
    found = measured.footprint
    say(f"{measured.file}: {found.reference.said}")
    if measured.facts["profile"]:
        say(f"  {measured.facts['format']} with colours in {measured.facts['profile']}.")
    rows = [
        ("contact area", *both_units(found.contact_area, system)),
        ("inked area", *both_units(found.inked_area, system)),
    ]
    if len(found.patches) > 1:
        rows += [
            (f"patch {patch.index}, contact", *both_units(patch.contact_area, system))
            for patch in found.patches
        ]
    if len(found.prints) > 1:
        rows += [
            (f"print {one.index}, contact", *both_units(one.contact_area, system)) for one in found.prints
        ]
    print_table("contact print", ("area", "value (95 % interval)", "also"), rows)
    print_table("lengths", ("length", "value (95 % interval)", "also"), _lengths(found, system))
    print_flags(found.flags)


def _lengths(found: Footprint, system: System) -> list[tuple[str, str, str]]:
    """Return how long and wide patches are, which way they lie, and how far they are from each other."""
    rows = []
    for patch in found.patches:
        axes = patch.axes
        rows += [
            (f"patch {patch.index}, longer axis", *both_units(axes.major, system)),
            (f"patch {patch.index}, shorter axis", *both_units(axes.minor, system)),
            (f"patch {patch.index}, direction", *both_units(axes.direction, system)),
        ]
    rows += [
        (f"patches {one.between[0]} to {one.between[1]}", *both_units(one.distance, system))
        for one in found.spacings
    ]
    return rows


def _keep_lens(measured: MeasuredImage, path: Path | None) -> None:
    if path is None:
        return
    from dataclasses import replace

    from tameshi.files import write_atomic
    from tameshi.footprint import lens_text

    reference = measured.footprint.reference
    if reference.lens is None:
        raise UnmeasurableError(
            "lens-not-seen",
            f"The reference ({reference.kind}) shows too little of the lens, or its file was given already.",
            hint="Photograph the target sheet flat, filling the picture, and leave out --lens.",
        )
    said = f"{measured.file}, sha256 {measured.sha256[:16]}"
    write_atomic(path, lens_text(replace(reference.lens, said=said)).encode())
    note(f"lens: {path}")


def _write_overlay(measured: MeasuredImage, path: Path | None) -> None:
    if path is None:
        return
    from tameshi.files import write_atomic
    from tameshi.footprint import overlay_png

    write_atomic(path, overlay_png(measured.footprint))
    note(f"overlay: {path}")
