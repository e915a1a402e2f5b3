"""The paper's plane in the picture: from metres on the paper to pixels and back.

A pinhole camera maps a plane by a homography. It is fitted to corners of known place by weighted
least squares, together with one length more: how far every printed edge seems moved outwards (toner
spreads, bright paper blooms), so that this does not pull at the scale. What the corners scatter
about the fit says how well the plane is known.
"""

import math
from dataclasses import dataclass

import cv2
import numpy as np

from tameshi.footprint.geometry.box import Box
from tameshi.footprint.geometry.lens import Lens
from tameshi.footprint.geometry.resample import looked_up, warped
from tameshi.footprint.geometry.robust import Robust, settle
from tameshi.footprint.picture.arrays import FloatArray, Pixels
from tameshi.footprint.picture.view import View

_ROUNDS = 6
# corners are never known better than 0.02 pixels, and steps that move them by less than 1e-7 are none
_ROBUST = Robust(_ROUNDS, 2.5, 0.02, 1e-7)
_UNKNOWNS = 9
_FOCALS = np.geomspace(0.3, 4.0, 120)  # of the picture's longer side
_USUAL_FOCAL, _FOCAL_SPREAD = 0.8, 0.35  # phones and standard lenses; spread of its logarithm
_WRITTEN_SPREAD = 0.07  # of the logarithm of a focal length that the camera wrote
_SQUARENESS = 0.01


@dataclass(frozen=True, slots=True)
class Plane:
    """Where the paper's plane is.

    Parameters
    ----------
    matrix : (3, 3) array
        Homography from metres on the paper to pixels; a pixel's middle is a whole number.
    covariance : (8, 8) array
        Of its entries but the last, which is one; zeros where the scale is stated.
    dof : float
        Degrees of freedom of that covariance.
    residual : float
        Root mean square distance between corners and fit, in pixels.
    edge_shift : float
        How far printed edges seem moved outwards, in metres.
    lens : Lens or None
        What bends the picture after the homography; None where nothing is known to.
    """

    matrix: FloatArray
    covariance: FloatArray
    dof: float = math.inf
    residual: float = 0.0
    edge_shift: float = 0.0
    lens: Lens | None = None


def stated_plane(metres_a_pixel: tuple[float, float]) -> Plane:
    """Return the plane of a scan, whose corner is the picture's corner."""
    x, y = metres_a_pixel
    matrix = np.array([[1.0 / x, 0.0, -0.5], [0.0, 1.0 / y, -0.5], [0.0, 0.0, 1.0]])
    return Plane(matrix, np.zeros((8, 8)))


def is_scan(plane: Plane) -> bool:
    """Return whether pixels lie along the paper's edges, so that a part can be cut out unchanged."""
    return not plane.covariance.any()


def fit_plane(places: FloatArray, outwards: FloatArray, seen: FloatArray) -> Plane:
    """Fit a plane to corners seen in a picture.

    Parameters
    ----------
    places : (n, 2) array, n >= 8
        Where the corners are on the paper, in metres.
    outwards : (n, 2) array
        Direction in which each moves when printed edges grow: (-1, -1) for a top left corner.
    seen : (n, 2) array
        Where they are in the picture, in pixels.

    Returns
    -------
    Plane

    Notes
    -----
    As in ``settle``, with the covariance scaled by what the corners scatter. Derived.
    """
    found = cv2.findHomography(places, seen)[0]
    # without any agreement it returns no array at all, whatever its declared type
    start = np.asarray(found, np.float64) if isinstance(found, np.ndarray) else np.eye(3)
    settled = settle(
        np.append((start / start[2, 2]).ravel()[:8], 0.0),
        lambda unknowns: _residuals(unknowns, places, outwards, seen),
        _ROBUST,
    )
    unknowns, off, dof = settled.unknowns, settled.off, settled.dof
    covariance = settled.variance(_ROBUST.smallest) * settled.unit
    matrix = np.append(unknowns[:8], 1.0).reshape(3, 3)
    residual = math.sqrt(2.0 * float(np.mean(off**2)))
    return Plane(matrix, covariance[:8, :8], float(dof), residual, float(unknowns[8]))


