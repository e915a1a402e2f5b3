"""tameshi tolerance: set strikes beside published human tolerance, like with like."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tameshi.cli import options as given
from tameshi.cli.outcome import print_json
from tameshi.cli.shown import note, system_of
from tameshi.errors import WrongUseError

if TYPE_CHECKING:
    from tameshi.tolerance import Case, Published

PICTURES = ("png", "svg")


def tolerance(
    study: Annotated[Path | None, typer.Argument(help="Folder of a study; or give --force.")] = None,
    force: Annotated[str | None, typer.Option("--force", help='Peak force, "3 kN" or "700 lbf".')] = None,
    force_u: Annotated[
        str | None, typer.Option("--force-u", help='Its standard uncertainty, "2 %" or "50 N".')
    ] = None,
    area: Annotated[str | None, typer.Option("--area", help='Contact area of its print, "12 cm2".')] = None,
    area_u: Annotated[
        str | None, typer.Option("--area-u", help='Its standard uncertainty, "3 %" or "0.5 cm2".')
    ] = None,
    duration: Annotated[str | None, typer.Option("--duration", help='Contact duration, "11 ms".')] = None,
    technique: Annotated[
        str | None, typer.Option("--technique", help="Its name, which tells the striking surface.")
    ] = None,
    pad: Annotated[
        str | None, typer.Option("--pad", help='Pad on the plate: "none" for a bare one, else what it was.')
    ] = None,
    impulse: Annotated[
        str | None, typer.Option("--impulse", help='Its impulse, "25 N s": for --onto, with --duration.')
    ] = None,
    onto: Annotated[
        str | None,
        typer.Option("--onto", help="Part of the body to carry it over to, for values that need a model."),
    ] = None,
    striker_mass: given.StrikerMass = None,
    speed: given.StrikerSpeed = None,
    like: given.StrikerLike = None,
    region: Annotated[
        str | None, typer.Option("--region", help="Only this part of the body: face, chest, hand, head, ...")
    ] = None,
    endpoint: Annotated[
        str | None, typer.Option("--endpoint", help="Only this outcome: pain, slight injury, fracture, ...")
    ] = None,
    quantity: Annotated[
        str | None, typer.Option("--quantity", help='Only this kind of quantity: "contact force", ...')
    ] = None,
    picture: Annotated[
        Path | None, typer.Option("--picture", help="Draw strikes and ranges here (.png or .svg).")
    ] = None,
    units: given.Units = "si",
    as_json: given.Json = False,
) -> None:
    """Set strikes beside published human tolerance, like with like; or list what is published."""
    from tameshi.cli.tolerance_cases import TypedStrike, carried_over, cases_of_study, typed_case
    from tameshi.cli.tolerance_shown import show_cases, show_values, tolerance_as_dict
    from tameshi.tolerance import published_values, select

    system = system_of(units)
    form = _form_of(picture)
    rows = select(published_values(), region=region, endpoint=endpoint, kind=quantity)
    if study is not None and (force or area or duration):
        raise WrongUseError(
            "two-strikes", "Both a study and a typed strike were given.", hint="Give one or the other."
        )
    asked = carried_over(onto, mass=striker_mass, speed=speed, like=like, technique=technique, pad=pad)
    name: str | None = None
    cases: tuple[Case, ...] = ()
    if study is not None:
        name, cases = cases_of_study(study, asked)
    elif force or area or duration:
        figures = TypedStrike(
            force=force, force_u=force_u, area=area, area_u=area_u, duration=duration, impulse=impulse
        )
        cases = (typed_case(figures, asked, technique=technique, pad=pad),)
    elif asked is not None:
        raise WrongUseError(
            "no-strike", "There is no strike to carry over.", hint="Give a study, or --force."
        )
    if picture is not None:
        _draw(cases, rows, picture, form)
    if as_json:
        print_json(tolerance_as_dict(name, cases, rows))
    elif study is None and not cases:
        show_values(rows, system, narrowed=bool(region or endpoint or quantity))
    else:
        show_cases(cases, rows, system, one_by_one=bool(region or endpoint or quantity))


def _form_of(picture: Path | None) -> str:
    form = PICTURES[0] if picture is None else picture.suffix.lower().lstrip(".")
    if form not in PICTURES:
        raise WrongUseError(
            "wrong-picture",
            f"A picture cannot be written as {form or 'a file without ending'!r}.",
            hint="Name it .png or .svg.",
        )
    return form


def _draw(cases: tuple[Case, ...], rows: tuple[Published, ...], picture: Path, form: str) -> None:
    from tameshi.files import write_atomic
    from tameshi.report.figures.beside_published import tolerance_picture
    from tameshi.report.tolerance_drawing import drawing_of_rows

    drawing = drawing_of_rows(cases, rows)
    if drawing is None:
        raise WrongUseError(
            "nothing-to-draw",
            "None of these values is one that a strike on a plate may be set beside.",
            hint="Leave --quantity out, or take another region.",
        )
    write_atomic(picture, tolerance_picture(drawing, form))
    note(f"picture: {picture}")
