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
    from tameshi.cli.clip_work import Clip
    from tameshi.quantity import System
    from tameshi.readers.clip import MeasuredClip

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
    scale: given.Scale = None,
    scale_marker: given.ScaleMarker = None,
    follow: given.Follow = None,
    contact: given.ContactWhen = "stop",
    real_rate: given.RealRate = None,
    frames: given.Frames = None,
    distance: given.Distance = None,
    off_plane: given.OffPlane = None,
    motion_within: given.MotionWithin = None,
    square_within: given.SquareWithin = None,
    read_out: given.ReadOut = None,
    picked_within: given.PickedWithin = 2.0,
    known_within: given.KnownWithin = None,
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
    from tameshi.cli.clip_work import as_object, measure_clip
    from tameshi.cli.measuring import RecordingOptions
    from tameshi.readers.clip import ClipOptions

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
    )
    struck = None
    if recording is not None:
        if len(films) > 1:
            raise WrongUseError("strike-unclear", "One strike is on one film.", hint="Give one film.")
        reading = RecordingOptions(
            rig=rig, channel=channel, force_scale=force_scale, rate=rate, accept_cut_off=accept_cut_off
        )
        struck = strike_of(recording, strike, reading)

    def measure(path: Path) -> Clip:
        found = measure_clip(path, options, struck, rebound)
        _write_track(found.measured, track)
        _write_overlay(found.measured, overlay)
        return found

    measure_each(
        films,
        measure,
        as_object,
        lambda found: show_clip(found, system),
        of="clips",
        as_json=as_json,
        together=lambda several: _together(several, shown=not as_json),
    )


def _together(several: list[Clip], *, shown: bool) -> dict[str, Any]:
    """Return how the places of impact scatter, where there are enough films; show it."""
    from tameshi.motion import FEWEST_FILMS, precision
    from tameshi.quantity import Quantity

    places = [
        (motion.impact_right, motion.impact_up)
        for motion in (one.measured.motion for one in several)
        if isinstance(motion.impact_right, Quantity) and isinstance(motion.impact_up, Quantity)
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


def show_clip(clip: Clip, system: System) -> None:
    """Print a measured film for a person."""
    from tameshi.cli.clip_strike import show_struck
    from tameshi.motion import FIGURES, frame_of_contact
    from tameshi.quantity import Missing

    measured = clip.measured
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
    show_struck(clip.struck, system)
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
