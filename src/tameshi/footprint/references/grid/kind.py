"""Scale from squared paper: printed lines of known pitch under the print.

Crossings all over the sheet fix the paper's plane and the lens's bend; nothing in the picture says
what the pitch is in metres, so somebody has to. The printed lines are taken out of the picture
before ink is looked for.
"""

from dataclasses import replace

import numpy as np

from tameshi.errors import Flag, UnitError, UnmeasurableError, WrongUseError
from tameshi.footprint.geometry.box import Box
from tameshi.footprint.geometry.plane import Plane, area_scatter, tilt
from tameshi.footprint.picture.arrays import FloatArray
from tameshi.footprint.picture.spread import UNKNOWN_SPREAD
from tameshi.footprint.picture.view import View
from tameshi.footprint.references.grid.bends import area_error
from tameshi.footprint.references.grid.fit import fit_points
from tameshi.footprint.references.grid.lattice import Lattice, find_lattice
from tameshi.footprint.references.grid.lines import without_lines
from tameshi.footprint.references.grid.reach import Reach, reach_of
from tameshi.footprint.references.reference import Asked, Kind, Reference, Strength, learnt, lens_said
from tameshi.footprint.references.slant import slant_flags
from tameshi.footprint.references.stated import stated_length
from tameshi.quantity import Quantity, Source, rectangular_u
from tameshi.reference import row

_FORM = "grid:5 mm"
_HOW = f"Say from line to line, finest lines: {_FORM} (or 1 mm, 2 mm, 4 mm, 10 mm, 1/4 in)."
_MEASURE = (
    "The pitch is that of the finest lines, not of the stronger ones: measure ten squares with a ruler."
)
_SMALLEST, _LARGEST = 0.0009, 0.0135  # metres: pitches that paper is printed with
_BLURRED = 8.0  # pixels: how wide a thin line may look
_THINNEST_LINE, _THICKEST_LINE = 0.00004, 0.0009  # metres: lines on paper, as seen
_LARGEST_SHEET, _SMALLEST_SHEET = 0.9, 0.11  # metres: sheets are smaller, and pictures show more
_FIVE, _TWO = 5, 2
_COARSEST_WITH_FIVES, _FINEST_WITH_TWOS = 0.0035, 0.0045  # metres: pitches of paper with stronger lines
_STRONGER, _ALIKE = 1.25, 1.2  # times the other lines, and they among each other
_ENOUGH = 10  # crossings of a kind
_LEAST_BOARD = 6  # squares each way
_BEND_WORTH_SAYING, _BEND_UNSEEN = 0.01, 0.005  # of an area
_LEAST_FLAT = 0.001  # of an area: paper is never flatter
_NEAREST = (
    0.5  # of the depth of what was followed: paper deduced beyond it may lie so near to the lens's plane
)
_HAIR = 1e-6  # of a pitch: rounding
_ROUND = 1e3  # millimetres in a metre


def sighting(view: View, asked: Asked) -> tuple[Strength, str]:
    """Return whether a picture shows squared paper; never whole, since its pitch must be said."""
    del asked
    if view.once(find_lattice) is None:
        return "none", ""
    return "part", "squared paper"


