"""A film of a strike of the invented scenario: the hand as fast as the simulated striker."""

from __future__ import annotations

import importlib.util
from dataclasses import dataclass
from typing import Any

import numpy as np

from tameshi.demo.film import FilmCamera, FilmScene, film
from tameshi.demo.film_file import store_film
from tameshi.demo.film_motion import Thrust

FILMED_STRIKE = 4
"""Which strike of its recording is filmed, from 1."""

_MARKER = 0.12  # metres: side of the marker that gives the scale
_OFF_PLANE, _OUT_OF_PLANE, _SQUARE = 0.03, 5.0, 3.0  # metres, degrees: how far the club's filming strays
_RESTITUTION = (0.1, 0.3)


@dataclass(frozen=True, slots=True, kw_only=True)
class StrikeFilm:
    """A film, how it was filmed, and what is true of it.

    Parameters
    ----------
    data : bytes
    filming : mapping
        As a person would say it.
    speed, rebound : float
        At contact and off the target, in m/s.
    """

    data: bytes
    filming: dict[str, Any]
    speed: float
    rebound: float


def films_can_be_made() -> bool:
    """Whether the library that stores films is installed: it is an extra."""
    return importlib.util.find_spec("av") is not None


def film_strike(speed: float, contact: float, rng: np.random.Generator) -> StrikeFilm:
    """Return a film of a strike.

    Parameters
    ----------
    speed : float
        At contact, in m/s.
    contact : float
        How long contact is, in seconds.
    rng : numpy Generator
    """
    restitution = float(rng.uniform(*_RESTITUTION))
    thrust = Thrust(
        speed=speed,
        reach=float(rng.uniform(0.45, 0.6)),
        peak_at=float(rng.uniform(0.9, 1.0)),
        contact=contact,
        restitution=restitution,
        bow=float(rng.uniform(-0.02, 0.02)),
    )
    scene = FilmScene(
        thrust=thrust,
        contact_at=(0.3, -0.02),
        off_plane=float(rng.uniform(-_OFF_PLANE, _OFF_PLANE)),
        out_of_plane=float(rng.uniform(-_OUT_OF_PLANE, _OUT_OF_PLANE)),
        board=(0.1, 0.3),
        board_marker=_MARKER,
        seconds_after=contact + 0.04,
    )
    camera = FilmCamera(
        width=800,
        height=450,
        focal=1200.0,
        distance=3.0,
        pan=float(rng.uniform(-_SQUARE, _SQUARE)),
        pitch=float(rng.uniform(-_SQUARE, _SQUARE)),
        read_out=0.003,
    )
    return StrikeFilm(
        data=store_film(film(scene, camera, rng)),
        filming={"scale_marker": f"7 = {100.0 * _MARKER:g} cm", "distance": "3 m"},
        speed=speed,
        rebound=restitution * speed,
    )
