"""Look for the crossings of a lattice where a first plane says they should be, and fit them anew."""

from dataclasses import dataclass

import numpy as np

from tameshi.footprint.geometry.lens import Lens
from tameshi.footprint.picture.arrays import FloatArray, Picture, Where
from tameshi.footprint.references.grid.crossings import Crossings, look_for_crossings
from tameshi.footprint.references.grid.fit import fit_points

SMALLEST_PITCH = 3.2
"""Pixels between lines, at least."""

_REACH, _CLOSER = 0.36, 0.3  # of the pitch: how far crossings are looked for
_FEWEST = 20  # crossings to go on with
_MOST = 12_000  # crossings looked at in one round
_SPREAD_OF_STRENGTH = 0.25  # of the usual strength: fainter is no line of this paper


@dataclass(frozen=True, slots=True)
class Growing:
    """What is known of a lattice while it is followed.

    Parameters
    ----------
    matrix : (3, 3) array
        From numbers of lines to pixels of the straightened picture.
    lens : Lens
    index : (n, 2) array
        Numbers of the crossings that were looked for.
    crossings : Crossings
        What was found there.
    kept : (n,) array of bool
        Which of them belong to the lattice.
    u_k : float
        Standard uncertainty of the lens's coefficient.
    """

    matrix: FloatArray
    lens: Lens
    index: FloatArray
    crossings: Crossings
    kept: Where
    u_k: float


def look(
    level: Picture, known: tuple[FloatArray, Lens], about: tuple[FloatArray, float], *, bend: bool
) -> Growing | None:
    """Look for all crossings within a circle and fit them.

    Parameters
    ----------
    level : (h, w) array
    known : ((3, 3) array, Lens)
        From numbers to pixels of the straightened picture, and the lens.
    about : ((2,) array, float)
        The circle's middle and radius, in pixels.
    bend : bool
        Whether to fit the lens's bend.

    Returns
    -------
    Growing or None
        None where too few are found.
    """
    matrix, lens = known
    index = _within(matrix, lens, about)
    if len(index) < _FEWEST:
        return None
    at, ways = placed(matrix, lens, index)
    crossings = look_for_crossings(level, at, ways, _REACH)
    found = crossings.found & _usual(crossings)
    near = np.linalg.norm(crossings.place - at, axis=1) < _CLOSER * np.linalg.norm(ways, axis=2).min(axis=1)
    found &= near
    if np.count_nonzero(found) < _FEWEST:
        return None
    fitted = fit_points(index[found], crossings.place[found], matrix, lens, bend=bend)
    kept = found.copy()
    kept[found] = fitted.kept
    return Growing(fitted.plane.matrix, fitted.lens, index, crossings, kept, fitted.u_k)


def _usual(crossings: Crossings) -> Where:
    """Return where both lines are about as dark as lines are here."""
    if not crossings.found.any():
        return crossings.found
    usual = np.median(crossings.strength[crossings.found], axis=0)
    return np.asarray((crossings.strength > _SPREAD_OF_STRENGTH * usual).all(axis=1))


def _within(matrix: FloatArray, lens: Lens, about: tuple[FloatArray, float]) -> FloatArray:
    """Return the whole numbers of the crossings that lie in a circle, in the picture; not too many."""
    middle, radius = about
    corner = np.array([(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]) * (lens.width - 1, lens.height - 1)
    low, high = np.maximum(middle - radius, 0.0), np.minimum(middle + radius, corner[2])
    around = np.clip(corner, low, high)
    edge = np.concatenate(
        [np.linspace(a, b, 9) for a, b in zip(around, np.roll(around, -1, axis=0), strict=True)]
    )
    numbers = _numbers(matrix, lens.straightened(edge))
    first, last = np.floor(numbers.min(axis=0)), np.ceil(numbers.max(axis=0))
    count = np.prod(last - first + 1.0)
    if not np.isfinite(count) or count > 4e6:  # noqa: PLR2004  the horizon is in the picture: no paper
        return np.empty((0, 2))
    step = int(np.ceil(np.sqrt(max(1.0, count / _MOST))))
    # an even step would see every second line only, and of two kinds of line only one
    step += step % 2 == 0
    columns, rows = (np.arange(a, b + 1.0, step) for a, b in zip(first, last, strict=True))
    index = np.stack(np.meshgrid(columns, rows), axis=2).reshape(-1, 2)
    at, ways = placed(matrix, lens, index)
    inside = searchable(at, ways, lens) & (np.linalg.norm(at - middle, axis=1) <= radius)
    return np.asarray(index[inside], np.float64)


def searchable(at: FloatArray, ways: FloatArray, lens: Lens) -> Where:
    """Return which crossings can be looked for: well inside the picture, lines far enough apart.

    Parameters
    ----------
    at : (n, 2) array
        In pixels.
    ways : (n, 2, 2) array
        To the next crossings, in pixels.
    lens : Lens
    """
    margin = 0.5 * np.abs(ways).sum(axis=1)
    inside = ((at > margin) & (at < np.array([lens.width - 1, lens.height - 1]) - margin)).all(axis=1)
    return np.asarray(inside & (np.linalg.norm(ways, axis=2).min(axis=1) >= SMALLEST_PITCH))


def _numbers(matrix: FloatArray, straight: FloatArray) -> FloatArray:
    lifted = np.column_stack([straight, np.ones(len(straight))]) @ np.linalg.inv(matrix).T
    numbers: FloatArray = lifted[:, :2] / lifted[:, 2:]
    return numbers


def placed(matrix: FloatArray, lens: Lens, index: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return where crossings are seen, (n, 2), and the ways to the next ones, (n, 2, 2), in pixels."""
    lifted = np.column_stack([index, np.ones(len(index))]) @ matrix.T
    depth = lifted[:, 2:]
    straight = lifted[:, :2] / depth
    ways = (matrix[:2, :2].T[None] - straight[:, None, :] * matrix[2, :2][None, :, None]) / depth[:, :, None]
    return lens.bent(straight), ways
