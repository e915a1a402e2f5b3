"""A track in metres and seconds: along the way of the strike and across it, with true times for each row."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from tameshi.errors import UnmeasurableError
from tameshi.motion.arrays import Chosen, FloatArray, Indices
from tameshi.motion.film import Film
from tameshi.motion.scale import Scale
from tameshi.motion.track import Track

_TELLS = 0.03  # seconds of motion that give its direction
_SPAN = 0.005  # seconds over which slopes are taken where frames are denser
_LEAST_TRAVEL = 0.05  # metres: less is no strike


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Path:
    """Places in the plane of motion.

    Parameters
    ----------
    frames : (n,) array of int
        Indices of the frames.
    times : (n,) array
        Seconds, of the middle of the exposure of the row that it was on.
    places : (n, 2) array
        Metres right and down from where the scale was taken.
    way, across : (n,) array
        Metres along the strike and square to it.
    u_way, u_across : (n,) array
        Standard uncertainties of both, as each frame tells.
    direction : (2,) array
        Of the strike at its fastest, right and down.
    smear : (n,) array
        Pixels.
    """

    frames: Indices
    times: FloatArray
    places: FloatArray
    way: FloatArray
    across: FloatArray
    u_way: FloatArray
    u_across: FloatArray
    direction: FloatArray
    smear: FloatArray

    def until(self, time: float) -> Path:
        """Return the part up to a time."""
        return self.part(self.times <= time)

    def part(self, chosen: Chosen | slice) -> Path:
        """Return chosen frames."""
        names = ("frames", "times", "places", "way", "across", "u_way", "u_across", "smear")
        return replace(self, **{name: getattr(self, name)[chosen] for name in names})


def path_of(film: Film, track: Track, scale: Scale, read_out: float) -> Path:
    """Return the path of a track.

    Parameters
    ----------
    film : Film
    track : Track
    scale : Scale
    read_out : float
        Seconds from the first row to the last.

    Raises
    ------
    UnmeasurableError
        ``no-motion``.
    """
    seen = track.seen
    pixels, u = track.places[seen], track.u[seen]
    times = film.times[seen] + read_out * _read_share(film, pixels)
    places = (pixels - scale.at) @ scale.matrix.T
    direction = _direction(times, places)
    square = np.array([-direction[1], direction[0]])
    along = [np.sqrt(((u * (scale.matrix.T @ axis)) ** 2).sum(axis=1)) for axis in (direction, square)]
    return Path(
        frames=seen,
        times=times,
        places=places,
        way=places @ direction,
        across=places @ square,
        u_way=along[0],
        u_across=along[1],
        direction=direction,
        smear=track.smear[seen],
    )


def _read_share(film: Film, pixels: FloatArray) -> FloatArray:
    """Return how much of the read-out has passed when the row of each place is read."""
    width, height = film.size
    share = {
        "down": pixels[:, 1] / height,
        "up": 1.0 - pixels[:, 1] / height,
        "right": pixels[:, 0] / width,
        "left": 1.0 - pixels[:, 0] / width,
    }
    return np.asarray(share[film.rows_run])


def _direction(times: FloatArray, places: FloatArray) -> FloatArray:
    """Return the direction of the motion where it is fastest."""
    if float(np.ptp(places, axis=0).max()) < _LEAST_TRAVEL:
        raise UnmeasurableError(
            "no-motion",
            f"What is followed moves by {1000.0 * float(np.ptp(places, axis=0).max()):.0f} mm in all.",
            hint="Follow the hand or foot that strikes; look at the overlay.",
        )
    lag = max(1, round(_SPAN / float(np.median(np.diff(times)))))
    speed = np.hypot(*(places[lag:] - places[:-lag]).T) / (times[lag:] - times[:-lag])
    end = int(np.argmax(speed)) + lag
    begin = min(max(0, int(np.searchsorted(times, times[end] - _TELLS))), end - 1)
    step = places[end] - places[begin]
    return np.asarray(step / np.hypot(*step))
