"""tameshi transfer: what of a strike on a plate would arrive at a free part of the body."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tameshi.cli import options as given
from tameshi.cli.outcome import print_json
from tameshi.cli.shown import note, system_of
from tameshi.errors import WrongUseError

if TYPE_CHECKING:
    from tameshi.target.transfer import Range


def transfer(
    source: Annotated[Path, typer.Argument(help="Recording with strikes, or the folder of a study.")],
    onto: Annotated[
        str, typer.Option("--onto", help="Part of the body: face, forehead, chest, thigh, ...; free to move.")
    ],
    striker_mass: given.StrikerMass = None,
    speed: given.StrikerSpeed = None,
    technique: Annotated[
        str | None,
        typer.Option(
            "--technique",
            help="Technique: of a study, only its strikes; of a recording, what it was struck with.",
        ),
    ] = None,
    like: given.StrikerLike = None,
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
    keep: Annotated[
        bool,
        typer.Option("--keep", help="Keep this with the study: its report answers it then."),
    ] = False,
    forget: Annotated[
        bool, typer.Option("--forget", help="Take back what the study keeps of this part and technique.")
    ] = False,
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
    from tameshi.cli.transfer_work import forget as forget_kept
    from tameshi.cli.transfer_work import keep as keep_with_study
    from tameshi.cli.transfer_work import transfers_as_dict, transfers_of
    from tameshi.study import TransferQuestion

    system = system_of(units)
    question = TransferQuestion(
        part=onto,
        technique=technique,
        mass=typed_range(striker_mass, "mass"),
        speed=typed_range(speed, "speed"),
        like=like,
        pad=pad,
        pad_stiffness=typed_range(pad_stiffness, "stiffness"),
    )
    _refuse_keeping(source, keep=keep, forget=forget, strike=strike)
    if forget:
        forget_kept(source, question)
        note(f"taken back: onto the {question.part}, {technique or 'every technique'}")
        if as_json:
            print_json({"schema": "tameshi.transfer-forget/1", "part": question.part, "technique": technique})
        return
    options = RecordingOptions(
        rig=rig,
        channel=channel,
        force_scale=force_scale,
        rate=rate,
        channel_class=channel_class,
        accept_cut_off=accept_cut_off,
    )
    found = transfers_of(source, question, options, strike=strike)
    if keep:
        note(
            f"{keep_with_study(source, question)}: onto the {question.part}, {technique or 'every technique'}"
        )
    if as_json:
        print_json(transfers_as_dict(found))
    else:
        from tameshi.cli.transfer_shown import show_transfers

        show_transfers(found, system)


def _refuse_keeping(source: Path, *, keep: bool, forget: bool, strike: int | None) -> None:
    if keep and forget:
        raise WrongUseError("keep-unclear", "It was to be kept and taken back at once.", hint="Give one.")
    if (keep or forget) and not source.is_dir():
        raise WrongUseError(
            "not-a-study", f"{str(source)!r} is no folder of a study.", hint="Only a study keeps questions."
        )
    if keep and strike is not None:
        raise WrongUseError(
            "keep-unclear", "A study keeps no question about a single strike.", hint="Leave --strike out."
        )


def typed_range(text: str | None, kind: str) -> Range | None:
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
