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
    from tameshi.quantity import Quantity
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
    from tameshi.cli.tolerance_shown import show_cases, show_values, tolerance_as_dict
    from tameshi.tolerance import published_values, select

    system = system_of(units)
    form = _form_of(picture)
    rows = select(published_values(), region=region, endpoint=endpoint, kind=quantity)
    if study is not None and (force or area or duration):
        raise WrongUseError(
            "two-strikes", "Both a study and a typed strike were given.", hint="Give one or the other."
        )
    name: str | None = None
    cases: tuple[Case, ...] = ()
    if study is not None:
        name, cases = cases_of_study(study)
    elif force or area or duration:
        cases = (typed_case(force, force_u, area, area_u, duration, technique=technique, pad=pad),)
    if picture is not None:
        _draw(cases, rows, picture, form)
    if as_json:
        print_json(tolerance_as_dict(name, cases, rows))
    elif study is None and not cases:
        show_values(rows, system, narrowed=bool(region or endpoint or quantity))
    else:
        show_cases(cases, rows, system, one_by_one=bool(region or endpoint or quantity))


def typed_case(
    force: str | None,
    force_u: str | None,
    area: str | None,
    area_u: str | None,
    duration: str | None,
    *,
    technique: str | None,
    pad: str | None,
) -> Case:
    """Return the strike that was typed.

    Raises
    ------
    WrongUseError
        ``no-force``, ``not-positive``, and those of units.
    """
    from tameshi.tolerance import Case, surfaces_of

    if force is None:
        raise WrongUseError(
            "no-force", "A strike without its peak force cannot be set beside anything.", hint="Give --force."
        )
    return Case(
        label=technique or "the strike",
        force=_typed(force, force_u, "force", "force"),
        area=None if area is None else _typed(area, area_u, "area", "area"),
        duration=None if duration is None else _typed(duration, None, "time", "duration"),
        pad=pad,
        surfaces=surfaces_of(technique),
    )


def cases_of_study(folder: Path) -> tuple[str, tuple[Case, ...]]:
    """Return a study's name and what is typical and greatest of each technique."""
    from tameshi.cli.study_work import look_at
    from tameshi.report.techniques import groups_of
    from tameshi.report.tolerance_cases import cases_of

    seen = look_at(folder)
    found = cases_of(groups_of(seen.strikes, seen.areas, seen.joined))
    return seen.name, tuple(case for technique in found for case in technique.cases)


def _typed(text: str, uncertainty: str | None, kind: str, what: str) -> Quantity:
    from tameshi.quantity import Quantity, Source, parse_quantity, parse_unit, split_quantity, unit_of_kind

    value = parse_quantity(text, kind)
    if value <= 0.0:
        raise WrongUseError(
            "not-positive", f"A {what} of {text.strip()} cannot be.", hint="Give what was read."
        )
    unit = unit_of_kind(kind).symbol
    if uncertainty is None:
        return Quantity(value, unit)
    _, expression = split_quantity(uncertainty, kind)
    relative = bool(expression) and parse_unit(expression).dimension == parse_unit("%").dimension
    u = value * parse_quantity(uncertainty, "ratio") if relative else parse_quantity(uncertainty, kind)
    if u < 0.0:
        raise WrongUseError("not-positive", f"An uncertainty of {uncertainty.strip()} cannot be.", hint="")
    return Quantity(value, unit, {Source(f"typed:{what}", "stated uncertainty"): u})


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
