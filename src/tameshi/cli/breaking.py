"""tameshi breaking: what a target needs to break, and the chance that a strike breaks it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tameshi.cli import options as given
from tameshi.cli.outcome import print_json
from tameshi.cli.shown import both_units, note, print_flags, print_table, say, system_of

if TYPE_CHECKING:
    from tameshi.cli.breaking_strike import StrikeSaid
    from tameshi.quantity import System
    from tameshi.target.breaking import Outcome, Prediction


def breaking(
    target: Annotated[
        Path,
        typer.Argument(help="Target file (TOML), see docs/target-file.md; or a study, for all it holds."),
    ],
    strike: Annotated[
        str | None, typer.Option("--strike", help='Peak force of the strike on a rigid plate, "3 kN".')
    ] = None,
    duration: Annotated[
        str | None, typer.Option("--duration", help='Its contact duration there, "5 ms".')
    ] = None,
    rise: Annotated[
        str | None, typer.Option("--rise", help="Its 10-90 % rise time; that of a half-sine if left out.")
    ] = None,
    scatter: Annotated[
        str | None, typer.Option("--scatter", help='How its peak varies from strike to strike, "15 %".')
    ] = None,
    recording: Annotated[
        Path | None, typer.Option("--recording", help="Recording of such strikes, instead of --strike.")
    ] = None,
    number: Annotated[
        int | None, typer.Option("--number", help="Which strike of the recording; all of them if left out.")
    ] = None,
    rig: given.Rig = None,
    channel: given.Channel = None,
    force_scale: given.ForceScale = None,
    rate: given.Rate = None,
    study: Annotated[
        Path | None, typer.Option("--study", help="Study that holds such strikes, instead of --strike.")
    ] = None,
    technique: Annotated[
        str | None, typer.Option("--technique", help="Technique whose strikes are taken from the study.")
    ] = None,
    mass: Annotated[
        str | None, typer.Option("--mass", help='Effective mass behind the strike, "2.5 kg".')
    ] = None,
    speed: Annotated[
        str | None, typer.Option("--speed", help='Or its speed at contact, "7 m/s": one says the other.')
    ] = None,
    picture: Annotated[
        Path | None, typer.Option("--picture", help="Draw the force needed beside the strike's here (.svg).")
    ] = None,
    units: given.Units = "si",
    as_json: given.Json = False,
) -> None:
    """Say what a board, tile, slab or plate needs to break, and the chance that a strike breaks it."""
    from tameshi.cli.breaking_strike import StrikeSaid, prediction_said
    from tameshi.cli.measuring import RecordingOptions
    from tameshi.target.breaking import prediction_as_dict

    system = system_of(units)
    said = StrikeSaid(
        peak=strike,
        duration=duration,
        rise=rise,
        scatter=scatter,
        recording=recording,
        number=number,
        options=RecordingOptions(rig=rig, channel=channel, force_scale=force_scale, rate=rate),
        study=study,
        technique=technique,
        mass=mass,
        speed=speed,
    )
    if target.is_dir():
        _of_study(target, said, system, picture, as_json=as_json)
        return
    prediction = prediction_said(target, said)
    if picture is not None:
        draw(prediction, picture, system)
    if as_json:
        print_json(prediction_as_dict(prediction))
    else:
        show_prediction(prediction, system)


def _of_study(folder: Path, said: StrikeSaid, system: System, picture: Path | None, *, as_json: bool) -> None:
    """Show what the techniques of a study do to the targets it holds."""
    from tameshi.cli.breaking_strike import of_study
    from tameshi.cli.breaking_study import SCHEMA, broken_as_list, show_broken
    from tameshi.errors import WrongUseError

    if picture is not None:
        raise WrongUseError(
            "picture-unclear",
            "A study holds several targets and techniques, and a picture shows one.",
            hint="Name a target file with --study and --technique; the report draws all of them.",
        )
    name, broken = of_study(folder, said)
    if as_json:
        print_json({"schema": SCHEMA, "study": name, "targets": broken_as_list(broken)})
        return
    show_broken(broken, system)
    _say_cautions()


def draw(prediction: Prediction, picture: Path, system: System) -> None:
    """Write the picture of a prediction."""
    from tameshi.files import write_atomic
    from tameshi.report.breaking import breaking_drawing
    from tameshi.report.figures import to_svg
    from tameshi.report.notation import notation_for

    outcome = prediction.outcome
    written = None if outcome is None else notation_for(system, (outcome.needed, outcome.peak))
    write_atomic(picture, to_svg(breaking_drawing(prediction, written)).encode())
    note(f"picture: {picture}")


def show_prediction(prediction: Prediction, system: System) -> None:
    """Print a prediction for a person, with what it cannot tell."""
    from tameshi.report.provenance import told

    needs = prediction.needs
    rows = [(words, *both_units(getattr(needs, name), system)) for words, name in _NEEDS]
    title = f"{prediction.target.name}: what it needs to break"
    print_table(title, ("figure", "value (95 % interval)", "also"), rows)
    if prediction.outcome is not None:
        _show_outcome(prediction.outcome, system)
    print_flags(prediction.flags)
    rests = dict.fromkeys(told(key) for key in prediction.sources)
    say(f"  Rests on: {'; '.join(rests)}.")
    _say_cautions()


def _say_cautions() -> None:
    from tameshi.reference import table

    say(*(f"  {row['lead']} {row['text']}" for row in table("breaking_cautions").rows.values()))


def _show_outcome(outcome: Outcome, system: System) -> None:
    from tameshi.target.breaking import chance_in_words

    rows = [(words, *both_units(getattr(outcome, name), system)) for words, name in _OUTCOME]
    print_table("the strike", ("figure", "value (95 % interval)", "also"), rows)
    say(f"  Chance that it breaks: {chance_in_words(outcome.chance)}.")
    if outcome.by_count:
        counted = (
            f"{count}: {chance_in_words(chance)}" for count, chance in enumerate(outcome.by_count, start=1)
        )
        say(f"  At least so many of the stack: {', '.join(counted)}.")
    shares = [f"{name} {share:.0%}" for name, share in outcome.shares.items() if share >= _TOLD]
    say(f"  The doubt comes from: {', '.join(shares)}.")
    course = "" if outcome.course_factor is None else f", {outcome.course_factor:.3g} with its own course"
    say(
        f"  The strike lasts {outcome.pulse_ratio:.2g} natural periods of the target; a force that stayed "
        "as on "
        f"the plate would act {outcome.dynamic_factor:.3g} times as at rest (half-sine{course})."
    )


_TOLD = 0.02
_NEEDS = (
    ("force, slowly", "static_force"),
    ("force, in a strike", "force"),
    ("deflection at the break", "deflection"),
    ("energy to break", "energy"),
    ("mass between the supports", "mass"),
    ("natural period", "period"),
)
_OUTCOME = (
    ("peak on a rigid plate", "peak"),
    ("peak there that just breaks it", "needed"),
    ("force it builds up in the target", "reached"),
    ("speed at contact", "speed"),
    ("energy of the striker", "energy"),
)
