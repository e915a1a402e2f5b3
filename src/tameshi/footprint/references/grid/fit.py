"""Fit a plane, and one bend of the lens, to many points of known place on the paper."""

import math
from dataclasses import dataclass, replace

import numpy as np

from tameshi.footprint.geometry.lens import Lens
from tameshi.footprint.geometry.plane import Plane, seen_and_slopes
from tameshi.footprint.geometry.robust import Robust, settle
from tameshi.footprint.picture.arrays import FloatArray, Where

_ROBUST = Robust(8, 2.0, 0.01)  # crossings are never known better than so many pixels
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
    As in ``settle``; the covariance is that of the homography with the bend unknown beside it. Derived.
    """
    if bend:
        fitted = _fit(places, seen, start, lens, count=9)
        if abs(fitted.lens.k) > _SIGNIFICANT * fitted.u_k:
            return fitted
        flat = _fit(places, seen, fitted.plane.matrix, replace(lens, k=0.0), count=8)
        return replace(flat, u_k=fitted.u_k)
    return _fit(places, seen, start, lens, count=8)


def _fit(places: FloatArray, seen: FloatArray, start: FloatArray, lens: Lens, *, count: int) -> Fitted:
    settled = settle(
        np.append((start / start[2, 2]).ravel()[:8], lens.k)[:count],
        lambda unknowns: _residuals(unknowns, places, seen, lens),
        _ROBUST,
    )
    unknowns, apart = settled.unknowns, settled.off.reshape(-1, 2)
    covariance = settled.variance(_ROBUST.smallest) * settled.unit
    kept = np.linalg.norm(apart, axis=1) <= _OUTLIER * _ROBUST.scale(settled.off)
    residual = math.sqrt(float(np.mean(np.sum(apart[kept] ** 2, axis=1)))) if kept.any() else math.inf
    plane = Plane(
        np.append(unknowns[:8], 1.0).reshape(3, 3), covariance[:8, :8], float(settled.dof), residual
    )
    unsure = math.sqrt(float(covariance[8, 8])) if count > _WITHOUT_LENS else 0.0
    return Fitted(plane, _bending(lens, unknowns), apart, np.asarray(kept), unsure)


def _bending(lens: Lens, unknowns: FloatArray) -> Lens:
    return replace(lens, k=float(unknowns[8])) if len(unknowns) > _WITHOUT_LENS else lens


def _residuals(
    unknowns: FloatArray, places: FloatArray, seen: FloatArray, lens: Lens
) -> tuple[FloatArray, FloatArray]:
    """Return how far points are seen from where they should be, and the slopes of the latter."""
    lens = _bending(lens, unknowns)
    point, by_matrix, _ = seen_and_slopes(unknowns[:8], places)
    slopes = np.zeros((len(places), 2, len(unknowns)))
    slopes[:, :, :8] = by_matrix
    if lens.k:
        slopes[:, :, :8] = lens.slope(point) @ slopes[:, :, :8]
    if len(unknowns) > _WITHOUT_LENS:
        slopes[:, :, 8] = lens.push(point)
    return (seen - lens.bent(point)).ravel(), slopes.reshape(-1, len(unknowns))
