"""tameshi rig check: can this rig measure such a strike, limit by limit."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from tameshi.cli import options as given
from tameshi.cli.outcome import print_json
from tameshi.cli.shown import note, print_table, say
from tameshi.errors import WrongUseError

if TYPE_CHECKING:
    from tameshi.rig import Effect, Rig, RigCheck

SCHEMA = "tameshi.rig-check/1"
PICTURES = ("png", "svg")


def check(
    rig: Annotated[Path, typer.Argument(help="Rig file (TOML).")],
    peak: Annotated[str, typer.Option("--peak", help='Peak force to expect, "3 kN" or "700 lbf".')],
    duration: Annotated[str, typer.Option("--duration", help='Contact duration to expect, "8 ms".')],
    rise: Annotated[
        str | None,
        typer.Option("--rise", help='10-90 % rise time to expect, "3 ms"; that of a half-sine if left out.'),
    ] = None,
    quiet: Annotated[
        Path | None, typer.Option("--quiet", help="Recording of the rig at rest: gives its noise.")
    ] = None,
    channel: given.Channel = None,
    picture: Annotated[
        Path | None, typer.Option("--picture", help="Draw the strike and its reading here (.png or .svg).")
    ] = None,
    as_json: given.Json = False,
) -> None:
    """Say for each limit of a rig whether it can measure an expected strike."""
    from tameshi.cli.measuring import load_rig
    from tameshi.rig import check_rig, expected_strike

    form = _form_of(picture)
    expected = expected_strike(peak, duration, rise)
    chain = load_rig(rig)
    noise = None if quiet is None else _noise(quiet, chain, channel)
    checked = check_rig(chain, expected, noise=noise)
    if picture is not None:
        from tameshi.files import write_atomic
        from tameshi.report.figures.rig_check import rig_picture

        write_atomic(picture, rig_picture(checked, form))
        note(f"picture: {picture}")
    if as_json:
        print_json(check_as_dict(checked))
    else:
        _show(checked)


def check_as_dict(checked: RigCheck) -> dict[str, Any]:
    """Return a rig check as the object that --json prints."""
    together = checked.together
    return {
        "schema": SCHEMA,
        "rig": checked.rig,
        "strike": {
            "peak_force": checked.strike.peak,
            "contact_duration": checked.strike.duration,
            "rise_time": checked.strike.rise,
        },
        "verdict": checked.verdict,
        "together": {
            "peak_error": together.peak,
            "rise_error": together.rise,
            "impulse_error": together.impulse,
        },
        "limits": [
            {
                "name": limit.name,
                "verdict": limit.verdict,
                "finding": limit.finding,
                "peak_error": limit.peak_error,
                "rise_error": limit.rise_error,
                "impulse_error": limit.impulse_error,
                "either_way": limit.effect.either_way if limit.effect else None,
                "remedy": limit.remedy,
            }
            for limit in checked.limits
        ],
    }


def _form_of(picture: Path | None) -> str:
    form = PICTURES[0] if picture is None else picture.suffix.lower().lstrip(".")
    if form not in PICTURES:
        raise WrongUseError(
            "wrong-picture", f"A picture cannot be written as {form or 'a file without ending'!r}.",
            hint="Name it .png or .svg.",
        )  # fmt: skip
    return form


def _noise(path: Path, rig: Rig, channel: str | None) -> float:
    """Return the noise of a quiet recording as volts at the rig's converter."""
    from tameshi.cli.measuring import LARGEST_FILE
    from tameshi.files import read_bytes, sha256_of
    from tameshi.force import Origin
    from tameshi.readers import Asked, ReadOptions, prepare, read_recording
    from tameshi.rig import conversion_of_rig, quiet_noise

    data = read_bytes(path, limit=LARGEST_FILE)
    # a quiet recording is asked for its noise only: its rate plays no part
    recording = read_recording(data, path.name, ReadOptions(count_samples=True))
    asked = Asked(rig=rig, channel=channel, rate=rig.converter.rate)
    trace, conversion = prepare(recording, Origin(path.name, sha256_of(data)), asked)
    newtons = quiet_noise(trace.readings()) / abs(conversion.sensitivity)
    return newtons * abs(conversion_of_rig(rig).sensitivity)


def _show(checked: RigCheck) -> None:
    strike, together = checked.strike, checked.together
    say(
        f"{checked.rig}, for {strike.peak:.0f} N over {1e3 * strike.duration:g} ms with a rise of "
        f"{1e3 * strike.rise:.3g} ms: {checked.verdict}"
    )
    rows = [
        (limit.name, limit.verdict, *_shares(limit.effect), limit.finding, limit.remedy)
        for limit in checked.limits
    ]
    headings = ("limit", "verdict", "peak", "rise", "impulse", "finding", "what would cure it")
    print_table("limits", headings, rows)
    peak, rise, impulse = _shares(together)
    say(
        f"raw reading, all together, at worst: peak {peak}, rise {rise}, impulse {impulse}",
        "± is one standard deviation, or the worst of all phases of sampling; tameshi undoes what the "
        "cell does where its natural frequency is in the rig file.",
    )


def _shares(effect: Effect | None) -> tuple[str, str, str]:
    if effect is None:
        return ("-", "-", "-")
    return (_percent(effect.peak, effect), _percent(effect.rise, effect), _percent(effect.impulse, effect))


def _percent(share: float, effect: Effect) -> str:
    if abs(share) < 5e-5:  # noqa: PLR2004  what two decimals cannot show
        return "0 %"
    return f"±{abs(share):.2%}" if effect.either_way else f"{share:+.2%}"
