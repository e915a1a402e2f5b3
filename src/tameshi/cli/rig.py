"""tameshi rig: can this rig measure such a strike; known loads to a calibration; taps; drops."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from tameshi.cli import options as given
from tameshi.cli.outcome import print_json
from tameshi.cli.rig_calibrate import calibrate
from tameshi.cli.rig_drop import drop
from tameshi.cli.rig_tap import tap
from tameshi.cli.shown import print_table, say

if TYPE_CHECKING:
    from tameshi.rig import RigCheck

CHECK_SCHEMA = "tameshi.rig-check/1"

app = typer.Typer(help="Plan and prove the measuring chain.", no_args_is_help=True, rich_markup_mode=None)
app.command()(calibrate)
app.command()(tap)
app.command()(drop)


@app.command()
def check(
    rig: Annotated[Path, typer.Argument(help="Rig file (TOML).")],
    peak: Annotated[str, typer.Option("--peak", help='Peak force to expect, "3 kN" or "700 lbf".')],
    duration: Annotated[str, typer.Option("--duration", help='Contact duration to expect, "8 ms".')],
    rise: Annotated[
        str | None,
        typer.Option("--rise", help='Rise time to expect, "3 ms"; that of a half-sine if left out.'),
    ] = None,
    as_json: given.Json = False,
) -> None:
    """Say for each limit of a rig whether it can measure an expected strike."""
    from tameshi.cli.measuring import load_rig
    from tameshi.rig import check_rig, expected_strike

    expected = expected_strike(peak, duration, rise)
    checked = check_rig(load_rig(rig), expected)
    if as_json:
        print_json(check_as_dict(checked))
        return
    say(f"{checked.rig}, for {expected.peak:.0f} N over {1e3 * expected.duration:g} ms: {checked.verdict}")
    rows = [(limit.name, limit.verdict, limit.finding, limit.remedy) for limit in checked.limits]
    print_table("limits", ("limit", "verdict", "finding", "what would cure it"), rows)


def check_as_dict(checked: RigCheck) -> dict[str, Any]:
    """Return a rig check as the object that --json prints."""
    return {
        "schema": CHECK_SCHEMA,
        "rig": checked.rig,
        "strike": {
            "peak_force": checked.strike.peak,
            "contact_duration": checked.strike.duration,
            "rise_time": checked.strike.rise,
        },
        "verdict": checked.verdict,
        "limits": [
            {
                "name": limit.name,
                "verdict": limit.verdict,
                "finding": limit.finding,
                "peak_error": limit.peak_error,
                "remedy": limit.remedy,
            }
            for limit in checked.limits
        ],
    }
