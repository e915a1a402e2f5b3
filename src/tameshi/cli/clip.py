"""tameshi clip: speed, reach and movement time of a strike from film."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from tameshi.cli import options as given
from tameshi.cli.several import measure_each
from tameshi.cli.shown import both_units, note, print_flags, print_table, say, system_of
from tameshi.errors import WrongUseError

if TYPE_CHECKING:
    from tameshi.cli.clip_work import MeasuredClip
    from tameshi.quantity import System

_WORDS = {
    "speed_at_contact": "speed at contact",
    "peak_speed": "peak speed",
    "peak_acceleration": "peak acceleration",
    "movement_time": "movement time",
    "reach": "reach from guard",
    "impact_right": "impact, right of the scale",
    "impact_up": "impact, above the scale",
    "rebound_speed": "rebound speed",
}


def clip(
    films: Annotated[list[Path], typer.Argument(help="Films of one strike each.")],
    scale: Annotated[
        str | None,
        typer.Option(
            "--scale",
            help='A known length where the hand passes, its ends in pixels: "120,640 840,642 = 50 cm".',
        ),
    ] = None,
    scale_marker: Annotated[
        str | None,
        typer.Option(
            "--scale-marker",
            help='ArUco marker (DICT_4X4_50) where the hand passes, and its side: "7 = 10 cm".',
        ),
    ] = None,
    follow: Annotated[
        str | None,
        typer.Option(
            "--follow",
            help='What to follow: "412,255" or "412,255 in frame 12" (round marker or patch there), '
            '"marker 3"; the only marker there is, if left out.',
        ),
    ] = None,
    contact: Annotated[
        str,
        typer.Option(
            "--contact",
            help='When contact was: "stop" (found from the track), "frame 63", "flash 820,120", '
            '"sound 2.4 m".',
        ),
    ] = "stop",
    real_rate: Annotated[
        str | None,
        typer.Option("--real-rate", help='Frame rate it was taken with, where it plays slower: "240 Hz".'),
    ] = None,
    frames: Annotated[
        str | None, typer.Option("--frames", help='Only these frames of the file, from 1: "120 to 400".')
    ] = None,
    distance: Annotated[
        str | None, typer.Option("--distance", help='From the lens to the plane of the strike, "3 m".')
    ] = None,
    off_plane: Annotated[
        str | None,
        typer.Option(
            "--off-plane", help='How near the strike kept to the plane of the scale, "5 cm" either way.'
        ),
    ] = None,
    motion_within: Annotated[
        str | None,
        typer.Option("--motion-within", help='How near it kept parallel to that plane, "7 deg" either way.'),
    ] = None,
    square_within: Annotated[
        str | None,
        typer.Option("--square-within", help='How square to it the camera stood, "4 deg" either way.'),
    ] = None,
    read_out: Annotated[
        str | None,
        typer.Option(
            "--read-out", help='Read-out time of a rolling shutter, "8 ms"; "0 ms" for a global one.'
        ),
    ] = None,
    picked_within: given.PickedWithin = 2.0,
    known_within: Annotated[
        str | None,
        typer.Option("--known-within", help='How well the known length is known, "1 mm" either way.'),
    ] = None,
    track: Annotated[
        Path | None, typer.Option("--track", help="Write the track here: .csv, or .json.")
    ] = None,
    overlay: Annotated[
        Path | None, typer.Option("--overlay", help="Write frames with the track drawn in here (PNG).")
    ] = None,
    recording: Annotated[
        Path | None, typer.Option("--recording", help="Recording of the same strike: gives effective mass.")
    ] = None,
    strike: Annotated[int | None, typer.Option("--strike", help="Which strike of it, from 1.")] = None,
    rebound: Annotated[
        str | None,
        typer.Option(
            "--rebound",
            help='Speed back off the target, where the film does not show it: "0 m/s to 2 m/s", or unknown.',
        ),
    ] = None,
    rig: given.Rig = None,
    channel: given.Channel = None,
    force_scale: given.ForceScale = None,
    rate: given.Rate = None,
    accept_cut_off: given.AcceptCutOff = False,
    units: given.Units = "si",
    as_json: given.Json = False,
) -> None:
    """Measure speed, reach and movement time of strikes on film."""
    from tameshi.cli.clip_strike import strike_of
    from tameshi.cli.clip_work import ClipOptions, clip_as_dict, measure_clip
    from tameshi.cli.measuring import RecordingOptions

    system = system_of(units)
    if len(films) > 1 and (track is not None or overlay is not None):
        raise WrongUseError("overlay-unclear", "One file cannot hold several tracks.", hint="Give one film.")
    options = ClipOptions(
        scale=scale,
        scale_marker=scale_marker,
        follow=follow,
        contact=contact,
        real_rate=real_rate,
        frames=frames,
        distance=distance,
        off_plane=off_plane,
        motion_within=motion_within,
        square_within=square_within,
        read_out=read_out,
        picked_within=picked_within,
        known_within=known_within,
        rebound=rebound,
    )
    struck = None
    if recording is not None:
        if len(films) > 1:
            raise WrongUseError("strike-unclear", "One strike is on one film.", hint="Give one film.")
        reading = RecordingOptions(
            rig=rig, channel=channel, force_scale=force_scale, rate=rate, accept_cut_off=accept_cut_off
        )
        struck = strike_of(recording, strike, reading)

    def measure(path: Path) -> MeasuredClip:
        measured = measure_clip(path, options, struck)
        _write_track(measured, track)
        _write_overlay(measured, overlay)
        return measured

    measure_each(
        films,
        measure,
        clip_as_dict,
        lambda measured: show_clip(measured, system),
        of="clips",
        as_json=as_json,
        together=lambda several: _together(several, shown=not as_json),
    )


def _together(several: list[MeasuredClip], *, shown: bool) -> dict[str, Any]:
    """Return how the places of impact scatter, where there are enough films; show it."""
    from tameshi.motion import FEWEST_FILMS, precision
    from tameshi.quantity import Quantity

    places = [
        (one.motion.impact_right, one.motion.impact_up)
        for one in several
        if isinstance(one.motion.impact_right, Quantity) and isinstance(one.motion.impact_up, Quantity)
    ]
    if len(places) < FEWEST_FILMS:
        return {"precision": None}
    found = precision(places)
    if shown:
        rows = [
            (name, *(f"{1000.0 * value:.1f} mm" for value in (one.sd, one.low, one.high, one.measured_u)))
            for name, one in (("right", found.right), ("up", found.up))
        ]
        print_table(
            f"scatter of {found.count} places of impact, {1000.0 * found.radius:.1f} mm around their middle",
            ("direction", "SD", "from", "to (95 %)", "of which measuring"),
            rows,
        )
    return {"precision": found.as_dict()}


def show_clip(measured: MeasuredClip, system: System) -> None:
    """Print a measured film for a person."""
    from tameshi.cli.clip_strike import show_struck
    from tameshi.motion import FIGURES, frame_of_contact
    from tameshi.quantity import Missing

    motion, facts = measured.motion, measured.facts
    say(
        f"{measured.file}: {len(measured.film.frames)} frames at {facts.rate:.4g} a second, "
        f"{measured.begun.said}, seen in {len(motion.track.seen)}; scale from {motion.scale.said}.",
        f"  contact before frame {frame_of_contact(measured.film, motion)}, by {motion.contact.by}, to "
        f"±{500.0 * (motion.contact.latest - motion.contact.earliest):.1f} ms.",
    )
    rows = [(_WORDS[name], *both_units(motion.figure(name), system)) for name in FIGURES]
    print_table("strike on film", ("figure", "value (95 % interval)", "also"), rows)
    for name in FIGURES:
        figure = motion.figure(name)
        if isinstance(figure, Missing):
            say(f"  {_WORDS[name]}: {figure.why}.")
    show_struck(measured.struck, system)
    print_flags(measured.flags)


def _write_track(measured: MeasuredClip, path: Path | None) -> None:
    if path is None:
        return
    import csv
    import io
    import json

    from tameshi.files import write_atomic
    from tameshi.motion import TRACK_HEADINGS, track_as_dict, track_rows

    ending = path.suffix.lower()
    if ending == ".json":
        text = json.dumps(track_as_dict(measured.film, measured.motion), allow_nan=False)
    elif ending == ".csv":
        written = io.StringIO()
        table = csv.writer(written, lineterminator="\n")
        table.writerows([TRACK_HEADINGS, *track_rows(measured.film, measured.motion)])
        text = written.getvalue()
    else:
        raise WrongUseError("wrong-ending", f"{path.name!r} ends neither in .csv nor in .json.")
    write_atomic(path, text.encode())
    note(f"track: {path}")


def _write_overlay(measured: MeasuredClip, path: Path | None) -> None:
    if path is None:
        return
    from tameshi.files import write_atomic
    from tameshi.motion import track_png

    write_atomic(path, track_png(measured.film, measured.motion))
    note(f"overlay: {path}")
