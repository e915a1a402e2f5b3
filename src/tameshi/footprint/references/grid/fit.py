"""Fit a plane, and one bend of the lens, to many points of known place on the paper."""

import math
from dataclasses import dataclass, replace

import numpy as np

from tameshi.footprint.geometry.lens import Lens
from tameshi.footprint.geometry.plane import Plane
from tameshi.footprint.picture.arrays import FloatArray, Where

_ROUNDS = 8
_ROBUST_AFTER = 2.0  # residuals beyond so many scales count for less
_SMALLEST_SCATTER = 0.01  # pixels
_OUTLIER = 5.0  # scales
_SIGNIFICANT = 3.0  # standard uncertainties: less is no bend
_WITHOUT_LENS = 8  # unknowns of the plane alone


@dataclass(frozen=True, slots=True)
class Fitted:
    """A plane and a lens, fitted to points.

    Parameters
    ----------
    plane : Plane
        To pixels of the straightened picture.
    lens : Lens
    off : (n, 2) array
        What is left of each point, in pixels: seen less fitted.
    kept : (n,) array of bool
        Points that belong to it.
    u_k : float
        Standard uncertainty of the lens's coefficient; 0 where it was not fitted.
    """

    plane: Plane
    lens: Lens
    off: FloatArray
    kept: Where
    u_k: float = 0.0


def fit_points(places: FloatArray, seen: FloatArray, start: FloatArray, lens: Lens, *, bend: bool) -> Fitted:
    """Fit a homography to points, with one bend of the lens if that is asked for and shows.

    Parameters
    ----------
    places : (n, 2) array
        On the paper.
    seen : (n, 2) array
        In the picture as it is, in pixels.
    start : (3, 3) array
        A first guess of the homography.
    lens : Lens
        A first guess of the lens.
    bend : bool
        Whether to fit the bend.

    Notes
    -----
    Gauss-Newton with Huber's weights; covariance s^2 (J'WJ)^-1, that of the homography with the bend
    unknown beside it. Derived.
    """
    if bend:
        fitted = _fit(places, seen, start, lens, count=9)
        if abs(fitted.lens.k) > _SIGNIFICANT * fitted.u_k:
            return fitted
        flat = _fit(places, seen, fitted.plane.matrix, replace(lens, k=0.0), count=8)
        return replace(flat, u_k=fitted.u_k)
    return _fit(places, seen, start, lens, count=8)


def _fit(places: FloatArray, seen: FloatArray, start: FloatArray, lens: Lens, *, count: int) -> Fitted:
    unknowns = np.append((start / start[2, 2]).ravel()[:8], lens.k)[:count]
    weights = np.ones(2 * len(places))
    for _ in range(_ROUNDS):
        off, slopes = _residuals(unknowns, places, seen, lens)
        scaled = np.linalg.norm(slopes, axis=0)
        normal = (slopes / scaled).T * weights
        step = np.linalg.lstsq(normal @ (slopes / scaled), normal @ off, rcond=None)[0] / scaled
        unknowns = unknowns + step
        weights = np.minimum(1.0, _ROBUST_AFTER * _scale(off) / np.maximum(np.abs(off), 1e-12))
    off, slopes = _residuals(unknowns, places, seen, lens)
    scaled = np.linalg.norm(slopes, axis=0)
    dof = max(1, 2 * len(places) - count)
    scatter = max(float(weights @ off**2) / dof, _SMALLEST_SCATTER**2)
    information = ((slopes / scaled).T * weights) @ (slopes / scaled)
    covariance = scatter * np.linalg.pinv(information) / np.outer(scaled, scaled)
    apart = off.reshape(-1, 2)
    kept = np.linalg.norm(apart, axis=1) <= _OUTLIER * _scale(off)
    residual = math.sqrt(float(np.mean(np.sum(apart[kept] ** 2, axis=1)))) if kept.any() else math.inf
    plane = Plane(np.append(unknowns[:8], 1.0).reshape(3, 3), covariance[:8, :8], float(dof), residual)
    unsure = math.sqrt(float(covariance[8, 8])) if count > _WITHOUT_LENS else 0.0
    return Fitted(plane, _bending(lens, unknowns), apart, np.asarray(kept), unsure)


def _bending(lens: Lens, unknowns: FloatArray) -> Lens:
    return replace(lens, k=float(unknowns[8])) if len(unknowns) > _WITHOUT_LENS else lens


def _scale(off: FloatArray) -> float:
    return max(1.4826 * float(np.median(np.abs(off))), _SMALLEST_SCATTER)


def _residuals(
    unknowns: FloatArray, places: FloatArray, seen: FloatArray, lens: Lens
) -> tuple[FloatArray, FloatArray]:
    """Return how far points are seen from where they should be, and the slopes of the latter."""
    lens = _bending(lens, unknowns)
    matrix = np.append(unknowns[:8], 1.0).reshape(3, 3)
    lifted = np.column_stack([places, np.ones(len(places))])
    depth = lifted @ matrix[2]
    point = (lifted @ matrix[:2].T) / depth[:, None]
    slopes = np.zeros((len(places), 2, len(unknowns)))
    slopes[:, 0, 0:3] = slopes[:, 1, 3:6] = lifted / depth[:, None]
    slopes[:, :, 6:8] = -point[:, :, None] * (places / depth[:, None])[:, None, :]
    if lens.k:
        slopes[:, :, :8] = lens.slope(point) @ slopes[:, :, :8]
    if len(unknowns) > _WITHOUT_LENS:
        slopes[:, :, 8] = lens.push(point)
    return (seen - lens.bent(point)).ravel(), slopes.reshape(-1, len(unknowns))