def establish(view: View, asked: Asked) -> Reference:
    """Return the reference that squared paper of a stated pitch gives.

    Raises
    ------
    WrongUseError
        ``wrong-pitch`` where what was typed is no pitch of squared paper.
    UnmeasurableError
        ``no-reference``, ``pitch-missing``, ``pitch-contradicted``, ``too-tilted``.
    """
    pitch = _stated(asked.argument)
    lattice = view.once(find_lattice)
    if lattice is None:
        raise UnmeasurableError(
            "no-reference",
            "No squared paper was found: no two families of thin lines cross evenly over the picture.",
            hint="Show at least ten squares each way around the print, sharp, evenly lit and from above.",
        )
    if pitch is None:
        raise UnmeasurableError(
            "pitch-missing",
            "The picture shows squared paper; nothing in it says how wide a square is.",
            hint=_HOW,
        )
    plane, places, off = _fitted(lattice, pitch)
    angle = tilt(plane, lattice.lens.width, lattice.lens.height)
    slanted = slant_flags(angle)
    reach = reach_of(lattice, view)
    board, corner = reach.size, np.array(reach.first) * pitch
    plane = _counted_from(plane, places, lattice, corner)
    if min(board) < _LEAST_BOARD:
        raise UnmeasurableError(
            "no-reference",
            f"Squared paper shows over {board[0]} by {board[1]} squares only.",
            hint="Show more of the sheet, flat and evenly lit, with the print in its middle.",
        )
    _require_credible(lattice, pitch, board)
    bend, flags = _bending(places - corner, off)
    region = _region(plane, reach, pitch)
    return Reference(
        kind="grid",
        plane=plane,
        region=region,
        followed=Box(0.0, 0.0, board[0] * pitch, board[1] * pitch),
        stretch=1.0,
        area_factor=_area_factor(plane, board, pitch, (bend, asked.key)),
        tilt=angle,
        spread=UNKNOWN_SPREAD,
        flags=(*slanted, *flags, *_doubt(board, pitch, lattice)),
        key=asked.key,
        said=(
            f"Squared paper of {pitch * _ROUND:.4g} mm as stated, {len(places)} crossings over {board[0]} by "
            f"{board[1]} squares, {angle:.0f} degrees from square"
            f"{lens_said(lattice.lens.k)}; its lines are left out of the ink."
        ),
        lens=learnt(lattice.lens, lattice.u_k, asked),
        straight=_straight(view, lattice, plane, (region, pitch)),
        framed=True,
        edge="the edge of the squares",
    )


def _region(plane: Plane, reach: Reach, pitch: float) -> Box:
    """Return the paper that the squares are printed on, unless the view is so slanted that it is endless."""
    whole, inner = reach.box(pitch), Box(0.0, 0.0, reach.size[0] * pitch, reach.size[1] * pitch)
    depths = [np.column_stack([box.corners, np.ones(4)]) @ plane.matrix[2] for box in (whole, inner)]
    return whole if float(depths[0].min()) > _NEAREST * float(depths[1].min()) else inner


def _straight(view: View, lattice: Lattice, plane: Plane, paper: tuple[Box, float]) -> View:
    """Return the picture with the lens undone and the printed lines taken out of the paper."""
    box, pitch = paper
    left, top, right, bottom = (
        int(way) * pitch
        for way in (
            *np.floor(np.array((box.left, box.top)) / pitch + _HAIR),
            *np.ceil(np.array((box.right, box.bottom)) / pitch - _HAIR),
        )
    )
    corner = np.array([[1.0, 0.0, left], [0.0, 1.0, top], [0.0, 0.0, 1.0]])
    shifted = replace(plane, matrix=plane.matrix @ corner)
    board = (round((right - left) / pitch), round((bottom - top) / pitch))
    return View(without_lines(View(lattice.lens.straighten(view.pixels)), shifted, board, pitch))


def _stated(argument: str) -> float | None:
    """Return the pitch that was typed, in metres, or None where none was."""
    if not argument.strip():
        return None
    try:
        pitch = stated_length(argument)
    except UnitError as error:
        raise _wrong(argument) from error
    if not _SMALLEST <= pitch <= _LARGEST:
        raise _wrong(argument)
    return pitch


def _wrong(argument: str) -> WrongUseError:
    return WrongUseError(
        "wrong-pitch", f"{argument.strip()!r} is no pitch of squared paper known here.", hint=_HOW
    )


def _require_credible(lattice: Lattice, pitch: float, board: tuple[int, int]) -> None:
    """Refuse a pitch that lines and sheet themselves contradict."""
    width = lattice.line_pixels / lattice.pitch_pixels * pitch
    size = max(board) * pitch
    stronger = _every_stronger(lattice)
    said = f"With a pitch of {pitch * _ROUND:.4g} mm"
    contradiction = ""
    if width < _THINNEST_LINE or (width > _THICKEST_LINE and lattice.line_pixels > _BLURRED):
        contradiction = (
            f"{said} the printed lines would be {width * _ROUND:.2f} mm thick: paper is not printed so."
        )
    elif size > _LARGEST_SHEET:
        contradiction = f"{said} the sheet would be {size:.1f} m long: the lines that were found are finer."
    elif stronger == _FIVE and pitch > _COARSEST_WITH_FIVES:
        contradiction = (
            f"Every fifth line is stronger, as on millimetre paper; {pitch * _ROUND:.4g} mm was said: that "
            "would be the pitch of the stronger lines."
        )
    elif stronger == _TWO and pitch < _FINEST_WITH_TWOS:
        contradiction = (
            f"{said} every fifth line should be stronger; it is every second: finer lines were not seen."
        )
    if contradiction:
        raise UnmeasurableError("pitch-contradicted", contradiction, hint=_MEASURE)


