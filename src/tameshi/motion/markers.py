"""Square markers (ArUco, DICT_4X4_50) in frames: which there are, where, and whether they stay."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np

from tameshi.errors import UnmeasurableError, WrongUseError
from tameshi.motion.arrays import FloatArray, Pixels
from tameshi.motion.film import Film
from tameshi.motion.squares import exact_corners

_LOOKED_AT = 9  # frames, spread over the film
_UPSIDE = np.array([(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class StillMarker:
    """A marker that stays, over several frames.

    Parameters
    ----------
    identity : int
    corners : (4, 2) array
        Mean, in pixels, clockwise from the top left corner of the picture's own up.
    corner_u : float
        Standard uncertainty of each corner, in pixels.
    moved : float
        Farthest that its middle went from its mean, in pixels.
    """

    identity: int
    corners: FloatArray
    corner_u: float
    moved: float


def find_squares(grey: Pixels) -> dict[int, FloatArray]:
    """Return the corners of the markers in a frame by identity; a twice-seen identity is left out."""
    parameters = cv2.aruco.DetectorParameters()
    parameters.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    parameters.cornerRefinementWinSize = 3
    dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50)
    corners, identities, _ = cv2.aruco.ArucoDetector(dictionary, parameters).detectMarkers(grey)
    numbers = [] if len(corners) == 0 else [int(n) for n in np.ravel(identities)]
    return {
        number: corner.reshape(4, 2).astype(np.float64)
        for number, corner in zip(numbers, corners, strict=True)
        if numbers.count(number) == 1
    }


def still_marker(film: Film, identity: int) -> StillMarker:
    """Return a marker that gives the scale.

    Raises
    ------
    UnmeasurableError
        ``no-marker``.
    """
    looked = sorted({int(n) for n in np.linspace(0, len(film.frames) - 1, _LOOKED_AT)})
    found = [find_squares(film.frames[n]) for n in looked]
    seen = [one[identity] for one in found if identity in one]
    if not seen:
        others = sorted({number for one in found for number in one})
        listed = f"there are {', '.join(map(str, others))}" if others else "none of DICT_4X4_50 is there"
        raise UnmeasurableError(
            "no-marker",
            f"Marker {identity} is not found in the film; {listed}.",
            hint="Keep a white border around it, light it evenly, and let it fill 40 pixels at least.",
        )
    stack = np.array(
        [
            exact_corners(film.frames[n], one[identity])
            for n, one in zip(looked, found, strict=True)
            if identity in one
        ]
    )
    corners = stack.mean(axis=0)
    middles = stack.mean(axis=1)
    scatter = float(stack.std(axis=0).mean())
    return StillMarker(
        identity=identity,
        corners=_from_the_top(corners),
        corner_u=max(_CORNER, scatter / np.sqrt(len(seen))),
        moved=float(np.hypot(*(middles - middles.mean(axis=0)).T).max()),
    )


_CORNER = 0.1  # pixels: what stays alike in every frame


def require_identity(number: int) -> int:
    """Return the identity of a marker, if there can be such a one.

    Raises
    ------
    WrongUseError
        ``no-such-marker``.
    """
    if not 0 <= number < 50:  # noqa: PLR2004  the dictionary's size is in its name
        raise WrongUseError("no-such-marker", f"There is no marker {number}.", hint="They go from 0 to 49.")
    return number


def _from_the_top(corners: FloatArray) -> FloatArray:
    """Return corners in the order of the picture's own up: the marker may hang turned by quarters."""
    away = corners - corners.mean(axis=0)
    turns = [float((np.roll(away, -k, axis=0) * _UPSIDE).sum()) for k in range(4)]
    return np.roll(corners, -int(np.argmax(turns)), axis=0)
