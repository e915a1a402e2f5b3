"""tameshi pressure: join a strike and its print into pressure."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tameshi.cli import options as given
from tameshi.cli.outcome import print_json
from tameshi.cli.shown import both_units, print_flags, print_table, say, system_of
from tameshi.errors import UnmeasurableError, WrongUseError

if TYPE_CHECKING:
    from tameshi.footprint import Footprint
    from tameshi.force import Reduction, Strike
    from tameshi.pressure import Pressure
    from tameshi.quantity import Quantity, System


def pressure(
    recording: Annotated[
        Path, typer.Argument(help="Recording with the strike; or the folder of a study, without IMAGE.")
    ],
    image: Annotated[Path | None, typer.Argument(help="Photo or scan of its contact print.")] = None,
    rig: given.Rig = None,
    strike: Annotated[
        int | None, typer.Option("--strike", help="Which strike of the recording left the print, from 1.")
    ] = None,
    channel: given.Channel = None,
    force_scale: given.ForceScale = None,
    rate: given.Rate = None,
    channel_class: given.ChannelClass = None,
    accept_cut_off: given.AcceptCutOff = False,
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
    which: given.WhichPrint = None,
    alike: Annotated[
        bool,
        typer.Option(
            "--alike",
            help="The patches are bodies of one kind that touched together, as the knuckles of one fist.",
        ),
    ] = False,
    units: given.Units = "si",
    as_json: given.Json = False,
) -> None:
    """Join a strike's peak force and its print into pressure; of a study, area against force by technique."""
    from tameshi.cli.by_hand import PointsTyped, by_hand_of
    from tameshi.cli.measuring import ImageOptions, RecordingOptions, measure_image, reduce_file
    from tameshi.cli.pressure_detail import pulse_of, show_detail
    from tameshi.pressure import detail_as_dict, detail_of, join, pressure_as_dict

    system = system_of(units)
    if image is None:
        area_against_force(recording, system, as_json=as_json)
        return
    options = RecordingOptions(
        rig=rig,
        channel=channel,
        force_scale=force_scale,
        rate=rate,
        channel_class=channel_class,
        accept_cut_off=accept_cut_off,
    )
    reduction = reduce_file(recording, options)
    chosen = pick_strike(reduction, strike)
    image_options = ImageOptions(
        reference=reference,
        bar=bar,
        paper=paper,
        points=PointsTyped(points=tuple(point or ()), within=picked_within, placed_within=placed_within),
        lens=lens,
        by_hand=by_hand_of(leave_out, take_in, lasso, outline_at, apart),
    )
    measured = measure_image(image, image_options)
    flags = [*reduction.flags, *chosen.flags, *measured.footprint.flags]
    area = pick_print(measured.footprint, which, image.name)
    joined = join(chosen.peak_force, area, flags=flags, strike=chosen.index)
    curve = reduction.curves[reduction.strikes.index(chosen)]
    detail = detail_of(
        joined,
        pulse=pulse_of(curve, chosen, noise=reduction.noise, key=f"{reduction.origin.sha256}:{chosen.index}"),
        patches=patches_of(measured.footprint, which),
        alike=alike,
    )
    if as_json:
        print_json({**pressure_as_dict(joined), **detail_as_dict(detail)})
    else:
        show_pressure(joined, f"strike {chosen.index} of {recording.name} on {image.name}", system)
        show_detail(detail, system)


def area_against_force(folder: Path, system: System, *, as_json: bool) -> None:
    """Show what the prints of a study say of contact area, and how it grows with force.

    Raises
    ------
    WrongUseError
        ``no-image`` where this is no folder: a recording goes with a picture.
    """
    from tameshi.cli.contact import CONTACT_SCHEMA, contacts_as_list, show_contacts
    from tameshi.cli.pressures import pressures_as_list, show_pressures
    from tameshi.cli.study_work import look_at

    if not folder.is_dir():
        raise WrongUseError(
            "no-image",
            f"{folder.name} stands alone: a pressure takes a recording and the picture of a print.",
            hint="Give both, or the folder of a study.",
        )
    seen = look_at(folder)
    if as_json:
        contacts = contacts_as_list(seen.contacts)
        pressures = pressures_as_list(seen)
        found = {"study": seen.name, "contacts": contacts, "pressures": pressures}
        print_json({"schema": CONTACT_SCHEMA, **found})
    elif seen.contacts:
        show_contacts(seen.contacts, system)
        show_pressures(seen, system)
    else:
        say(f"{seen.name} holds no measured print of a named technique.")


