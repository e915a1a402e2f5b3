"""tameshi report: the publishable report of a study."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from tameshi.cli import options as given
from tameshi.cli.outcome import print_json
from tameshi.cli.shown import say


def report(
    study: Annotated[Path, typer.Argument(help="Folder of the study.")],
    html: Annotated[bool, typer.Option("--html", help="Write HTML (the form there is so far).")] = True,
    output: Annotated[
        Path | None,
        typer.Option("-o", "--output", help="Folder to write to; report/ in the study if left out."),
    ] = None,
    as_json: given.Json = False,
) -> None:
    """Write the report of a study."""
    from tameshi.cli.study_report import write_report

    del html  # the only form there is; the option says so and keeps its meaning when others come
    path = write_report(study, output or study / "report")
    if as_json:
        print_json({"schema": "tameshi.report/1", "html": str(path)})
    else:
        say(f"{path}")