def _every_stronger(lattice: Lattice) -> int:
    """Return 5 or 2 where each fifth or second line is stronger both ways, 0 where none is."""
    for every in (_FIVE, _TWO):
        if all(_has_stronger(lattice, every, family) for family in (0, 1)):
            return every
    return 0


def _has_stronger(lattice: Lattice, every: int, family: int) -> bool:
    number = np.mod(lattice.index[:, family], every)
    kinds = [lattice.strength[number == n, family] for n in range(every)]
    if min(len(kind) for kind in kinds) < _ENOUGH:
        return False
    usual = np.sort([float(np.median(kind)) for kind in kinds])
    return bool(usual[-1] > _STRONGER * usual[-2] and usual[-2] < _ALIKE * usual[0])


def _doubt(board: tuple[int, int], pitch: float, lattice: Lattice) -> list[Flag]:
    """Remark on a sheet so small that finer lines may have been taken for the stated ones."""
    size = max(board) * pitch
    if size >= _SMALLEST_SHEET or _every_stronger(lattice) == _FIVE:
        return []
    message = (
        f"At the stated pitch the squares seen span {size * _ROUND:.0f} mm only. If that is too little, the "
        "lines that were found are not the finest ones, and areas are far too small."
    )
    return [Flag("pitch-doubtful", message)]


def _fitted(lattice: Lattice, pitch: float) -> tuple[Plane, FloatArray, FloatArray]:
    """Return the plane in metres, the crossings' places on the paper, and their misfit in metres."""
    places = lattice.index * pitch
    start = lattice.matrix @ np.diag([1.0 / pitch, 1.0 / pitch, 1.0])
    fitted = fit_points(places, lattice.seen, start, lattice.lens, bend=False)
    return fitted.plane, places, fitted.off * (pitch / lattice.pitch_pixels)


def _counted_from(plane: Plane, places: FloatArray, lattice: Lattice, corner: FloatArray) -> Plane:
    """Return the plane with places counted from another corner, fitted again for its covariance."""
    shift = np.array([[1.0, 0.0, corner[0]], [0.0, 1.0, corner[1]], [0.0, 0.0, 1.0]])
    return fit_points(places - corner, lattice.seen, plane.matrix @ shift, lattice.lens, bend=False).plane


def _bending(places: FloatArray, off: FloatArray) -> tuple[float, list[Flag]]:
    error = area_error(places, off)
    half = _BEND_UNSEEN if error is None else max(error, _LEAST_FLAT)
    if half <= _BEND_WORTH_SAYING:
        return half, []
    message = (
        f"The paper's lines bend: areas may be off by {100.0 * half:.1f} %. "
        "The sheet is not flat, or the lens bends straight lines."
    )
    return half, [Flag("sheet-not-flat", message)]


def _area_factor(plane: Plane, board: tuple[int, int], pitch: float, own: tuple[float, str]) -> Quantity:
    """Return what areas are multiplied by: one, with the errors of scale."""
    bend, key = own
    half = float(row("prints", "grid-pitch")["half_width"])
    named = f"grid:{pitch * _ROUND:.3f}mm"
    parts = {Source(f"{named}:{way}", "paper's pitch"): rectangular_u(half) for way in ("across", "along")}
    middle = (0.5 * board[0] * pitch, 0.5 * board[1] * pitch)
    parts[Source(f"{key}:points", "reference points", plane.dof)] = area_scatter(plane, middle)
    parts[Source(f"{key}:flatness", "flatness and lens")] = rectangular_u(bend)
    return Quantity(1.0, "1", parts)


GRID = Kind("grid", _FORM, sighting, establish)
"""Squared paper of stated pitch."""
