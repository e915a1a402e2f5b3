"""tameshi strikes: find and measure every strike of a recording."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tameshi.cli import options as given
from tameshi.cli.several import measure_each
from tameshi.cli.shown import both_units, print_flags, print_table, say, system_of

if TYPE_CHECKING:
    from tameshi.force import Reduction
    from tameshi.quantity import System


def strikes(
    recordings: Annotated[list[Path], typer.Argument(help="Recordings: delimited text or WAV.")],
    rig: given.Rig = None,
    channel: given.Channel = None,
    force_scale: given.ForceScale = None,
    rate: given.Rate = None,
    channel_class: given.ChannelClass = None,
    accept_cut_off: given.AcceptCutOff = False,
    check_budgets: given.CheckBudgets = None,
    units: given.Units = "si",
    as_json: given.Json = False,
) -> None:
    """Find and measure every strike in recordings."""
    from tameshi.cli.measuring import RecordingOptions, load_rig, reduce_file
    from tameshi.force import strikes_as_dict

    system = system_of(units)
    options = RecordingOptions(
        rig=rig,
        channel=channel,
        force_scale=force_scale,
        rate=rate,
        channel_class=channel_class,
        accept_cut_off=accept_cut_off,
        check_budgets=check_budgets,
    )
    shared = load_rig(rig) if rig is not None else None
    measure_each(
        recordings,
        lambda path: reduce_file(path, options, shared),
        strikes_as_dict,
        lambda reduction: show_strikes(reduction, system),
        of="recordings",
        as_json=as_json,
    )


def show_strikes(reduction: Reduction, system: System) -> None:
    """Print the strikes of a recording for a person."""
    origin = reduction.origin
    count = len(reduction.strikes)
    say(
        f"{origin.file}, {origin.channel}: {count} strike{'' if count == 1 else 's'} in "
        f"{reduction.duration:.3g} s at {reduction.rate:.6g} samples a second; "
        f"force from {reduction.conversion}"
    )
    for strike in reduction.strikes:
        rows = [(name, *both_units(strike.figure(figure), system)) for name, figure in _SHOWN]
        title = f"strike {strike.index}, onset at {strike.onset:.4f} s"
        print_table(title, ("figure", "value (95 % interval)", "also"), rows)
        print_flags(strike.flags)
        _show_check(reduction, strike.index)
    print_flags(reduction.flags)


def _show_check(reduction: Reduction, index: int) -> None:
    """Print a strike's budgets beside what simulating it gave."""
    checked = {one.figure: one for one in reduction.rehearsed if one.strike == index}
    if not checked:
        return
    rows = [
        (
            name,
            f"{one.u / abs(one.value):.2%}",
            f"{one.scatter / abs(one.value):.2%}",
            f"{one.bias / abs(one.value):+.2%}",
            f"{one.held:.0%} of {one.draws}",
        )
        for name, figure in _SHOWN
        if (one := checked.get(figure)) is not None and one.value
    ]
    headings = ("figure", "u by its budget", "simulated scatter", "bias", "95 % intervals that hold")
    print_table(f"strike {index}, budgets checked by simulation", headings, rows)


_SHOWN = (
    ("peak force", "peak_force"),
    ("time to peak", "time_to_peak"),
    ("rise time 10-90 %", "rise_time"),
    ("contact duration", "contact_duration"),
    ("impulse", "impulse"),
    ("impulse to peak", "impulse_to_peak"),
    ("loading rate", "loading_rate"),
    ("mean force", "mean_force"),
)
