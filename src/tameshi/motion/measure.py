"""From a track to the figures of a strike, each with its budget: these steps in order."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from tameshi.errors import Flag, UnmeasurableError
from tameshi.motion.at_contact import FEWEST, AtContact, speed_at_contact
from tameshi.motion.contact import Contact, contact_from_stop
from tameshi.motion.figures import Whole, before_contact, rebound
from tameshi.motion.film import Film
from tameshi.motion.path import Path, path_of
from tameshi.motion.scale import Scale
from tameshi.motion.strike_motion import StrikeMotion
from tameshi.motion.track import Track
from tameshi.motion.view import Standing, standing_factor
from tameshi.quantity import Quantity, Source, rectangular_u
from tameshi.reference import row

_FEWEST_MOVING = 4
_MOVING = 0.2  # of the greatest speed
_FASTEST = 60.0  # m/s: no hand, foot or light club goes faster
_SLOW = 2.5  # m/s


@dataclass(frozen=True, slots=True, kw_only=True)
class Keys:
    """Identities of errors: of this film, and of what films of one setting share."""

    film: str
    setup: str


def measure_motion(
    film: Film,
    track: Track,
    scale: Scale,
    *,
    standing: Standing | None = None,
    contact: Contact | None = None,
    setup: str | None = None,
    lasts: float | None = None,
) -> StrikeMotion:
    """Return what a film tells of a strike.

    Parameters
    ----------
    film : Film
    track : Track
        Of a marker on the hand or foot, or of a patch of it.
    scale : Scale
    standing : Standing or None
        How the camera stood; what is not stated is taken from the table ``film_limits``.
    contact : Contact or None
        When contact began, where something else than the track tells.
    setup : str or None
        Identity of camera and scale, for films that share them; the film's own where None.
    lasts : float or None
        How long contact was, in seconds, where a recording tells.

    Raises
    ------
    UnmeasurableError
        ``no-motion``, ``contact-not-seen``, ``too-few-frames``, ``smear-too-long``, ``marker-lost``,
        ``not-a-strike``.
    """
    standing = standing or Standing()
    path = path_of(film, track, scale, standing.read_out or 0.0)
    contact = contact or contact_from_stop(path.times, path.way, path.u_way)
    before = _before(film, track, path, contact)
    factor = _factor(film, scale, standing, path, contact, Keys(film=film.key, setup=setup or film.key))
    found = speed_at_contact(path, contact)
    speed = _speed(found, film.key) * factor * _shutter(film, scale, standing, path, found)
    _refuse_nonsense(speed)
    whole = Whole.of(path, contact, film.key)
    figures = before_contact(whole, speed, factor)
    return StrikeMotion(
        speed_at_contact=speed,
        rebound_speed=rebound(whole, path, factor, lasts),
        **figures,
        contact=contact,
        path=path,
        course=whole.along,
        track=track,
        scale=scale,
        frames_before=found.frames,
        flags=_flags(film, track, standing, before, speed),
    )


def _before(film: Film, track: Track, path: Path, contact: Contact) -> Path:
    """Return the frames before contact, where they are enough to tell a speed."""
    before = path.until(contact.earliest)
    if len(before.times) < FEWEST:
        raise UnmeasurableError(
            "too-few-frames",
            f"The hand is seen in {len(before.times)} frames before contact; {FEWEST} are needed.",
            hint="Film at a higher rate, and start the film earlier.",
        )
    speed = np.hypot(*np.diff(before.places, axis=0).T) / np.diff(before.times)
    moving = int((speed > _MOVING * speed.max()).sum())
    if moving < _FEWEST_MOVING:
        raise UnmeasurableError(
            "too-few-frames",
            f"Only {moving + 1} frames show the hand on its way; {_FEWEST_MOVING + 1} are needed.",
            hint="Film at 120 frames a second or more.",
        )
    gap = contact.earliest - float(before.times[-1])
    if gap > 4.0 * film.interval + contact.latest - contact.earliest:
        raise UnmeasurableError(
            "marker-lost",
            f"What is followed is out of sight for the last {1000.0 * gap:.0f} ms before contact.",
            hint="Put the marker where it is seen until contact, and light it.",
        )
    _refuse_smear(track, before)
    return before


def _refuse_smear(track: Track, before: Path) -> None:
    longest = float(np.median(before.smear[-FEWEST:]))
    if longest > 2.0 * track.pattern.radius:
        raise UnmeasurableError(
            "smear-too-long",
            f"The hand smears over {longest:.0f} pixels during the exposure; what is followed is only "
            f"{2.0 * track.pattern.radius:.0f} wide.",
            hint="Use a shorter exposure (more light), or a larger marker.",
        )


def _factor(
    film: Film, scale: Scale, standing: Standing, path: Path, contact: Contact, keys: Keys
) -> Quantity:
    """Return the factor from lengths in the picture to lengths in space, 1 within its doubts."""
    width, height = film.size
    distance = standing.lens_at(width * scale.metre)
    at = np.array([np.interp(contact.time, path.times, column) for column in path.places.T])
    middle = (0.5 * np.array([width - 1.0, height - 1.0]) - scale.at) @ scale.matrix.T
    square = np.array([-path.direction[1], path.direction[0]])
    stood = standing_factor(
        standing,
        key=keys.film,
        setup=keys.setup,
        distance=distance,
        off_axis=float((at - middle) @ path.direction),
        lever=math.hypot(2.0 * float(at @ path.direction), float(at @ square)),
        leans=scale.leans,
    )
    parts = {
        Source(f"{keys.setup}:scale-ends", "ends of the scale"): scale.picking,
        Source(f"{keys.setup}:scale-length", "length of the scale"): scale.length,
    }
    return stood * Quantity(1.0, "1", parts)


def _shutter(film: Film, scale: Scale, standing: Standing, path: Path, found: AtContact) -> Quantity:
    """Return the factor on speeds that the clock and the order of rows leave in doubt."""
    width, height = film.size
    upright = film.rows_run in ("down", "up")
    seen = scale.metre * (height if upright else width)
    rate = found.speed * float(path.direction[1 if upright else 0])
    if standing.read_out is None:
        longest = min(float(row("film_limits", "read-out")["half_width"]), film.interval)
    else:
        longest = standing.read_out * float(row("film_limits", "read-out-stated")["half_width"])
    clock = float(row("film_limits", "frame-rate")["half_width"])
    parts = {
        Source(f"{film.key}:rows", "rolling shutter"): rectangular_u(abs(rate) * longest / seen),
        Source(f"{film.key}:clock", "frame timing"): rectangular_u(clock),
    }
    return Quantity(1.0, "1", parts)


def _speed(found: AtContact, key: str) -> Quantity:
    """Return the speed at contact in the picture, in m/s."""
    parts = {
        Source(f"{key}:places", "places and motion"): found.u_motion,
        Source(f"{key}:contact", "time of contact"): found.u_contact,
    }
    return Quantity(found.speed, "m/s", parts)


def _refuse_nonsense(speed: Quantity) -> None:
    if speed.value > _FASTEST:
        raise UnmeasurableError(
            "not-a-strike",
            f"The speed comes out as {speed.value:.0f} m/s, which no strike has.",
            hint='Check the scale, and the real frame rate: --real-rate "240 Hz" says it.',
        )


def _flags(film: Film, track: Track, standing: Standing, before: Path, speed: Quantity) -> tuple[Flag, ...]:
    """Return what limits the figures, short of refusing them."""
    flags = []
    longest = float(np.median(before.smear[-FEWEST:]))
    if longest > track.pattern.radius:
        flags.append(
            Flag(
                "exposure-smear",
                f"The hand smears over {longest:.0f} pixels before contact; the marker is "
                f"{2.0 * track.pattern.radius:.0f} wide.",
            )
        )
    inside = int(track.seen[-1] - track.seen[0] + 1 - len(track.seen))
    if inside:
        flags.append(
            Flag("marker-out-of-sight", f"What is followed is lost in {inside} of {len(film.frames)} frames.")
        )
    if standing.distance is None:
        flags.append(
            Flag(
                "distance-assumed",
                "The camera's distance was not stated; that of a phone's main lens was taken, which is near "
                "and so widens the interval.",
            )
        )
    if speed.value < _SLOW:
        flags.append(
            Flag(
                "slow-strike",
                f"{speed.value:.1f} m/s is slow for a strike: slow motion played back may look so.",
            )
        )
    return tuple(flags)
