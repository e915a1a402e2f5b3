"""A plane through a ruler in a picture, and how well areas beside the ruler are known.

A row of ticks fixes a line in space but for the focal length. What is left is how far the plane leans about
that line: assumed, or read off the splay of the ticks where they lie as flat as the paper.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from tameshi.footprint.geometry.box import Box
from tameshi.footprint.picture.arrays import FloatArray
from tameshi.footprint.references.reference import Asked
from tameshi.footprint.references.ruler.lean import Lean
from tameshi.footprint.references.ruler.row import RowFit
from tameshi.footprint.references.ruler.splay import Splay
from tameshi.quantity import Quantity, Source, rectangular_u
from tameshi.reference import row as stated_row

_FOCAL_SPREAD = 0.3  # of the logarithm of focal lengths, where the camera wrote none
_LENS_MODEL = 0.1  # of what undoing a lens does: one coefficient is not the whole lens
_STEP = 0.02  # radians, for slopes
_ROUNDS = 6
_MOST = 0.9  # radians


@dataclass(frozen=True, slots=True)
class Pose:
    """What is taken for known when a plane is laid through a ruler.

    Parameters
    ----------
    focal : float
        As a share of the picture's longer side.
    across : float
        Lean across the ruler, in radians.
    height : float
        Of the ticks above the paper, in metres.
    focal_spread : float
        Standard uncertainty of the focal length's logarithm.
    """

    focal: float
    across: float
    height: float
    focal_spread: float = _FOCAL_SPREAD


@dataclass(frozen=True, slots=True)
class Laid:
    """A ruler in the picture, and planes through it.

    Parameters
    ----------
    start, along : (2,) arrays
        A point of the row of ticks and the unit way along it, in pixels.
    fit : RowFit
    pitch : float
        In metres.
    size : (int, int)
        Width and height of the picture, in pixels.
    splay : Splay or None
    """

    start: FloatArray
    along: FloatArray
    fit: RowFit
    pitch: float
    size: tuple[int, int]
    splay: Splay | None

    def _camera(self, focal: float) -> FloatArray:
        length = focal * max(self.size)
        return np.array(
            [
                [length, 0.0, (self.size[0] - 1) / 2.0],
                [0.0, length, (self.size[1] - 1) / 2.0],
                [0.0, 0.0, 1.0],
            ]
        )

    def _line(self, focal: float) -> tuple[FloatArray, FloatArray]:
        """Return tick zero in metres before the camera, and the unit way along the ruler."""
        back = np.linalg.inv(self._camera(focal))
        first = np.append(self.start + self.fit.start * self.along, 1.0)
        way = np.append(self.fit.turn * self.start + self.fit.step * self.along, self.fit.turn)
        lifted, turned = back @ first, back @ way
        length = float(np.linalg.norm(turned))
        return lifted * self.pitch / length, turned / length

    def lean(self, focal: float) -> float:
        """Return how far the camera leans along the ruler, in degrees."""
        _, way = self._line(focal)
        return float(np.degrees(np.arcsin(min(1.0, abs(float(way[2]))))))

    def matrix(self, pose: Pose) -> FloatArray:
        """Return the homography from metres, along the ruler and off it, to pixels."""
        first, way = self._line(pose.focal)
        facing = np.array([0.0, 0.0, 1.0]) - way[2] * way
        facing /= np.linalg.norm(facing)
        aside = np.cos(pose.across) * np.cross(facing, way) + np.sin(pose.across) * facing
        normal = np.cross(way, aside)
        lifted = self._camera(pose.focal) @ np.column_stack([way, aside, first + pose.height * normal])
        matrix: FloatArray = lifted / lifted[2, 2]
        return matrix

    def slant(self, pose: Pose) -> float:
        """Return the angle between the paper's normal and the line of sight, in degrees."""
        axes = np.linalg.inv(self._camera(pose.focal)) @ self.matrix(pose)[:, :2]
        normal = np.cross(axes[:, 0], axes[:, 1])
        return float(np.degrees(np.arccos(min(1.0, abs(float(normal[2])) / float(np.linalg.norm(normal))))))

    def splayed(self, pose: Pose) -> tuple[float, float] | None:
        """Return how far the ticks lean across the ruler and its standard uncertainty, in radians.

        None where too few ticks show. The ticks of a bevelled edge lean with the bevel.
        """
        if self.splay is None:
            return None
        seen, lean, slope = self.splay.change(), 0.0, 0.0
        for _ in range(_ROUNDS):
            values = [
                self.splay.expected(self.matrix(replace(pose, across=lean + step)), self.pitch)
                for step in (-_STEP, 0.0, _STEP)
            ]
            slope = (values[2] - values[0]) / (2.0 * _STEP)
            if slope == 0.0:
                return None
            lean = float(np.clip(lean + (seen - values[1]) / slope, -_MOST, _MOST))
        return lean, self.splay.scatter() / abs(slope)

    def u_by_focal(self, pose: Pose) -> float:
        """Return what the focal length's doubt does to how far the ticks lean across, in radians."""
        usual, longer = self.splayed(pose), self.splayed(_longer(pose))
        return 0.0 if usual is None or longer is None else abs(longer[0] - usual[0])


