"""The command line: parse, call, show. No physics, no storage of its own."""

from __future__ import annotations

import os
import sys
from typing import Annotated

import typer

from tameshi import __version__
from tameshi.cli import rig, study
from tameshi.cli.breaking import breaking
from tameshi.cli.clip import clip
from tameshi.cli.compare import compare
from tameshi.cli.demo import demo
from tameshi.cli.footprint import footprint
from tameshi.cli.outcome import run as run_app
from tameshi.cli.pressure import pressure
from tameshi.cli.report import report
from tameshi.cli.sheet import target_sheet
from tameshi.cli.strikes import strikes
from tameshi.cli.tolerance import tolerance
from tameshi.cli.transfer import transfer

app = typer.Typer(
    help="A measuring bench for people who test martial-arts strikes.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,  # plain help: importing the pretty one costs as much as numpy
    pretty_exceptions_enable=False,
)


def print_version(wanted: bool) -> None:
    """Print the version and end, where it was asked for."""
    if wanted:
        sys.stdout.write(f"tameshi {__version__}\n")
        raise typer.Exit


@app.callback()
def main(
    version: Annotated[
        bool, typer.Option("--version", help="Print the version.", callback=print_version, is_eager=True)
    ] = False,
) -> None:
    """Take options that stand before any command."""
    del version  # its callback has done what was asked


app.command()(strikes)
app.command()(footprint)
app.command()(pressure)
app.command()(clip)
app.command()(tolerance)
app.command()(breaking)
app.command()(transfer)
app.command()(compare)
app.command()(report)
app.command("target-sheet")(target_sheet)
app.command()(demo)
app.add_typer(rig.app, name="rig")
app.add_typer(study.app, name="study")


def run(arguments: list[str] | None = None) -> None:
    """Run the command line and leave with its exit status."""
    # the matrices here are small: more threads wait for each other longer than they work
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    raise SystemExit(run_app(app, arguments))
