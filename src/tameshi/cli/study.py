"""tameshi study: everything that belongs together, kept in one folder."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from tameshi.cli import options as given
from tameshi.cli.outcome import CANNOT_BE_MEASURED, print_json
from tameshi.cli.shown import note, print_table, say, system_of

if TYPE_CHECKING:
    from tameshi.study import Added, CheckReport

app = typer.Typer(
    help="Keep recordings, prints, rigs and results together.", no_args_is_help=True, rich_markup_mode=None
)

Folder = Annotated[Path, typer.Argument(help="Folder of the study.")]


@app.command()
def new(
    folder: Folder,
    name: Annotated[str, typer.Option("--name", help="What people call the study.")] = "",
    units: given.Units = "si",
    as_json: given.Json = False,
) -> None:
    """Make a new study in an empty folder."""
    from tameshi.study import new_study

    with new_study(folder, name=name or folder.resolve().name, units=system_of(units)) as study:
        if as_json:
            print_json({"schema": "tameshi.study-new/1", "folder": str(folder), "name": study.name})
        else:
            say(
                f"{study.name}: {folder}",
                "Next: tameshi study add FOLDER rig.toml RECORDINGS PRINTS --technique ...",
            )


@app.command()
def add(
    folder: Folder,
    files: Annotated[
        list[Path], typer.Argument(help="Recordings, photos or scans of prints, rig and lens files.")
    ],
    technique: Annotated[
        str | None, typer.Option("--technique", help='"palm heel", "front kick", ...')
    ] = None,
    athlete: Annotated[
        str | None, typer.Option("--athlete", help="A code such as A07, never a name.")
    ] = None,
    session: Annotated[str | None, typer.Option("--session", help="A date or a number.")] = None,
    side: Annotated[str | None, typer.Option("--side", help="left, right or both.")] = None,
    remark: Annotated[str | None, typer.Option("--note", help="Anything worth keeping.")] = None,
    kind: Annotated[
        str | None,
        typer.Option("--kind", help="recording, print, rig, lens, target or other; found out if left out."),
    ] = None,
    rig: given.Rig = None,
    channel: given.Channel = None,
    force_scale: given.ForceScale = None,
    rate: given.Rate = None,
    channel_class: given.ChannelClass = None,
    speed: Annotated[
        str | None,
        typer.Option("--speed", help='Speed of what strikes, at contact, "7 m/s": from film, say.'),
    ] = None,
    reference: Annotated[
        str | None,
        typer.Option("--reference", help="auto, target, scan:600, sheet, grid:5 mm, ruler."),
    ] = None,
    bar: given.BarLength = None,
    paper: given.Paper = None,
    point: given.Points = None,
    picked_within: given.PickedWithin = 2.0,
    placed_within: given.PlacedWithin = None,
    leave_out: given.LeaveOut = None,
    take_in: given.TakeIn = None,
    lasso: given.Lasso = None,
    outline_at: given.OutlineAt = None,
    apart: given.Apart = None,
    which: given.WhichPrint = None,
    lens: given.Lens = None,
    as_found: Annotated[
        bool, typer.Option("--as-found", help="Take back what was corrected by hand in this print before.")
    ] = False,
    strike: Annotated[
        str | None, typer.Option("--strike", help='The strike a print belongs to, "recording.csv:2".')
    ] = None,
    as_json: given.Json = False,
) -> None:
    """Add files, and say what they are; the same file twice changes nothing."""
    from tameshi.cli.by_hand import PointsTyped, by_hand_of
    from tameshi.cli.study_add import Said, add_files

    said = Said(
        technique=technique,
        athlete=athlete,
        session=session,
        side=side,
        note=remark,
        kind=kind,
        rig=rig,
        channel=channel,
        force_scale=force_scale,
        rate=rate,
        channel_class=channel_class,
        speed=speed,
        reference=reference,
        bar=bar,
        paper=paper,
        strike=strike,
        points=PointsTyped(points=tuple(point or ()), within=picked_within, placed_within=placed_within),
        by_hand=by_hand_of(leave_out, take_in, lasso, outline_at, apart),
        as_found=as_found,
        which=which,
        lens=lens,
    )
    added = add_files(folder, files, said)
    if as_json:
        print_json({"schema": "tameshi.study-add/1", "added": [_added(one) for one in added]})
        return
    for one in added:
        changed = f" ({', '.join(one.changed)})" if one.changed else ""
        say(f"{one.original.kind:9} {one.original.name}: {one.outcome}{changed}")


@app.command()
def show(folder: Folder, units: given.Units = "", as_json: given.Json = False) -> None:
    """Measure what is there and show it: strikes, prints, pressures, and what is missing."""
    from tameshi.cli.study_show import show_study, study_as_dict
    from tameshi.cli.study_work import look_at

    seen = look_at(folder)
    if as_json:
        print_json(study_as_dict(seen))
    else:
        show_study(seen, system_of(units or seen.units))


@app.command()
def check(folder: Folder, as_json: given.Json = False) -> None:
    """Hash every original again and see that all is as it was."""
    from tameshi.study import check as check_study
    from tameshi.study import open_study

    with open_study(folder, read_only=True) as study:
        report = check_study(study)
    if as_json:
        print_json(_checked(report))
    else:
        say(
            f"{report.original_count} originals, {report.result_count} results: "
            f"{'all as they were' if report.is_sound else 'not sound'}"
        )
        rows = [(found.code, found.subject, found.message, found.hint) for found in report.findings]
        if rows:
            print_table("findings", ("what", "where", "finding", "what to do"), rows)
    if not report.is_sound:
        raise typer.Exit(CANNOT_BE_MEASURED)


@app.command()
def export(
    folder: Folder,
    output: Annotated[
        Path | None, typer.Option("-o", "--output", help="Where to write the zip archive.")
    ] = None,
    as_json: given.Json = False,
) -> None:
    """Write everything into one archive that another person can check."""
    from tameshi.cli.study_work import export_study

    exported = export_study(folder, output or Path(f"{folder.resolve().name}.zip"))
    if as_json:
        manifest = dict(exported.manifest)
        print_json({"schema": "tameshi.study-export/1", "file": str(exported.path), "manifest": manifest})
    else:
        say(f"{exported.path}: {len(exported.manifest)} files")
        note("manifest.sha256 in the archive lists them with their hashes.")


def _added(one: Added) -> dict[str, Any]:
    original = one.original
    return {
        "file": original.name,
        "sha256": original.sha256,
        "kind": original.kind,
        "outcome": one.outcome,
        "changed": list(one.changed),
    }


def _checked(report: CheckReport) -> dict[str, Any]:
    return {
        "schema": "tameshi.study-check/1",
        "sound": report.is_sound,
        "originals": report.original_count,
        "results": report.result_count,
        "findings": [
            {"code": found.code, "subject": found.subject, "message": found.message, "hint": found.hint}
            for found in report.findings
        ],
    }
