"""Whether crossings that were followed are squared paper: enough of them, close to a plane, and square."""

import cv2
import numpy as np

from tameshi.footprint.geometry.lens import Lens
from tameshi.footprint.picture.arrays import FloatArray, Where
from tameshi.footprint.references.grid.looking import Growing, placed

_WORST = 0.09  # of the pitch: crossings scatter less about a plane
_LEAST_FOUND = 0.35  # of the crossings amid those that were found
_LEAST_LINES = 7  # each way
_BLOCK, _LIKE_BLOCKS = 8.0, 0.02  # pixels: JPEG works in blocks of that size
_WORST_SQUARES = 0.08  # meshes farther from square are none


def unsquareness(matrix: FloatArray, lens: Lens) -> float:
    """Return how far the meshes are from squares, for the focal length that makes them squarest.

    Parameters
    ----------
    matrix : (3, 3) array
        From numbers of lines to pixels.
    lens : Lens

    Returns
    -------
    float
        Sine of the angle that is missing to a right one, and difference of the squared sides as a share
        of their product, taken together. Derived.
    """
    centred = np.array([[1.0, 0.0, -lens.middle[0]], [0.0, 1.0, -lens.middle[1]], [0.0, 0.0, 1.0]])
    axes = (centred @ matrix)[:, :2]
    longer = max(lens.width, lens.height)
    best = np.inf
    for focal in np.geomspace(0.4, 6.0, 60):
        one, other = (axes / np.array([[focal * longer], [focal * longer], [1.0]])).T
        size = float(np.linalg.norm(one) * np.linalg.norm(other))
        best = min(best, float(np.hypot(one @ other, one @ one - other @ other)) / size)
    return float(best)


def _is_compression(pitch: float, ways: FloatArray) -> bool:
    """Return whether the lattice is that of a file's blocks of eight pixels, not of paper."""
    along = np.abs(ways).max(axis=2)
    apart = np.abs(ways).min(axis=2)
    blocks = pitch / _BLOCK
    return bool(
        abs(blocks - round(blocks)) < _LIKE_BLOCKS
        and np.ptp(along) < _LIKE_BLOCKS
        and apart.max() < _LIKE_BLOCKS
    )


def is_lattice(grown: Growing) -> bool:
    """Return whether enough crossings lie on the plane, and closely."""
    kept = grown.kept
    numbers = grown.index[kept]
    if np.count_nonzero(supported(grown)) < _LEAST_LINES**2 // 2:
        return False
    if len(numbers) == 0:
        return False
    lines = min(len(np.unique(numbers[:, family])) for family in (0, 1))
    low, high = np.quantile(numbers, 0.02, axis=0), np.quantile(numbers, 0.98, axis=0)
    amid = ((grown.index >= low) & (grown.index <= high)).all(axis=1)
    share = float(np.count_nonzero(kept & amid)) / max(1.0, float(np.count_nonzero(amid)))
    at, ways = placed(grown.matrix, grown.lens, numbers)
    off = np.linalg.norm(grown.crossings.place[kept] - at, axis=1) / np.linalg.norm(ways, axis=2).min(axis=1)
    scatter = float(np.sqrt(np.mean(off**2)))
    if unsquareness(grown.matrix, grown.lens) > _WORST_SQUARES:
        return False
    if _is_compression(float(np.median(np.linalg.norm(ways, axis=2))), ways):
        return False
    return lines >= _LEAST_LINES and share >= _LEAST_FOUND and scatter <= _WORST


def supported(grown: Growing) -> Where:
    """Return the crossings that are not alone: others of the lattice lie around them."""
    first = grown.index.min(axis=0)
    apart = np.diff(np.unique(grown.index[:, 0]))
    step = float(apart.min()) if apart.size else 1.0
    place = np.rint((grown.index - first) / step).astype(int)
    board = np.zeros((int(place[:, 1].max()) + 1, int(place[:, 0].max()) + 1), np.float32)
    board[place[grown.kept, 1], place[grown.kept, 0]] = 1.0
    around = np.asarray(cv2.blur(board, (3, 3), borderType=cv2.BORDER_CONSTANT)) * 9.0
    return np.asarray(grown.kept & (around[place[:, 1], place[:, 0]] >= 4.0))  # noqa: PLR2004  itself and three
