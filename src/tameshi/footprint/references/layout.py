"""Where everything on our target sheet is, in metres.

The sheet is struck with inked skin and photographed. Four square markers at its corners say where
the paper's plane is, a frame bounds the blank zone to strike, two bars of known length catch a
printer's scaling, three grey tints tell an overexposed photo. Coordinates run from the top left
corner of the paper, x to the right and y down. The drawing itself is made in ``report``.
"""

from dataclasses import dataclass
from functools import cache

import cv2
import numpy as np

from tameshi.errors import WrongUseError
from tameshi.footprint.geometry.box import Box
from tameshi.footprint.picture.arrays import FloatArray, Where
from tameshi.reference import row, table

DICTIONARY = cv2.aruco.DICT_4X4_50
MARKER_CELLS = 6
"""Cells along a marker's side: four of code, one of black border on either side."""

MARKER_PLACES = ("top left", "top right", "bottom right", "bottom left")
BAR_LENGTH = 0.100

_MARGIN = 0.010  # beyond what common printers leave blank, and a white rim for the markers
_MARKER_SIDE = 0.022
_GAP = 0.005
_STRIP = 0.020  # right-hand strip for the upright bar and the tints
_LINE = 0.0003
_TINT_SIDE = 0.006
_TINT_DARKNESS = (0.12, 0.30, 0.60)


@dataclass(frozen=True, slots=True)
class Bar:
    """A scale bar: a line of known length with a tick at either end.

    Parameters
    ----------
    start, end : (float, float)
        Its ends, in metres.
    """

    start: tuple[float, float]
    end: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Tint:
    """A square of even grey.

    Parameters
    ----------
    box : Box
    darkness : float
        Share of black ink: 0 is paper.
    """

    box: Box
    darkness: float


@dataclass(frozen=True, slots=True)
class Sheet:
    """The layout of one target sheet.

    Parameters
    ----------
    paper : str
        Key of the reference table ``papers``.
    width, height : float
        Of the paper, in metres.
    markers : four Box
        Outer edges of markers 0 to 3, clockwise from the top left.
    zone : Box
        Middle of the frame's line around the blank zone.
    line : float
        Width of printed lines, in metres.
    bars : (Bar, Bar)
        The horizontal one and the upright one.
    tints : tuple of Tint
        Lightest first.
    """

    paper: str
    width: float
    height: float
    markers: tuple[Box, ...]
    zone: Box
    line: float
    bars: tuple[Bar, Bar]
    tints: tuple[Tint, ...]

    @property
    def marker_corners(self) -> FloatArray:
        """The (4, 4, 2) corners of the markers, in metres."""
        return np.array([box.corners for box in self.markers])


@cache
def sheet_layout(paper: str) -> Sheet:
    """Return the layout of the target sheet for one paper size.

    Parameters
    ----------
    paper : str
        ``"a4"`` or ``"letter"``.

    Raises
    ------
    WrongUseError
        If there is no such paper.
    """
    key = paper.lower()
    if key not in table("papers").rows:
        raise WrongUseError(
            "unknown-paper",
            f"There is no target sheet for the paper {paper!r}.",
            hint=f"There are: {', '.join(table('papers').rows)}.",
        )
    size = row("papers", key)
    width, height = float(size["width"]), float(size["height"])
    near, right, below = _MARGIN, width - _MARGIN - _MARKER_SIDE, height - _MARGIN - _MARKER_SIDE
    places = ((near, near), (right, near), (right, below), (near, below))
    return Sheet(
        paper=key,
        width=width,
        height=height,
        markers=tuple(Box(x, y, x + _MARKER_SIDE, y + _MARKER_SIDE) for x, y in places),
        zone=Box(_MARGIN, near + _MARKER_SIDE + _GAP, width - _STRIP, below - _GAP),
        line=_LINE,
        bars=_bars(width, height),
        tints=_tints(width),
    )


def papers() -> tuple[str, ...]:
    """Return the papers there is a target sheet for."""
    return tuple(table("papers").rows)


def marker_cells(identity: int) -> Where:
    """Return the (6, 6) cells of a marker, true where black."""
    dictionary = cv2.aruco.getPredefinedDictionary(DICTIONARY)
    picture = cv2.aruco.generateImageMarker(dictionary, identity, MARKER_CELLS)
    return np.asarray(picture == 0)


def _bars(width: float, height: float) -> tuple[Bar, Bar]:
    half = BAR_LENGTH / 2.0
    x, y = width - 0.55 * _STRIP, height - _MARGIN - _MARKER_SIDE + 0.0015
    across, up = width / 2.0, height / 2.0
    return Bar((across - half, y), (across + half, y)), Bar((x, up - half), (x, up + half))


def _tints(width: float) -> tuple[Tint, ...]:
    left, top = width - 0.8 * _STRIP, _MARGIN + _MARKER_SIDE + 2.0 * _GAP
    step = _TINT_SIDE + 0.001
    return tuple(
        Tint(Box(left, top + n * step, left + _TINT_SIDE, top + n * step + _TINT_SIDE), darkness)
        for n, darkness in enumerate(_TINT_DARKNESS)
    )