def fit_known(places: FloatArray, seen: FloatArray, covariance: FloatArray) -> Plane:
    """Fit a plane to points whose doubt is known: as many as fix it, or more.

    Parameters
    ----------
    places : (n, 2) array, n >= 4
        Where the points are on the paper, in metres.
    seen : (n, 2) array
        Where they are in the picture, in pixels.
    covariance : (2n, 2n) array
        Of the latter, x before y for each point.

    Notes
    -----
    Gauss-Newton with weights V^-1; covariance (J'V^-1 J)^-1. Derived.
    """
    found = cv2.findHomography(places, seen)[0]
    start = np.asarray(found, np.float64) if isinstance(found, np.ndarray) else np.eye(3)
    unknowns = np.append((start / start[2, 2]).ravel()[:8], 0.0)
    whiten = np.linalg.inv(np.linalg.cholesky(covariance))
    nowhere = np.zeros_like(places)
    for _ in range(_ROUNDS):
        off, slopes = _residuals(unknowns, places, nowhere, seen)
        scaled = np.linalg.norm(slopes[:, :8], axis=0)
        step = np.linalg.lstsq(whiten @ (slopes[:, :8] / scaled), whiten @ off, rcond=None)[0] / scaled
        unknowns[:8] += step
    off, slopes = _residuals(unknowns, places, nowhere, seen)
    scaled = np.linalg.norm(slopes[:, :8], axis=0)
    design = whiten @ (slopes[:, :8] / scaled)
    doubt = np.linalg.pinv(design.T @ design) / np.outer(scaled, scaled)
    matrix = np.append(unknowns[:8], 1.0).reshape(3, 3)
    return Plane(matrix, np.asarray(doubt), math.inf, math.sqrt(2.0 * float(np.mean(off**2))))


def to_pixels(plane: Plane, places: FloatArray) -> FloatArray:
    """Return the pixel positions, (n, 2), of places on the paper in metres, (n, 2)."""
    straight = _projected(plane.matrix, places)
    return straight if plane.lens is None else plane.lens.bent(straight)


def to_metres(plane: Plane, seen: FloatArray) -> FloatArray:
    """Return the places on the paper in metres, (n, 2), of pixel positions, (n, 2)."""
    straight = seen if plane.lens is None else plane.lens.straightened(seen)
    return _projected(np.asarray(np.linalg.inv(plane.matrix), np.float64), straight)


def pixel_size(plane: Plane, box: Box) -> tuple[float, float]:
    """Return the finest and the coarsest metres a pixel at the corners of a box, along any direction."""
    slopes = np.stack([_slope(plane.matrix, corner) for corner in box.corners])
    spread = np.linalg.svd(slopes, compute_uv=False)
    return 1.0 / float(spread.max()), 1.0 / max(float(spread.min()), 1e-9)


def area_of_pixel(plane: Plane, seen: FloatArray) -> float:
    """Return the area on the paper, in square metres, of a pixel at a place in the picture, (2,)."""
    corners = seen + 0.5 * np.array([(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)])
    x, y = to_metres(plane, corners).T
    return 0.5 * abs(float(x @ np.roll(y, -1) - y @ np.roll(x, -1)))


def area_scatter(plane: Plane, place: tuple[float, float]) -> float:
    """Return the relative standard uncertainty of an area at a place, from the fit."""
    entries = plane.matrix.ravel()[:8]
    slopes = np.empty(8)
    for index, entry in enumerate(entries):
        step = 1e-6 * max(abs(entry), 1e-3)
        areas = []
        for sign in (-1.0, 1.0):
            moved = plane.matrix.ravel().copy()
            moved[index] += sign * step
            areas.append(math.log(abs(np.linalg.det(_slope(moved.reshape(3, 3), np.array(place))))))
        slopes[index] = (areas[1] - areas[0]) / (2.0 * step)
    return math.sqrt(max(0.0, float(slopes @ plane.covariance @ slopes)))


def tilt(plane: Plane, width: int, height: int) -> float:
    """Return the angle between the paper's normal and the line of sight, in degrees.

    Parameters
    ----------
    plane : Plane
    width, height : int
        Of the picture, in pixels.
    """
    return pose(plane, width, height)[0]


def pose(plane: Plane, width: int, height: int, focal: float | None = None) -> tuple[float, float]:
    """Return the tilt in degrees, and how unlikely a camera would have to be for it.

    Parameters
    ----------
    plane : Plane
    width, height : int
        Of the picture, in pixels.
    focal : float or None
        Focal length as a share of the diagonal, if the camera wrote it; close to a sheet it is a little
        more than that.

    Returns
    -------
    (float, float)
        The second is minus twice a logarithm of likelihood, 0 at best.

    Notes
    -----
    The focal length is not well known: the one is taken that makes the sheet's axes square and equally
    long, held near that of common cameras where the view says little. Derived.
    """
    centre = np.array([[1.0, 0.0, -(width - 1) / 2.0], [0.0, 1.0, -(height - 1) / 2.0], [0.0, 0.0, 1.0]])
    axes = (centre @ plane.matrix)[:, :2]
    longer = max(width, height)
    usual, spread = _USUAL_FOCAL, _FOCAL_SPREAD
    if focal is not None:
        usual, spread = focal * math.hypot(width, height) / longer, _WRITTEN_SPREAD
    # (focal lengths, 3 coordinates) of either axis of the sheet
    shrink = np.column_stack([_FOCALS * longer, _FOCALS * longer, np.ones(len(_FOCALS))])
    across, along = (axes[:, n] / shrink for n in (0, 1))
    long, wide = (np.sum(axis**2, axis=1) for axis in (across, along))
    size = np.sqrt(long * wide)
    skew, uneven = np.sum(across * along, axis=1) / size, (long - wide) / size
    unusual = np.log(_FOCALS / usual) / spread
    cost = (skew / _SQUARENESS) ** 2 + (uneven / _SQUARENESS) ** 2 + unusual**2
    best = int(np.argmin(cost))
    normal = np.cross(across[best], along[best])
    angle = math.acos(min(1.0, abs(float(normal[2])) / float(np.linalg.norm(normal))))
    return math.degrees(angle), float(cost[best])


