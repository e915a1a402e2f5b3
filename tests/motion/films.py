"""Small films with known truth, rendered once each, and how they are measured."""

from functools import lru_cache

import numpy as np

from tameshi.demo.film import BAR, FilmCamera, Filmed, FilmScene, film
from tameshi.demo.film_motion import Thrust
from tameshi.motion import (
    Film,
    KnownLength,
    Scale,
    Standing,
    StrikeMotion,
    begin,
    follow,
    measure_motion,
    parse_follow,
    scale_of_length,
)

SMALL = FilmCamera(width=640, height=360, focal=960.0, distance=3.0, noise=1.5)
QUIET = FilmCamera(width=640, height=360, focal=960.0, distance=3.0, noise=0.0, exposure=1e-4)
EXACT = Standing(distance=3.0, off_plane=0.001, motion_within=0.001, square_within=0.001, read_out=0.0)


def plain(**changes) -> FilmScene:
    return FilmScene(**{"thrust": Thrust(), "contact_at": (0.3, -0.02), "seconds_after": 0.05, **changes})


@lru_cache(maxsize=32)
def rendered(scene: FilmScene, camera: FilmCamera, seed: int = 1) -> Filmed:
    return film(scene, camera, np.random.default_rng(seed))


def as_film(filmed: Filmed, **changes) -> Film:
    return Film(**{"frames": np.stack(filmed.frames), "times": filmed.times, "key": "film", **changes})


def bar_scale(filmed: Filmed) -> Scale:
    known = KnownLength(ends=filmed.scale_ends, length=BAR, picked_within=0.1, known_within=1e-5)
    return scale_of_length(known)


def measured(scene: FilmScene, camera: FilmCamera, seed: int = 1, **asked) -> StrikeMotion:
    filmed = rendered(scene, camera, seed)
    taken = as_film(filmed)
    x, y = filmed.marker_at[0]
    begun = begin(taken, parse_follow(f"{x:.1f},{y:.1f}"))
    track = follow(taken, begun.pattern, begun.place, begun.index)
    return measure_motion(taken, track, bar_scale(filmed), **{"standing": EXACT, **asked})
