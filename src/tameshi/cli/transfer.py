"""tameshi transfer: what of a strike on a plate would arrive at a free part of the body."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tameshi.cli import options as given
from tameshi.cli.outcome import print_json
from tameshi.cli.shown import system_of

if TYPE_CHECKING:
    from tameshi.target.transfer import Known


def transfer(
    source: Annotated[Path, typer.Argument(help="Recording with strikes, or the folder of a study.")],
    onto: Annotated[
        str, typer.Option("--onto", help="Part of the body: face, forehead, chest, thigh, ...; free to move.")
    ],
    striker_mass: Annotated[
        str | None,
        typer.Option("--striker-mass", help='Effective mass of what struck, "2.5 kg" or "2 kg to 3 kg".'),
    ] = None,
    speed: Annotated[
        str | None, typer.Option("--speed", help='Speed at contact, "8.5 m/s" or "8 m/s to 9 m/s".')
    ] = None,
    technique: Annotated[
        str | None,
        typer.Option(
            "--technique", help="Technique, for published strikes where neither is given: punch, palm."
        ),
    ] = None,
    pad: Annotated[
        str | None, typer.Option("--pad", help='What lay on the plate: "none" where it was bare.')
    ] = None,
    pad_stiffness: Annotated[
        str | None,
        typer.Option(
            "--pad-stiffness", help='Of the pad under the strike, "80 N/mm" or "60 N/mm to 100 N/mm".'
        ),
    ] = None,
    strike: Annotated[
        int | None, typer.Option("--strike", help="Only this strike of each recording, from 1.")
    ] = None,
    rig: given.Rig = None,
    channel: given.Channel = None,
    force_scale: given.ForceScale = None,
    rate: given.Rate = None,
    channel_class: given.ChannelClass = None,
    accept_cut_off: given.AcceptCutOff = False,
    units: given.Units = "si",
    as_json: given.Json = False,
) -> None:
    """Take strikes on a plate over to a free part of the body: bands by a model, not measured on a body."""
    from tameshi.cli.measuring import RecordingOptions
    from tameshi.cli.transfer_work import Asked, transfers_as_dict, transfers_of
    from tameshi.target.transfer import body_part

    system = system_of(units)
    asked = Asked(
        part=body_part(onto),
        mass=typed_range(striker_mass, "mass"),
        speed=typed_range(speed, "speed"),
        technique=technique,
        pad=pad,
        pad_stiffness=typed_range(pad_stiffness, "stiffness"),
        strike=strike,
    )
    options = RecordingOptions(
        rig=rig,
        channel=channel,
        force_scale=force_scale,
        rate=rate,
        channel_class=channel_class,
        accept_cut_off=accept_cut_off,
    )
    found = transfers_of(source, asked, options)
    if as_json:
        print_json(transfers_as_dict(found))
    else:
        from tameshi.cli.transfer_shown import show_transfers

        show_transfers(found, system)


def typed_range(text: str | None, kind: str) -> Known | None:
    """Return what was typed about a quantity: one value, or two with "to" between them.

    Raises
    ------
    UnitError
        As :func:`tameshi.quantity.parse_quantity`.
    WrongUseError
        ``wrong-range``.
    """
    from tameshi.quantity import parse_quantity
    from tameshi.target.transfer import Range

    if text is None:
        return None
    low, _, high = text.partition(" to ")
    ends = [parse_quantity(one, kind) for one in ((low, high) if high else (low, low))]
    return Range(ends[0], ends[1])