def pick_strike(reduction: Reduction, index: int | None) -> Strike:
    """Return the strike that was meant.

    Raises
    ------
    UnmeasurableError
        ``no-strike`` where the recording holds none.
    WrongUseError
        ``strike-unclear`` or ``unknown-strike``; the hint lists what there is.
    """
    found = reduction.strikes
    if not found:
        raise UnmeasurableError(
            "no-strike",
            f"{reduction.origin.file} holds no strike.",
            hint="Check the recording with `tameshi strikes`.",
        )
    listed = ", ".join(f"{strike.index} at {strike.onset:.3f} s" for strike in found)
    if index is None:
        if len(found) > 1:
            raise WrongUseError(
                "strike-unclear",
                f"{reduction.origin.file} holds {len(found)} strikes, and the print belongs to one.",
                hint=f"Give it with --strike. Strikes: {listed}.",
            )
        return found[0]
    for strike in found:
        if strike.index == index:
            return strike
    raise WrongUseError("unknown-strike", f"There is no strike {index}.", hint=f"Strikes: {listed}.")


def patches_of(footprint: Footprint, which: str | None) -> list[Quantity]:
    """Return the contact areas of the patches of the print that was meant, after :func:`pick_print`."""
    from tameshi.study import ALL_PRINTS

    areas = [patch.contact_area for patch in footprint.patches]
    if which is None or which == ALL_PRINTS:
        return areas
    return [areas[number - 1] for number in footprint.prints[int(which) - 1].patches]


def pick_print(footprint: Footprint, which: str | None, name: str) -> Quantity:
    """Return the contact area of the print that was meant.

    Raises
    ------
    WrongUseError
        ``print-unclear`` or ``unknown-print``; the hint lists what there is.
    """
    from tameshi.study import ALL_PRINTS, refuse_no_print

    refuse_no_print(which)
    prints = footprint.prints
    if which == ALL_PRINTS or (which is None and len(prints) == 1):
        return footprint.contact_area
    listed = "; ".join(
        f"{one.index} at x = {1e3 * one.centroid[0]:.0f} mm, y = {1e3 * one.centroid[1]:.0f} mm with "
        f"{1e4 * one.contact_area.value:.2f} cm²"
        for one in prints
    )
    if which is None:
        raise WrongUseError(
            "print-unclear",
            f"{name} holds {len(prints)} prints, and one strike leaves one, or all of them.",
            hint=f"Say which with --print, or --print {ALL_PRINTS}. Prints: {listed}. "
            'If they are one, say how far apart prints lie: --apart "80 mm".',
        )
    if int(which) > len(prints):
        raise WrongUseError("unknown-print", f"{name} holds no print {which}.", hint=f"Prints: {listed}.")
    return prints[int(which) - 1].contact_area


def show_pressure(joined: Pressure, title: str, system: System) -> None:
    """Print a pressure for a person, with what it cannot tell."""
    from tameshi.quantity import Quantity, show

    rows = [
        ("peak force", *both_units(joined.force, system)),
        ("contact area", *both_units(joined.area, system)),
        ("mean pressure at the peak", *both_units(joined.mean_pressure, system)),
    ]
    print_table(title, ("figure", "value (95 % interval)", "also"), rows)
    plate, tissue = (
        " to ".join(str(show(Quantity(end, "Pa"), system)) for end in (band.low, band.high))
        for band in (joined.band, joined.on_tissue)
    )
    say(
        f"  Local pressure on the plate could reach {plate}, by contact model: {joined.band.model}.",
        f"  Beside published local pressure it counts as {tissue}, as that was measured on people:",
        f"  {joined.on_tissue.model}. Edges, and bone under thin tissue, press harder than",
        "  a rounded body on a flat plate.",
        "  A print is the union of contact over time, so the mean at the peak is a lower bound. Nothing here",
        "  says whether a strike may be used on a person: that is for local rules and qualified people.",
    )
    print_flags(joined.flags)
