"""A plane laid through one edge of a ruler, and the paper beside that edge."""

from dataclasses import dataclass, replace

import numpy as np

from tameshi.errors import UnmeasurableError
from tameshi.footprint.geometry.plane import Plane
from tameshi.footprint.picture.arrays import FloatArray
from tameshi.footprint.picture.view import View
from tameshi.footprint.references.reference import Asked
from tameshi.footprint.references.ruler.beside import Beside, paper_beside
from tameshi.footprint.references.ruler.lean import Lean, bevelled_lean, level_lean, unsaid_lean, unseen_lean
from tameshi.footprint.references.ruler.plane import Laid, Pose
from tameshi.footprint.references.ruler.row import RowFit
from tameshi.footprint.references.ruler.ticks import Row
from tameshi.quantity import rectangular_u
from tameshi.reference import row as stated_row

FLAT, BEVELLED = "flat", "bevelled"

_USUAL_FOCAL = 0.8  # of the picture's longer side
_BESIDE = 0.003  # metres from where the ticks end: the ruler's own rim and its shadow
_SMALLEST_ZONE = 0.01  # metres


@dataclass(frozen=True, slots=True)
class Lying:
    """A ruler's edge as it lies beside paper.

    Parameters
    ----------
    row : Row
        Its ticks.
    laid : Laid
    pose : Pose
        With the lean as it was taken.
    lean : Lean
    plane : Plane
        From metres on the paper, from the corner of ``beside``, to pixels.
    beside : Beside
        Counted along the ruler and off it.
    """

    row: Row
    laid: Laid
    pose: Pose
    lean: Lean
    plane: Plane
    beside: Beside


def lay(view: View, row: Row, pitch: float, edge_is: str, asked: Asked) -> Lying:
    """Lay a plane through a row of ticks.

    Parameters
    ----------
    view : View
    row : Row
    pitch : float
        Of its ticks, in metres.
    edge_is : str
        ``"flat"``, ``"bevelled"`` or, where nothing is said, empty.
    asked : Asked

    Raises
    ------
    UnmeasurableError
        ``no-reference``, ``too-tilted``, ``no-print``.
    """
    size = (view.pixels.shape[1], view.pixels.shape[0])
    fit, along = _right_handed(row)
    turned = along is not row.along
    splay = row.splay.backwards() if turned and row.splay is not None else row.splay
    laid = Laid(row.start, along, fit, pitch, size, splay)
    pose = _before(size, asked.focal)
    lean = _lean(laid, pose, edge_is)
    pose = replace(pose, across=lean.across)
    plane = Plane(laid.matrix(pose), _small_covariance(), float(len(row.numbers)), row.fit.scatter)
    ends = sorted(float(n) * pitch for n in (-1.0 if turned else 1.0) * row.numbers[[0, -1]])
    beside = paper_beside(view, plane, row.base / row.pitch * pitch + _BESIDE, (ends[0], ends[1]))
    if beside is None or min(beside.box.width, beside.box.height) < _SMALLEST_ZONE:
        raise UnmeasurableError(
            "no-print",
            "No paper was found beside the ruler's millimetre edge.",
            hint="Lay the edge with the millimetre ticks towards the print, on the same paper.",
        )
    shift = np.array([[1.0, 0.0, beside.box.left], [0.0, 1.0, beside.box.top], [0.0, 0.0, 1.0]])
    return Lying(row, laid, pose, lean, replace(plane, matrix=plane.matrix @ shift), beside)


def _before(size: tuple[int, int], focal: float | None) -> Pose:
    """Return what is known before the ticks are looked at: focal length, and height of the ticks."""
    height = float(stated_row("prints", "ruler-tick-height")["value"])
    if focal is None:
        return Pose(_USUAL_FOCAL, 0.0, height)
    spread = rectangular_u(float(stated_row("prints", "focal-length-written")["half_width"]))
    return Pose(focal * float(np.hypot(*size)) / max(size), 0.0, height, focal_spread=spread)


def _lean(laid: Laid, pose: Pose, edge_is: str) -> Lean:
    """Return how far the paper leans across the ruler, by its ticks and what is said of its edge."""
    splayed = laid.splayed(pose)
    if splayed is None:
        if edge_is == BEVELLED:
            return unseen_lean()
        raise UnmeasurableError(
            "no-reference",
            "The ruler's ticks are too short in the picture to tell how far they splay.",
            hint="Photograph it from nearer; or from straight above, and say ruler:bevelled.",
        )
    seen, u = splayed
    if edge_is == FLAT:
        return level_lean(seen, u)
    u_bevel = float(np.hypot(u, laid.u_by_focal(pose)))
    if edge_is != BEVELLED:
        return unsaid_lean(seen, u, u_bevel)
    lean = bevelled_lean(seen, u_bevel)
    if lean is None:
        raise UnmeasurableError(
            "too-tilted",
            f"The ticks are seen at {np.degrees(seen):.0f} degrees across the ruler, counted down towards "
            "the print: seen from straight above, no bevel looks so.",
            hint="Photograph ruler and print from straight above; if the ticks lie level, say ruler:flat.",
        )
    return lean


def _right_handed(row: Row) -> tuple[RowFit, FloatArray]:
    """Return the fit counted so that along the ruler and off it are right and down, seen from above."""
    if row.along[0] * row.aside[1] - row.along[1] * row.aside[0] > 0.0:
        return row.fit, row.along
    fit = row.fit
    flip = np.diag([-1.0, 1.0, -1.0])
    # place n -> -n and along -> -along: start changes sign with the way, step changes twice
    return RowFit(-fit.start, fit.step, -fit.turn, flip @ fit.covariance @ flip, fit.scatter), -row.along


def _small_covariance() -> FloatArray:
    """Return a covariance that says: not a scan. What the fit leaves open goes by place instead."""
    return np.eye(8) * 1e-30
