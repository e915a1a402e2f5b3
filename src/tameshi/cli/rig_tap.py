"""tameshi rig tap: natural frequency and damping of the mounted cell from taps on its plate."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from tameshi.cli import options as given
from tameshi.cli.outcome import print_json
from tameshi.cli.shown import print_flags, print_table, say

if TYPE_CHECKING:
    from tameshi.cli.rig_signal import Signal
    from tameshi.rig import Decay, Rig, TapTest

SCHEMA = "tameshi.tap/1"
_CAUTION = "Keep fingers from between plate and frame, and stand clear of the plate while it is tapped."


def tap(
    recording: Annotated[Path, typer.Argument(help="Recording of taps on the plate, in any unit.")],
    rig: given.Rig = None,
    channel: given.Channel = None,
    rate: given.Rate = None,
    as_json: given.Json = False,
) -> None:
    """Measure natural frequency and damping of the mounted cell from taps."""
    from tameshi.cli.measuring import load_rig
    from tameshi.cli.rig_signal import read_signal
    from tameshi.rig import measure_taps

    beside = load_rig(rig) if rig is not None else None
    signal = read_signal(recording, channel=channel, rate=rate)
    found = measure_taps(signal.samples, signal.rate, key=f"tap:{signal.sha256[:16]}")
    if as_json:
        print_json(tap_as_dict(found, signal, beside))
    else:
        _show(found, signal, beside)


def tap_as_dict(found: TapTest, signal: Signal, rig: Rig | None) -> dict[str, Any]:
    """Return a tap test as the object that --json prints."""
    from tameshi.quantity import as_dict

    return {
        "schema": SCHEMA,
        "recording": {
            "file": signal.file,
            "sha256": signal.sha256,
            "rate": signal.rate,
            "samples": len(signal.samples),
            "duration": len(signal.samples) / signal.rate,
            "channel": signal.channel,
        },
        "natural_frequency": as_dict(found.natural_frequency),
        "damping_ratio": as_dict(found.damping_ratio),
        "taps": [_decay(place, one) for place, one in enumerate(found.decays, start=1)],
        "left_out": found.left_out,
        "rig_file": rig_lines(found),
        "stated": {
            "natural_frequency": rig.cell.natural_frequency if rig else None,
            "damping_ratio": rig.cell.damping_ratio if rig else None,
        },
        "flags": [flag.as_dict() for flag in (*signal.flags, *found.flags)],
    }


def rig_lines(found: TapTest) -> list[str]:
    """Return the lines to put under [cell] in the rig file."""
    natural, damping = found.natural_frequency, found.damping_ratio
    return [
        f'natural_frequency = "{natural.value:.6g} Hz"',
        f'natural_frequency_u = "{natural.u:.2g} Hz"',
        f"damping_ratio = {damping.value:.4g}",
        f"damping_ratio_u = {damping.u:.2g}",
    ]


def _decay(place: int, one: Decay) -> dict[str, Any]:
    return {
        "index": place,
        "time": one.time,
        "natural_frequency": one.natural_frequency,
        "natural_frequency_u": one.u_frequency,
        "damping_ratio": one.damping_ratio,
        "damping_ratio_u": one.u_damping,
        "cycles": one.cycles,
        "amplitude": one.amplitude,
        "noise": one.noise,
        "by_decrement": one.decrement,
        "by_spectrum": one.spectrum,
        "second_mode": None if one.second is None else {"frequency": one.second[0], "share": one.second[1]},
    }


def _show(found: TapTest, signal: Signal, rig: Rig | None) -> None:
    natural, damping = found.natural_frequency, found.damping_ratio
    count = len(found.decays)
    say(
        f"{signal.file}, {signal.channel}: {count} tap{'' if count == 1 else 's'} measured, "
        f"{found.left_out} left out; {signal.rate:.6g} samples a second"
    )
    say(f"natural frequency {natural.value:.6g} Hz, 95 % interval {natural.low:.6g} to {natural.high:.6g} Hz")
    say(f"damping ratio {damping.value:.4g}, 95 % interval {damping.low:.4g} to {damping.high:.4g}")
    if rig is not None and rig.cell.natural_frequency is not None:
        change = natural.value / rig.cell.natural_frequency - 1.0
        say(f"the rig file says {rig.cell.natural_frequency:.6g} Hz; this is {change:+.2%} from it")
    rows = [
        (
            str(place),
            f"{one.time:.4f}",
            f"{one.natural_frequency:.2f} ± {one.u_frequency:.2g}",
            f"{one.damping_ratio:.5f} ± {one.u_damping:.2g}",
            f"{one.cycles:.0f}",
            "-" if one.decrement is None else f"{one.decrement:.5f}",
            f"{one.spectrum:.1f}",
        )
        for place, one in enumerate(found.decays, start=1)
    ]
    headings = ("tap", "from [s]", "f_n ± u [Hz]", "damping ± u", "cycles", "by decrement", "spectrum [Hz]")
    print_table("taps", headings, rows)
    print_flags((*signal.flags, *found.flags))
    say("Put these lines under [cell] in the rig file:", "", *rig_lines(found), "", _CAUTION)