def _longer(pose: Pose) -> Pose:
    """Return the same with a focal length longer by its standard uncertainty."""
    return replace(pose, focal=pose.focal * float(np.exp(pose.focal_spread)))


def _log_area(matrix: FloatArray, seen: FloatArray) -> float:
    """Return the logarithm of the area on the paper of a pixel."""
    inverse = np.linalg.inv(matrix)
    lifted = inverse @ np.append(seen, 1.0)
    slope = (inverse[:2, :2] - np.outer(lifted[:2] / lifted[2], inverse[2, :2])) / lifted[2]
    return float(np.log(abs(np.linalg.det(slope))))


def _moved(fit: RowFit) -> list[RowFit]:
    """Return the fit moved by one standard uncertainty along each of its independent directions."""
    scale = np.sqrt(np.maximum(np.diag(fit.covariance), 1e-300))
    spread, axes = np.linalg.eigh(fit.covariance / np.outer(scale, scale))
    return [
        RowFit(fit.start + by[0], fit.step + by[1], fit.turn + by[2], fit.covariance, fit.scatter)
        for by in (scale[:, None] * axes * np.sqrt(np.maximum(spread, 0.0))).T
    ]


def _far(seen: FloatArray, laid: Laid) -> float:
    """Return the squared distance from the picture's middle, its corners being at one."""
    away = seen - (np.array(laid.size) - 1.0) / 2.0
    return float(away @ away) / (0.25 * (laid.size[0] ** 2 + laid.size[1] ** 2))


def local_factor(
    laid: Laid, pose: Pose, lean: Lean, shift: tuple[float, float], asked: Asked
) -> Callable[[Box], Quantity]:
    """Return what gives the factor of areas in a part of the paper, with the errors of scale there.

    Parameters
    ----------
    laid : Laid
    pose : Pose
        With the lean as it was taken.
    lean : Lean
    shift : (float, float)
        Where the plane's places are counted from, along the ruler and off it, in metres.
    asked : Asked
        With the picture's identity, and what is known of the lens.
    """
    key = asked.key
    within = lean.u * np.sqrt(3.0)
    height = rectangular_u(float(stated_row("prints", "ruler-tick-height")["half_width"]))
    bend = rectangular_u(float(stated_row("prints", "lens-bend")["half_width"]))
    if asked.lens is not None:
        bend = float(np.hypot(asked.lens.u, _LENS_MODEL * asked.lens.k))

    def local(box: Box) -> Quantity:
        middle = np.array([0.5 * (box.left + box.right), 0.5 * (box.top + box.bottom)]) + shift
        lifted = laid.matrix(pose) @ np.append(middle, 1.0)
        seen = lifted[:2] / lifted[2]
        usual = _log_area(laid.matrix(pose), seen)

        def change(other: Pose, ruler: Laid = laid) -> float:
            return _log_area(ruler.matrix(other), seen) - usual

        over, under = (change(replace(pose, across=pose.across + way * within)) for way in (1.0, -1.0))
        # areas lean to one side: foreshortening makes the mean over all leans larger than the middle
        mean = 1.0 + (over + under) / 6.0
        longer = _longer(pose)
        again = laid.splayed(longer) if lean.by_ticks else None
        longer = longer if again is None else replace(longer, across=again[0])
        points = [change(pose, replace(laid, fit=moved)) for moved in _moved(laid.fit)]
        parts = {
            **ruler_parts(),
            Source(f"{key}:across", "lean across the ruler"): rectangular_u(0.5 * (over - under)),
            Source(f"{key}:focal", "focal length"): change(longer),
            Source("ruler:height", "ruler's thickness"): change(replace(pose, height=pose.height + height)),
            Source(f"{key}:points", "reference points"): float(np.linalg.norm(points)),
            Source(f"{key}:lens", "lens"): 4.0 * bend * (_far(seen, laid) - _far(laid.start, laid)),
        }
        if lean.if_bevelled is not None:
            other = abs(change(replace(pose, across=lean.if_bevelled)))
            parts[Source(f"{key}:edge", "ruler's edge")] = min(
                rectangular_u(other), np.sqrt(lean.odds) * other
            )
        return Quantity(mean, "1", parts)

    return local


def ruler_parts() -> dict[Source, float]:
    """Return the errors of scale that photos with one ruler share, as shares of an area."""
    half = float(stated_row("prints", "ruler-scale")["half_width"])
    return {Source("ruler:scale", "ruler's scale"): 2.0 * rectangular_u(half)}
