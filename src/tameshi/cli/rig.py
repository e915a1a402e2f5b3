"""tameshi rig: plan a chain, calibrate it, tap it, drop something on it."""

from __future__ import annotations

import typer

from tameshi.cli.rig_calibrate import calibrate
from tameshi.cli.rig_check import check
from tameshi.cli.rig_drop import drop
from tameshi.cli.rig_tap import tap

app = typer.Typer(help="Plan and prove the measuring chain.", no_args_is_help=True, rich_markup_mode=None)
app.command()(check)
app.command()(calibrate)
app.command()(tap)
app.command()(drop)