def reduction(scale: float, finest: float) -> int:
    """Return how many times smaller a copy of the picture still shows metres a pixel as fine as a scale."""
    return max(1, int(scale / finest + 0.1))


def rectify(
    view: View, plane: Plane, box: Box, scale: float, *, grey: bool = False, factor: int | None = None
) -> Pixels:
    """Return the paper inside a box as if seen squarely from above.

    Parameters
    ----------
    view : View
    plane : Plane
    box : Box
        The part of the paper, in metres.
    scale : float
        Metres a pixel of the result.
    grey : bool
        In grey, which takes less time.
    factor : int or None
        How many times smaller a copy of the picture is used; None takes what suits the box.

    Returns
    -------
    (rows, columns, 3) or, in grey, (rows, columns) array
        Beyond the picture's edge its outermost pixels are repeated.
    """
    factor = factor or reduction(scale, pixel_size(plane, box)[0])
    offset = np.array(
        [[scale, 0.0, box.left + 0.5 * scale], [0.0, scale, box.top + 0.5 * scale], [0.0, 0.0, 1.0]]
    )
    size = (max(1, round(box.width / scale)), max(1, round(box.height / scale)))
    pixels = view.smaller(factor, grey=grey)
    matrix, lens = plane.matrix @ offset, plane.lens
    if lens is not None:
        return looked_up(
            pixels, lambda points: (lens.bent(_projected(matrix, points)) + 0.5) / factor - 0.5, size
        )
    shrink = np.diag([1.0 / factor, 1.0 / factor, 1.0])
    shrink[:2, 2] = 0.5 / factor - 0.5
    return warped(pixels, shrink @ matrix, size)


def _projected(matrix: FloatArray, points: FloatArray) -> FloatArray:
    lifted = np.column_stack([points, np.ones(len(points))]) @ matrix.T
    projected: FloatArray = lifted[:, :2] / lifted[:, 2:]
    return projected


def _slope(matrix: FloatArray, place: FloatArray) -> FloatArray:
    """Return the (2, 2) derivative of pixels by metres at a place."""
    lifted = matrix @ np.append(place, 1.0)
    point = lifted[:2] / lifted[2]
    slope: FloatArray = (matrix[:2, :2] - np.outer(point, matrix[2, :2])) / lifted[2]
    return slope


def _residuals(
    unknowns: FloatArray, places: FloatArray, outwards: FloatArray, seen: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Return how far the corners are from where they should be, and the slopes of the latter."""
    moved = places + unknowns[8] * outwards
    point, by_matrix, along = seen_and_slopes(unknowns[:8], moved)
    slopes = np.zeros((len(places), 2, _UNKNOWNS))
    slopes[:, :, :8] = by_matrix
    slopes[:, :, 8] = np.einsum("nij,nj->ni", along, outwards)
    return (seen - point).ravel(), slopes.reshape(-1, _UNKNOWNS)


def seen_and_slopes(entries: FloatArray, places: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return where places are seen through a homography, and how that changes.

    Parameters
    ----------
    entries : (8,) array
        Of the homography but the last, which is one.
    places : (n, 2) array

    Returns
    -------
    (n, 2) array, (n, 2, 8) array, (n, 2, 2) array
        In pixels; slopes by the entries; slopes by the places.
    """
    matrix = np.append(entries, 1.0).reshape(3, 3)
    lifted = np.column_stack([places, np.ones(len(places))])
    depth = lifted @ matrix[2]
    point = (lifted @ matrix[:2].T) / depth[:, None]
    slopes = np.zeros((len(places), 2, 8))
    slopes[:, 0, 0:3] = slopes[:, 1, 3:6] = lifted / depth[:, None]
    slopes[:, :, 6:8] = -point[:, :, None] * (places / depth[:, None])[:, None, :]
    along = (matrix[None, :2, :2] - point[:, :, None] * matrix[2, :2]) / depth[:, None, None]
    return point, slopes, along
