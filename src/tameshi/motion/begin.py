"""What is followed, and from where: a picked place, a square marker, or the one round marker there is."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

import cv2
import numpy as np

from tameshi.errors import UnmeasurableError, WrongUseError
from tameshi.motion.arrays import FloatArray, Light, Pixels
from tameshi.motion.film import Film
from tameshi.motion.markers import find_squares, require_identity
from tameshi.motion.pattern import Pattern, patch_pattern, round_pattern
from tameshi.motion.round_marker import RoundMarker, round_marker_at

_PLACE = re.compile(r"^\s*([0-9.]+)\s*[,;]\s*([0-9.]+)(?:\s+in\s+frame\s+([0-9]+))?\s*$")
_MARKER = re.compile(r"^\s*marker\s+([0-9]+)\s*$")
_FORM = '"412,255", "412,255 in frame 12" or "marker 3"'
_PATCH = 14.0  # pixels: half of the side of a patch that is no marker
_AROUND_SQUARE = 1.12  # of a square marker's half side: its white border counts as well
_LOOKED_AT = 4  # frames that are searched for a marker
_LEAST_CONTRAST = 40.0  # stored values
_FAINTER = 0.6  # of the strongest contrast: fainter ones are no markers
_SAME = 12.0  # pixels: candidates nearer to each other are one
_LEAST_TEXTURE = 3.0  # stored values of scatter in a patch


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Follow:
    """What to follow, as asked.

    Parameters
    ----------
    place : (2,) array or None
        Pixels.
    frame : int or None
        Number of the frame that it was picked in; the first that is read where None.
    marker : int or None
        Identity of a square marker.
    """

    place: FloatArray | None = None
    frame: int | None = None
    marker: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Begun:
    """What is followed, as found.

    Parameters
    ----------
    pattern : Pattern
    place : (2,) array
        Its middle, in pixels.
    index : int
        Of the frame.
    said : str
        What it is, in words.
    """

    pattern: Pattern
    place: FloatArray
    index: int
    said: str


def parse_follow(text: str | None) -> Follow:
    """Return what to follow as typed; nothing typed leaves it to be found.

    Raises
    ------
    WrongUseError
        ``wrong-follow``.
    """
    if text is None:
        return Follow()
    if (match := _MARKER.match(text)) is not None:
        return Follow(marker=require_identity(int(match[1])))
    match = _PLACE.match(text)
    try:
        if match is not None:
            place = np.array([float(match[1]), float(match[2])])
            return Follow(place=place, frame=int(match[3]) if match[3] else None)
    except ValueError:
        pass
    raise WrongUseError("wrong-follow", f"{text!r} says nothing to follow.", hint=f"Write {_FORM}.")


def begin(film: Film, asked: Follow, *, but: int | None = None) -> Begun:
    """Return what is followed.

    Parameters
    ----------
    film : Film
    asked : Follow
    but : int or None
        Identity of a square marker that gives the scale and is not followed.

    Raises
    ------
    UnmeasurableError
        ``no-marker``, ``marker-ambiguous``, ``nothing-to-follow``.
    WrongUseError
        ``no-such-frame``, ``point-outside``.
    """
    if asked.marker is not None:
        return _square(film, asked.marker)
    if asked.place is not None:
        return _picked(film, asked.place, film.index_of(asked.frame) if asked.frame is not None else 0)
    return _found(film, but)


def _square(film: Film, identity: int) -> Begun:
    for n, frame in enumerate(film.frames):
        corners = find_squares(frame).get(identity)
        if corners is None:
            continue
        middle = corners.mean(axis=0)
        side = float(np.hypot(*(np.roll(corners, -1, axis=0) - corners).T).mean())
        pattern = patch_pattern(frame.astype(np.float32), middle, 0.5 * side * _AROUND_SQUARE)
        return Begun(pattern=pattern, place=middle, index=n, said=f"marker {identity}")
    raise UnmeasurableError(
        "no-marker",
        f"Marker {identity} is found in no frame.",
        hint="Keep a white border around it, and let it rest in view before the strike.",
    )


def _picked(film: Film, place: FloatArray, index: int) -> Begun:
    width, height = film.size
    if not (0 <= place[0] < width and 0 <= place[1] < height):
        raise WrongUseError(
            "point-outside",
            f"The place {place[0]:g},{place[1]:g} is outside of the picture of {width} x {height} pixels.",
            hint="Count pixels from the top left corner of the picture as it is shown upright.",
        )
    light = film.frames[index].astype(np.float32)
    marker = round_marker_at(light, place)
    if marker is not None and abs(marker.contrast) >= _LEAST_CONTRAST:
        return _of_round(light, marker, index)
    return _of_patch(light, place, index)


def _of_patch(light: Light, place: FloatArray, index: int) -> Begun:
    pattern = patch_pattern(light, place, _PATCH)
    if float(pattern.light[pattern.known > 0.0].std()) < _LEAST_TEXTURE:
        raise UnmeasurableError(
            "nothing-to-follow",
            f"Around {place[0]:.0f},{place[1]:.0f} the picture is even: there is nothing to follow.",
            hint="Pick a place with detail, or put a round marker on the hand.",
        )
    return Begun(pattern=pattern, place=place.astype(np.float64), index=index, said="a picked patch")


def _of_round(light: Light, marker: RoundMarker, index: int) -> Begun:
    pattern = round_pattern(light, marker.middle, marker.radius, marker.surround)
    return Begun(
        pattern=pattern,
        place=marker.middle,
        index=index,
        said=f"a round marker, {2.0 * marker.radius:.0f} pixels wide",
    )


def _found(film: Film, but: int | None) -> Begun:
    """Return the only round marker in the first frame that has any marker, or the only square one."""
    for n in sorted({int(k) for k in np.linspace(0, 0.5 * len(film.frames), _LOOKED_AT)}):
        frame = film.frames[n]
        squares = find_squares(frame)
        light = frame.astype(np.float32)
        rounds = _standing_out(list(_rounds(frame, light, list(squares.values()))))
        others = [identity for identity in squares if identity != but]
        if len(rounds) > 1 or (not rounds and len(others) > 1):
            places = [f"{m.middle[0]:.0f},{m.middle[1]:.0f}" for m in rounds]
            named = [f"marker {identity}" for identity in others]
            raise UnmeasurableError(
                "marker-ambiguous",
                f"Frame {film.first + n} shows several things to follow: {'; '.join([*places, *named])}.",
                hint=f"Say which: --follow with {_FORM}.",
            )
        if rounds:
            return _of_round(light, rounds[0], n)
        if others:
            return _square(film, others[0])
    raise UnmeasurableError(
        "no-marker",
        "No round or square marker stands out in the film.",
        hint=f"Pick what to follow: --follow with {_FORM}.",
    )


def _standing_out(markers: list[RoundMarker]) -> list[RoundMarker]:
    """Return the markers of about the greatest contrast: spots of a wall or a glove are fainter."""
    most = max((abs(marker.contrast) for marker in markers), default=0.0)
    return [marker for marker in markers if abs(marker.contrast) > _FAINTER * most]


def _rounds(frame: Pixels, light: Light, squares: list[FloatArray]) -> Iterator[RoundMarker]:
    """Yield the round markers of a frame that are no part of a square one."""
    seen: list[FloatArray] = []
    for colour in (0, 255):
        parameters = cv2.SimpleBlobDetector.Params()
        parameters.filterByColor, parameters.blobColor = True, colour
        parameters.filterByArea, parameters.minArea, parameters.maxArea = True, 25.0, 15_000.0
        parameters.filterByCircularity, parameters.minCircularity = True, 0.8
        parameters.filterByInertia, parameters.minInertiaRatio = True, 0.5
        parameters.filterByConvexity, parameters.minConvexity = True, 0.9
        parameters.minThreshold, parameters.maxThreshold, parameters.thresholdStep = 20.0, 235.0, 15.0
        for point in cv2.SimpleBlobDetector.create(parameters).detect(frame):
            place = np.array(point.pt)
            marker = round_marker_at(light, place)
            if marker is None or abs(marker.contrast) < _LEAST_CONTRAST:
                continue
            if any(float(np.hypot(*(marker.middle - other))) < _SAME for other in seen):
                continue
            if any(_inside(marker.middle, corners) for corners in squares):
                continue
            seen.append(marker.middle)
            yield marker


def _inside(place: FloatArray, corners: FloatArray) -> bool:
    return bool(
        cv2.pointPolygonTest(corners.astype(np.float32), tuple(map(float, place)), measureDist=False) >= 0
    )
