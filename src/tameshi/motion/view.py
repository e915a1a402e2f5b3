"""What a camera's standing does to speeds and lengths: nearer, slanting, read row by row.

Each is a factor on what was read off the picture, with what it leaves in doubt. Sources: pinhole camera,
derived in docs/film.md; the figures that are taken where nothing is stated are in the reference table
``film_limits``.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from tameshi.quantity import Quantity, Source, rectangular_u
from tameshi.reference import row


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """How the camera stood, as stated; None where it was not.

    Parameters
    ----------
    distance : float or None
        From lens to plane of motion, in metres.
    off_plane : float or None
        Half width within which the strike kept to the plane of the scale, in metres.
    motion_within : float or None
        Half width within which the strike kept parallel to that plane, in radians.
    square_within : float or None
        Half width within which the camera was square to it, in radians.
    read_out : float or None
        Time from the first row to the last, in seconds; 0 for a global shutter.
    """

    distance: float | None = None
    off_plane: float | None = None
    motion_within: float | None = None
    square_within: float | None = None
    read_out: float | None = None

    def stated(self, name: str) -> float:
        """Return what was stated, else what is taken."""
        typed = getattr(self, name)
        return (
            float(row("film_limits", name.replace("_", "-"))["half_width"]) if typed is None else float(typed)
        )

    def lens_at(self, field: float) -> float:
        """Return the distance of the lens: stated, else that of a wide lens that sees so wide a field."""
        if self.distance is not None:
            return self.distance
        return field * float(row("film_limits", "distance-of-width")["half_width"])


def perspective_error(offset: float, distance: float) -> float:
    """Return by which share lengths read too large where the motion is nearer than the scale.

    Parameters
    ----------
    offset : float
        How much nearer the motion is, in metres; negative where it is farther.
    distance : float
        From lens to scale, in metres.

    Notes
    -----
    To first order offset/distance; here exactly, offset/(distance - offset).
    """
    return offset / (distance - offset)


def slant_error(angle: float) -> float:
    """Return by which share a speed reads too small that leaves the plane by an angle, in radians."""
    return 1.0 - math.cos(angle)


def rolling_shutter_error(speed_along: float, read_out: float, height: float) -> float:
    """Return by which share speeds read too large with a sensor that is read row by row.

    Parameters
    ----------
    speed_along : float
        Speed along the direction in which rows are read, in m/s.
    read_out : float
        Seconds from the first row to the last.
    height : float
        What all rows see, in metres.
    """
    lag = speed_along * read_out / height
    return lag / (1.0 - lag)


def travel_per_frame(speed: float, rate: float) -> float:
    """Return how far something goes from frame to frame, in metres."""
    return speed / rate


def speed_u_of_line(place_u: float, rate: float, frames: int) -> float:
    """Return the standard uncertainty of a speed from a straight line through places, in m/s.

    Parameters
    ----------
    place_u : float
        Of each place, in metres.
    rate : float
        Frames a second.
    frames : int
    """
    steps = np.arange(frames) - 0.5 * (frames - 1)
    return float(place_u * rate / np.sqrt((steps**2).sum()))


def standing_factor(
    standing: Standing, *, key: str, setup: str, distance: float, off_axis: float, lever: float, leans: bool
) -> Quantity:
    """Return the factor on a speed in the picture that makes it the speed in space.

    Parameters
    ----------
    standing : Standing
    key : str
        Of this film: errors that another strike would draw anew.
    setup : str
        Of the camera and the scale: errors that strikes filmed alike share.
    distance : float
        From lens to plane, in metres.
    off_axis : float
        How far from the middle of the picture the strike is, along its motion, in metres.
    lever : float
        How far the strike is from where the scale was taken, twice along the motion and once across it, in
        metres.
    leans : bool
        Whether the scale already holds how the plane leans.

    Notes
    -----
    A motion that leaves the plane by an angle reads as the cosine, less its part towards the camera times how
    far from the axis it is seen: v' = v (cos a - sin a x/Z). The angle is anywhere within its half width. In
    a plane that leans by b the scale along the slope goes by 1 - 2 x sin b/Z, across it by half of that.
    """
    motion, square = standing.stated("motion_within"), standing.stated("square_within")
    slope = off_axis / distance
    factor = 1.0 / (1.0 - motion**2 / 6.0)
    parts = {
        Source(f"{key}:off-plane", "distance off the plane"): rectangular_u(
            standing.stated("off_plane") / distance
        ),
        Source(f"{key}:angle", "angle of the motion"): math.hypot(
            _u_of_cosine(motion), rectangular_u(math.tan(motion)) * slope
        ),
        Source(f"{setup}:square", "camera not square"): math.hypot(
            0.0 if leans else _u_of_cosine(square), rectangular_u(math.tan(square)) * lever / distance
        ),
        Source(f"{setup}:lens", "lens"): rectangular_u(float(row("film_limits", "lens")["half_width"])),
    }
    return Quantity(factor, "1", parts)


def _u_of_cosine(angle: float) -> float:
    """Return the standard uncertainty of a cosine whose angle is anywhere within ± angle, to second order."""
    return angle**2 * math.sqrt((1.0 / 5.0 - 1.0 / 9.0) / 4.0)
