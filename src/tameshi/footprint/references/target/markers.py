"""Find the sheet's four markers in a picture.

They are looked for in a reduced copy first and in one way, since that is quick; in more ways and in finer
copies where some are missing. Their corners come out rough; ``edges`` makes them exact.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass

import cv2
import numpy as np

from tameshi.footprint.picture.arrays import FloatArray, Pixels
from tameshi.footprint.picture.view import View
from tameshi.footprint.references.layout import DICTIONARY, MARKER_PLACES

_LONG_SIDES = (1200, 2400, 4800)  # of the copies that are searched, in pixels
_WINDOWS, _ONE_WINDOW = (3, 23), (13, 13)  # pixels: dark is told from bright in windows up to so wide


@dataclass(frozen=True, slots=True)
class Marker:
    """One marker as seen.

    Parameters
    ----------
    identity : int
        0 to 3, clockwise from the sheet's top left.
    corners : (4, 2) array
        In pixels, clockwise from the marker's own top left.
    """

    identity: int
    corners: FloatArray


def find_markers(view: View) -> tuple[Marker, ...]:
    """Return the sheet's markers, roughly; the same identity may be seen twice.

    Parameters
    ----------
    view : View

    Returns
    -------
    tuple of Marker
        In the order of their identities.
    """
    found: tuple[Marker, ...] = ()
    for factor, windows in _tries(max(view.pixels.shape)):
        seen = tuple(_detected(view.smaller(factor, grey=True), factor, windows))
        found = seen if len(seen) > len(found) else found
        if {marker.identity for marker in found} == set(range(len(MARKER_PLACES))):
            break
    return tuple(sorted(found, key=lambda marker: marker.identity))


def _tries(long_side: int) -> Iterable[tuple[int, tuple[int, int]]]:
    """Return how many times smaller copies are looked at, and by which windows: the quickest first."""
    factors = tuple(dict.fromkeys(max(1, math.ceil(long_side / most)) for most in _LONG_SIDES))
    return ((factors[0], _ONE_WINDOW), *((factor, _WINDOWS) for factor in factors))


def _detected(grey: Pixels, factor: int, windows: tuple[int, int]) -> Iterable[Marker]:
    parameters = cv2.aruco.DetectorParameters()
    parameters.adaptiveThreshWinSizeMin, parameters.adaptiveThreshWinSizeMax = windows
    parameters.minMarkerPerimeterRate = 0.02
    parameters.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    detector = cv2.aruco.ArucoDetector(cv2.aruco.getPredefinedDictionary(DICTIONARY), parameters)
    corners, identities, _ = detector.detectMarkers(grey)
    for corner, identity in zip(corners, () if len(corners) == 0 else np.ravel(identities), strict=True):
        if identity < len(MARKER_PLACES):
            full = (corner.reshape(4, 2).astype(np.float64) + 0.5) * factor - 0.5
            yield Marker(int(identity), full)
