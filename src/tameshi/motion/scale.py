"""From pixels to metres in the plane of motion: a known length that was picked, or square markers.

What a scale gives is a (2, 2) matrix: pixels across and down to metres right and down. A picked length gives
the same scale both ways; a square marker in the plane also shows how the plane leans where it is.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

import numpy as np

from tameshi.errors import WrongUseError
from tameshi.motion.arrays import FloatArray
from tameshi.quantity import parse_quantity, rectangular_u

_LENGTH = re.compile(r"^\s*([-0-9.]+)\s*,\s*([-0-9.]+)\s+([-0-9.]+)\s*,\s*([-0-9.]+)\s*=\s*(.+?)\s*$")
_SHORTEST = 20.0  # pixels of a known length, and of a marker's side
_SAME = 1e-12


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class KnownLength:
    """A length in the plane of motion, picked in the picture.

    Parameters
    ----------
    ends : (2, 2) array
        Pixels across and down.
    length : float
        Metres.
    picked_within : float
        Half width within which each end was picked, in pixels.
    known_within : float
        Half width within which the length is known, in metres.
    """

    ends: FloatArray
    length: float
    picked_within: float
    known_within: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Scale:
    """Metres for pixels, around a place.

    Parameters
    ----------
    matrix : (2, 2) array
        Metres for pixels.
    at : (2, 2) or (2,) array
        Where it was taken: the middle, in pixels.
    picking : float
        Relative standard uncertainty from picking or finding its ends.
    length : float
        Relative standard uncertainty of the known length itself.
    leans : bool
        Whether how the plane leans is already in the matrix.
    said : str
        Where it comes from, in words.
    """

    matrix: FloatArray
    at: FloatArray
    picking: float
    length: float
    leans: bool
    said: str

    @property
    def metre(self) -> float:
        """Metres a pixel, on average."""
        return math.sqrt(abs(float(np.linalg.det(self.matrix))))


def parse_length(
    text: str, *, picked_within: float, known_within: str | None, default_within: float
) -> KnownLength:
    """Return a known length as typed: ``"120,640 840,642 = 50 cm"``.

    Raises
    ------
    WrongUseError
        ``wrong-scale``.
    UnitError
        Where the length has no unit, or one of another kind.
    """
    match = _LENGTH.match(text)
    try:
        ends = np.array([float(match[n]) for n in range(1, 5)]).reshape(2, 2) if match else None
    except ValueError:
        ends = None
    if match is None or ends is None:
        raise WrongUseError(
            "wrong-scale",
            f"{text!r} is no known length.",
            hint='Write its two ends in pixels and its length: "120,640 840,642 = 50 cm".',
        )
    within = default_within if known_within is None else parse_quantity(known_within, "length")
    known = KnownLength(
        ends=ends, length=parse_quantity(match[5], "length"), picked_within=picked_within, known_within=within
    )
    _require_sense(known)
    return known


def _require_sense(known: KnownLength) -> None:
    pixels = float(np.hypot(*(known.ends[1] - known.ends[0])))
    if pixels < _SHORTEST:
        raise WrongUseError(
            "scale-too-short",
            f"The known length has {pixels:.0f} pixels; {_SHORTEST:.0f} are needed at least.",
            hint="Pick the ends of something longer, or film closer.",
        )
    if not known.length > 0.0 or not 0.0 <= known.known_within < known.length:
        raise WrongUseError("wrong-scale", "A known length is longer than nothing, and than its doubt.")
    if not known.picked_within > 0.0:
        raise WrongUseError(
            "wrong-scale", "Nothing is picked exactly.", hint="Give --picked-within above 0 pixels."
        )


def scale_of_length(known: KnownLength, pixel_aspect: float = 1.0) -> Scale:
    """Return the scale that a known length gives, the same in both directions."""
    across = np.diag([pixel_aspect, 1.0])
    vector = across @ (known.ends[1] - known.ends[0])
    pixels = float(np.hypot(*vector))
    return Scale(
        matrix=across * (known.length / pixels),
        at=known.ends.mean(axis=0),
        picking=math.sqrt(2.0) * rectangular_u(known.picked_within) / pixels,
        length=rectangular_u(known.known_within) / known.length,
        leans=False,
        said=f"a length of {known.length:g} m over {pixels:.0f} pixels, picked to within "
        f"{known.picked_within:g}",
    )


def scale_of_square(
    corners: FloatArray, side: float, *, corner_u: float, side_within: float, said: str
) -> Scale:
    """Return the scale that a square of known side gives, with how its plane leans there.

    Parameters
    ----------
    corners : (4, 2) array
        Pixels, clockwise from the top left one of the square as it hangs.
    side : float
        Metres.
    corner_u : float
        Standard uncertainty of each corner, in pixels.
    side_within : float
        Half width within which the side is known, in metres.
    said : str

    Notes
    -----
    The (3, 3) matrix from square to picture is followed to its slopes at the middle, whose inverse is the
    scale.
    """
    pixels = float(np.hypot(*(np.roll(corners, -1, axis=0) - corners).T).mean())
    if pixels < _SHORTEST:
        raise WrongUseError(
            "scale-too-short",
            f"The marker's side has {pixels:.0f} pixels; {_SHORTEST:.0f} are needed at least.",
            hint="Use a larger marker or film closer; or pick a longer known length with --scale.",
        )
    slopes, middle = _slopes(corners, side)
    return Scale(
        matrix=np.asarray(np.linalg.inv(slopes), np.float64),
        at=middle,
        # the scale along one direction is the mean of two sides, each with two ends
        picking=corner_u / pixels,
        length=rectangular_u(side_within) / side,
        leans=True,
        said=said,
    )


def _slopes(corners: FloatArray, side: float) -> tuple[FloatArray, FloatArray]:
    """Return pixels for metres at the middle of a square, and where that middle is seen."""
    places = 0.5 * side * np.array([(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)])
    rows = []
    for (x, y), (u, v) in zip(places, corners, strict=True):
        rows.append([x, y, 1.0, 0.0, 0.0, 0.0, -u * x, -u * y])
        rows.append([0.0, 0.0, 0.0, x, y, 1.0, -v * x, -v * y])
    h = np.linalg.solve(np.array(rows), corners.ravel())
    middle = np.array([h[2], h[5]])
    return np.array(
        [[h[0] - h[6] * h[2], h[1] - h[7] * h[2]], [h[3] - h[6] * h[5], h[4] - h[7] * h[5]]]
    ), middle
