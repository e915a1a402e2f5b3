"""tameshi compare: techniques, athletes, sessions, hands and pads against each other."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from tameshi.cli import options as given
from tameshi.cli.outcome import print_json
from tameshi.cli.shown import note, system_of
from tameshi.errors import WrongUseError

_PERCENT = 100.0


def compare(
    folder: Annotated[Path, typer.Argument(help="Folder of the study.")],
    figure: Annotated[
        str, typer.Option("--figure", help="What is compared: peak_force, impulse, mean_pressure, ...")
    ] = "peak_force",
    by: Annotated[
        str, typer.Option("--by", help="Put strikes together by technique, athlete, session, side or pad.")
    ] = "technique",
    see: Annotated[
        float | None,
        typer.Option(
            "--see", help="A difference to be seen, in percent: how many strikes and athletes does it take?"
        ),
    ] = None,
    power: Annotated[
        float, typer.Option("--power", help="Share of such comparisons that are to find it: 0.5 to 0.99.")
    ] = 0.8,
    mixed: Annotated[
        bool, typer.Option("--mixed/--no-mixed", help="Fit what strikes differ by with a mixed model.")
    ] = True,
    figures: Annotated[
        Path | None,
        typer.Option(
            "--figures", help="Draw distributions, force against area and timelines into this folder."
        ),
    ] = None,
    transparent: Annotated[
        bool, typer.Option("--transparent", help="Figures without a ground and with white edges, for film.")
    ] = False,
    units: given.Units = "si",
    as_json: given.Json = False,
) -> None:
    """Compare the strikes of a study: which differences are real, and which are scatter."""
    from tameshi.cli.compare_figures import write_figures
    from tameshi.cli.compare_shown import show_comparison
    from tameshi.cli.study_work import look_at
    from tameshi.comparison import SCHEMA, Asked, Wanted, comparison_as_dict
    from tameshi.comparison import compare as compare_groups
    from tameshi.study import trials_of

    system = system_of(units)
    _check(see, power)
    if transparent and figures is None:
        raise WrongUseError("no-figures", "Nothing is drawn without a folder.", hint="Give --figures FOLDER.")
    seen = look_at(folder)
    trials = trials_of(seen.strikes, seen.joined, figure=figure, by=by)
    comparison = compare_groups(
        trials.groups,
        Asked(
            figure=figure.replace("_", " "),
            by=by,
            families=trials.families,
            apart=trials.apart,
            fixed=trials.techniques if by in ("athlete", "session") else None,
            wanted=None if see is None else Wanted(share=see / _PERCENT, power=power),
            with_components=mixed,
        ),
    )
    drawn = None
    if figures is not None:
        drawn = write_figures(comparison, trials, seen, figures, system=system, over_film=transparent)
        for path in drawn:
            note(f"figure: {path}")
    if as_json:
        head = {"schema": SCHEMA, "study": seen.name, "figure": figure, "by": by}
        tail = {"without": list(trials.without), "notes": list(trials.notes)}
        pictures = {} if drawn is None else {"figures": [str(path) for path in drawn]}
        print_json({**head, **comparison_as_dict(comparison), **tail, **pictures})
    else:
        show_comparison(comparison, trials, system)


def _check(see: float | None, power: float) -> None:
    if see is not None and not 0.0 < see < 1000.0:  # noqa: PLR2004
        raise WrongUseError("out-of-range", f"{see:g} % is no difference to look for.", hint="Try 10.")
    if not 0.5 <= power <= 0.99:  # noqa: PLR2004
        raise WrongUseError("bad-power", f"{power:g} is no useful power.", hint="Take 0.8 or 0.9.")
