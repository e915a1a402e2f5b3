"""tameshi rig drop: is what the chain reads of a falling mass what momentum says it must be."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from tameshi.cli import options as given
from tameshi.cli.outcome import print_json
from tameshi.cli.shown import print_flags, print_table, say
from tameshi.errors import Flag, UnitError, WrongUseError

if TYPE_CHECKING:
    from tameshi.force import Reduction
    from tameshi.quantity import Measured, Quantity
    from tameshi.rig import BounceCheck, DropCheck, Fall

SCHEMA = "tameshi.drop/1"
_CAUTION = (
    "A falling mass crushes fingers and breaks toes: hands and feet stay clear, and something catches it. "
    "Agreement here says what the chain reads, not what it or anybody can bear."
)


def drop(
    recording: Annotated[Path, typer.Argument(help="Recording of a mass dropped onto the plate.")],
    mass: Annotated[str, typer.Option("--mass", help='Mass that was dropped, "2.50 kg".')],
    height: Annotated[
        str | None,
        typer.Option(
            "--height", help='From its lowest point to the plate, "40 cm"; pairs of bounces do without.'
        ),
    ] = None,
    mass_u: Annotated[
        str | None, typer.Option("--mass-u", help='Standard uncertainty, "2 g" or "0.1 %".')
    ] = None,
    height_u: Annotated[str | None, typer.Option("--height-u", help='Standard uncertainty, "2 mm".')] = None,
    gravity: Annotated[str | None, typer.Option("--gravity", help='Local gravity, "9.812 m/s2".')] = None,
    bounces: Annotated[
        str | None,
        typer.Option("--bounces", help='Which strikes are bounces, "1-3" or "1,2"; all if left out.'),
    ] = None,
    rig: given.Rig = None,
    channel: given.Channel = None,
    force_scale: given.ForceScale = None,
    rate: given.Rate = None,
    as_json: given.Json = False,
) -> None:
    """Check the whole chain by momentum: a mass dropped onto the plate, and its bounces."""
    from tameshi.cli.measuring import RecordingOptions, reduce_file
    from tameshi.rig import Bounce, check_drop

    fall = _fall(mass, height, mass_u, height_u, gravity)
    wanted = chosen(bounces)
    options = RecordingOptions(rig=rig, channel=channel, force_scale=force_scale, rate=rate)
    reduction = reduce_file(recording, options)
    met = [
        Bounce(index=strike.index, onset=strike.onset, end=strike.end, impulse=strike.impulse)
        for strike in reduction.strikes
        if wanted is None or strike.index in wanted
    ]
    found = check_drop(met, fall, rate=reduction.rate)
    if as_json:
        print_json(drop_as_dict(found, reduction))
    else:
        _show(found, reduction)


def chosen(text: str | None) -> set[int] | None:
    """Return the strikes a person listed, ``"1-3,5"``; None where nothing was said.

    Raises
    ------
    WrongUseError
        If it is no such list.
    """
    if text is None:
        return None
    found: set[int] = set()
    for part in text.split(","):
        match = re.fullmatch(r"\s*(\d{1,6})\s*(?:-\s*(\d{1,6})\s*)?", part)
        if match is None:
            raise WrongUseError(
                "wrong-list", f"{text!r} is no list of strikes.", hint='Write "1-3" or "1,2".'
            )
        first, last = int(match[1]), int(match[2] or match[1])
        found.update(range(first, last + 1))
    return found


def drop_as_dict(found: DropCheck, reduction: Reduction) -> dict[str, Any]:
    """Return a drop check as the object that --json prints."""
    from tameshi.quantity import Quantity, as_dict
    from tameshi.rig import agreement

    origin, fall = reduction.origin, found.fall
    return {
        "schema": SCHEMA,
        "recording": {
            "file": origin.file,
            "sha256": origin.sha256,
            "rate": reduction.rate,
            "samples": reduction.samples,
            "duration": reduction.duration,
            "channel": origin.channel,
            "conversion": reduction.conversion,
        },
        "mass": as_dict(fall.mass),
        "height": None if fall.height is None else as_dict(fall.height),
        "gravity": as_dict(fall.gravity),
        "air_drag_bound": found.air,
        "bounces": [_bounce(one) for one in found.bounces],
        "ratio": as_dict(found.ratio),
        "agreement": agreement(found.ratio) if isinstance(found.ratio, Quantity) else None,
        "flags": [flag.as_dict() for flag in _all_flags(found, reduction)],
    }


def _bounce(one: BounceCheck) -> dict[str, Any]:
    from tameshi.quantity import as_dict

    flight = one.flight
    return {
        "strike": flight.bounce.index,
        "drop": flight.drop,
        "onset": flight.bounce.onset,
        "end": flight.bounce.end,
        "impulse": as_dict(flight.bounce.impulse),
        "speed_before": None if flight.before is None else as_dict(flight.before),
        "speed_after": None if flight.after is None else as_dict(flight.after),
        "restitution": None if one.restitution is None else as_dict(one.restitution),
        "expected_impulse": as_dict(one.expected),
        "bounds": None
        if one.bounds is None
        else {"low": one.bounds[0], "high": one.bounds[1], "unit": "N s"},
        "within_bounds": one.is_within,
        "ratio": as_dict(one.ratio),
    }


def _fall(
    mass: str, height: str | None, mass_u: str | None, height_u: str | None, gravity: str | None
) -> Fall:
    """Return what was typed about the fall, with what scales and tapes leave open where nothing was."""
    from tameshi.quantity import Quantity, Source, parse_quantity, rectangular_u
    from tameshi.reference import row
    from tameshi.rig import Fall, local_gravity

    heavy = parse_quantity(mass, "mass")
    u = (
        rectangular_u(row("drops", "mass")["half_width"]) * heavy
        if mass_u is None
        else _mass_u(mass_u, heavy)
    )
    high = None
    if height is not None:
        value = parse_quantity(height, "length")
        assumed = rectangular_u(row("drops", "height")["half_width"])
        u_height = assumed if height_u is None else abs(parse_quantity(height_u, "length"))
        high = Quantity(value, "m", {Source("height", "height"): u_height})
    pull = parse_quantity(gravity, "acceleration") if gravity is not None else None
    weighed = Quantity(heavy, "kg", {Source("mass", "mass"): u})
    return Fall(mass=weighed, height=high, gravity=local_gravity(pull))


def _mass_u(text: str, mass: float) -> float:
    from tameshi.quantity import parse_quantity

    try:
        return abs(parse_quantity(text, "mass"))
    except UnitError:
        return abs(parse_quantity(text, "ratio") * mass)


def _all_flags(found: DropCheck, reduction: Reduction) -> list[Flag]:
    used = {one.flight.bounce.index for one in found.bounces}
    of_strikes = [flag for strike in reduction.strikes if strike.index in used for flag in strike.flags]
    return [*found.flags, *of_strikes, *reduction.flags]


def _show(found: DropCheck, reduction: Reduction) -> None:
    from tameshi.quantity import Quantity
    from tameshi.rig import agreement

    fall = found.fall
    from_height = "" if fall.height is None else f" from {_plain(fall.height)} m"
    say(
        f"{reduction.origin.file}: {_plain(fall.mass)} kg dropped{from_height}, {len(found.bounces)} "
        f"contacts; force from {reduction.conversion}; gravity {_plain(fall.gravity)} m/s2"
    )
    if found.air is not None:
        say(f"air drag is neglected: it takes less than {100.0 * found.air:.2g} % of a compact body's speed")
    headings = (
        "strike",
        "drop",
        "before [m/s]",
        "after [m/s]",
        "read [N s]",
        "expected [N s]",
        "read / expected",
    )
    print_table("bounces", headings, [_row(one) for one in found.bounces])
    for one in found.bounces:
        if isinstance(one.ratio, Quantity):
            say(f"strike {one.flight.bounce.index}: {agreement(one.ratio)}")
    say(f"all together: {agreement(found.ratio) if isinstance(found.ratio, Quantity) else found.ratio.why}")
    print_flags(_all_flags(found, reduction))
    say(_CAUTION)


def _row(one: BounceCheck) -> tuple[str, ...]:
    flight = one.flight
    expected = _figure(one.expected)
    if one.bounds is not None:
        expected = f"{one.bounds[0]:.4g} to {one.bounds[1]:.4g}"
    return (
        str(flight.bounce.index),
        str(flight.drop),
        "-" if flight.before is None else _plain(flight.before),
        "0 to that" if flight.after is None and flight.before is not None else _figure(flight.after),
        _figure(flight.bounce.impulse),
        expected,
        _figure(one.ratio),
    )


def _plain(quantity: Quantity) -> str:
    return f"{quantity.value:.4g} ± {quantity.u:.2g}" if quantity.u else f"{quantity.value:.5g}"


def _figure(measured: Measured | None) -> str:
    from tameshi.quantity import Quantity

    return _plain(measured) if isinstance(measured, Quantity) else "-"
