"""tameshi demo: the whole job on an invented study whose truth is known."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tameshi.cli import options as given
from tameshi.cli.outcome import print_json
from tameshi.cli.shown import note, print_table, say

if TYPE_CHECKING:
    from tameshi.demo.compare import Compared

SCHEMA = "tameshi.demo/1"


def demo(
    folder: Annotated[Path, typer.Argument(help="New folder to build the demo study in.")] = Path(
        "demo-study"
    ),
    as_json: given.Json = False,
) -> None:
    """Build the demo study, run the whole job on it and compare with the truth."""
    from tameshi.cli.study_report import write_report
    from tameshi.demo.build import build_demo
    from tameshi.demo.compare import compare_demo

    note("Building the invented study: recordings from a simulated rig, rendered photos of prints.")
    built = build_demo(folder, at=datetime.now(UTC), tell=note)
    note("Measuring, and writing the report.")
    path = write_report(built.study, folder / "report")
    compared = compare_demo(built, at=datetime.now(UTC))
    if as_json:
        print_json(
            {
                "schema": SCHEMA,
                "study": str(built.study),
                "report": str(path),
                "truth": str(built.truth),
                "compared": [row.as_dict() for row in compared],
            }
        )
        return
    _show(compared)
    say(f"study:  {built.study}", f"truth:  {built.truth}", f"report: {path}")


def _show(compared: tuple[Compared, ...]) -> None:
    from tameshi.demo.compare import summarise

    rows = [
        (
            f"{line.of}: {line.figure}",
            str(line.count),
            f"{line.median_error:.2%}",
            f"{line.largest_error:.2%}",
            f"±{line.median_half_width:.2%}",
            f"{line.held} of {line.count}",
        )
        for line in summarise(compared)
    ]
    headings = ("figure", "n", "median error", "largest", "95 % interval", "hold the truth")
    print_table("measured against true (all data invented)", headings, rows)
    held = sum(row.holds for row in compared)
    say(f"{held} of {len(compared)} intervals hold the truth; about {0.95 * len(compared):.0f} should.")
