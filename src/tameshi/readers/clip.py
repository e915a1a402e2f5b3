"""From the bytes of a film, and what a person says of it, to the figures of the strike it shows."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import asdict, dataclass
from typing import Any

import numpy as np

from tameshi.errors import Flag, WrongUseError
from tameshi.files import sha256_of
from tameshi.motion import (
    SCHEMA,
    Begun,
    Contact,
    Film,
    Scale,
    Sound,
    Standing,
    StrikeMotion,
    begin,
    contact_at_frame,
    contact_from_flash,
    contact_from_sound,
    follow,
    measure_motion,
    motion_as_dict,
    parse_follow,
    parse_length,
    scale_of_length,
    scale_of_square,
    still_marker,
)
from tameshi.quantity import Measured, as_dict, parse_quantity
from tameshi.readers.film import FilmFacts, ReadFilm, read_film
from tameshi.reference import row

_FRAMES = re.compile(r"^\s*([0-9]+)\s*(?:to|-)\s*([0-9]+)\s*$")
_SIDE = re.compile(r"^\s*([0-9]+)\s*=\s*(.+?)\s*$")
_CONTACT = re.compile(r"^\s*(frame|flash|sound|stop)\s*(.*?)\s*$")
_PLACE = re.compile(r"^([0-9.]+)\s*[,;]\s*([0-9.]+)$")
_MOVED = 0.7  # pixels: a still marker is found to a fifth of that


@dataclass(frozen=True, slots=True, kw_only=True)
class ClipOptions:
    """What was typed about films."""

    scale: str | None = None
    scale_marker: str | None = None
    follow: str | None = None
    contact: str = "stop"
    real_rate: str | None = None
    frames: str | None = None
    distance: str | None = None
    off_plane: str | None = None
    motion_within: str | None = None
    square_within: str | None = None
    read_out: str | None = None
    picked_within: float = 2.0
    known_within: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MeasuredClip:
    """A measured film with the facts of its file."""

    file: str
    sha256: str
    facts: FilmFacts
    film: Film
    begun: Begun
    motion: StrikeMotion
    flags: tuple[Flag, ...]


def measure_film(
    data: bytes, filename: str, options: ClipOptions, *, lasts: float | None = None
) -> MeasuredClip:
    """Return the strike in the bytes of a film.

    Parameters
    ----------
    data : bytes
    filename : str
        For messages.
    options : ClipOptions
    lasts : float or None
        How long contact was, in seconds, where a recording tells.
    """
    sha256 = sha256_of(data)
    asked = parse_follow(options.follow)
    read = read_film(
        data,
        filename,
        key=sha256,
        real_rate=_quantity(options.real_rate, "frequency"),
        frames=_frames(options.frames),
    )
    scale, but, moved = _scale(read.film, options)
    begun = begin(read.film, asked, but=but)
    motion = measure_motion(
        read.film,
        follow(read.film, begun.pattern, begun.place, begun.index),
        scale,
        standing=_standing(options),
        contact=_contact(read, options.contact),
        setup=sha256_of(repr(options).encode())[:16],
        lasts=lasts,
    )
    return MeasuredClip(
        file=filename,
        sha256=sha256,
        facts=read.facts,
        film=read.film,
        begun=begun,
        motion=motion,
        flags=(*read.flags, *moved, *motion.flags),
    )


def _quantity(text: str | None, kind: str) -> float | None:
    return None if text is None else parse_quantity(text, kind)


def _frames(text: str | None) -> tuple[int, int] | None:
    if text is None:
        return None
    match = _FRAMES.match(text)
    if match is None or not 1 <= int(match[1]) < int(match[2]):
        raise WrongUseError(
            "wrong-frames", f"{text!r} says no frames.", hint='Write the first and the last: "120 to 400".'
        )
    return int(match[1]), int(match[2])


def _standing(options: ClipOptions) -> Standing:
    return Standing(
        distance=_positive(options.distance, "length", "distance"),
        off_plane=_quantity(options.off_plane, "length"),
        motion_within=_quantity(options.motion_within, "slant"),
        square_within=_quantity(options.square_within, "slant"),
        read_out=_quantity(options.read_out, "time"),
    )


def _positive(text: str | None, kind: str, name: str) -> float | None:
    value = _quantity(text, kind)
    if value is not None and not value > 0.0:
        raise WrongUseError(f"wrong-{name}", f"The {name} cannot be {text}.", hint="Give it above nought.")
    return value


def _scale(film: Film, options: ClipOptions) -> tuple[Scale, int | None, tuple[Flag, ...]]:
    """Return the scale, the marker that gives it, and whether the camera moved."""
    if (options.scale is None) == (options.scale_marker is None):
        raise WrongUseError(
            "no-scale" if options.scale is None else "scale-unclear",
            "A film needs one known length: none or two were given.",
            hint='Give --scale "120,640 840,642 = 50 cm" or --scale-marker "7 = 10 cm".',
        )
    limits = {key: float(row("film_limits", key)["half_width"]) for key in ("known-length", "marker-side")}
    if options.scale is not None:
        known = parse_length(
            options.scale,
            picked_within=options.picked_within,
            known_within=options.known_within,
            default_within=limits["known-length"],
        )
        return scale_of_length(known, film.pixel_aspect), None, ()
    match = _SIDE.match(options.scale_marker or "")
    if match is None:
        raise WrongUseError(
            "wrong-scale",
            f"{options.scale_marker!r} names no marker with its side.",
            hint='Write the marker and the side of its black square: "7 = 10 cm".',
        )
    side = parse_quantity(match[2], "length")
    marker = still_marker(film, int(match[1]))
    within = (
        limits["marker-side"]
        if options.known_within is None
        else parse_quantity(options.known_within, "length")
    )
    scale = scale_of_square(
        marker.corners,
        side,
        corner_u=marker.corner_u,
        side_within=within,
        said=f"marker {marker.identity}, {1000.0 * side:g} mm wide",
    )
    if marker.moved <= _MOVED:
        return scale, marker.identity, ()
    said = (
        f"Marker {marker.identity} moves by {marker.moved:.1f} pixels in the film: it, or the camera, moved."
    )
    return scale, marker.identity, (Flag("camera-moved", said),)


def _contact(read: ReadFilm, text: str) -> Contact | None:
    """Return contact as told; None leaves it to the track."""
    match = _CONTACT.match(text)
    by, rest = (match[1], match[2]) if match else ("", "")
    if by == "stop" and not rest:
        return None
    if by == "frame" and rest.isdigit():
        return contact_at_frame(read.film, int(rest))
    if by == "flash" and (place := _PLACE.match(rest)):
        return contact_from_flash(read.film, np.array([float(place[1]), float(place[2])]))
    if by == "sound" and rest:
        return contact_from_sound(_heard(read.sound), parse_quantity(rest, "length"))
    raise WrongUseError(
        "wrong-contact",
        f"{text!r} does not say when contact was.",
        hint='Write "stop", "frame 63", "flash 820,120" (place of the lamp) or "sound 2.4 m" (target to '
        "microphone).",
    )


def _heard(sound: Sound | None) -> Sound:
    if sound is None:
        raise WrongUseError(
            "no-sound",
            "The film has no sound, or plays slower than it was taken.",
            hint="Let contact be found from the track, or say the frame.",
        )
    return sound


def clip_as_dict(
    measured: MeasuredClip, quantity: Callable[[Measured], dict[str, Any]] = as_dict
) -> dict[str, Any]:
    """Return a measured film as the object that --json prints, or as it is stored.

    Parameters
    ----------
    measured : MeasuredClip
    quantity : callable
        How quantities are written: :func:`tameshi.quantity.to_record` keeps what they share.
    """
    told = motion_as_dict(measured.film, measured.motion, measured.begun.said, quantity)
    return {
        "schema": SCHEMA,
        "film": {"file": measured.file, "sha256": measured.sha256, **asdict(measured.facts)},
        **told,
        "flags": [flag.as_dict() for flag in measured.flags],
    }
