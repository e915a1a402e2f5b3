"""The lattice of crossings on squared paper: found in a small part, grown over the whole sheet.

From a part that looks like squares the lattice is followed outwards: what is known so far says where
the next crossings should be, they are looked for there, and a plane is fitted to all that were found.
Crossings under ink are not found and pull at nothing.
"""

from dataclasses import dataclass

import cv2
import numpy as np

from tameshi.footprint.geometry.lens import Lens
from tameshi.footprint.picture.arrays import FloatArray, Picture, Pixels, Where
from tameshi.footprint.picture.channels import quantiles
from tameshi.footprint.picture.view import View
from tameshi.footprint.references.grid.crossings import Crossings, look_for_crossings, profiles
from tameshi.footprint.references.grid.fit import fit_points
from tameshi.footprint.references.grid.seed import Seed, find_seeds

_SEEDS = 16  # parts that are tried
_START, _FARTHER = 8.0, 1.35  # pitches followed at first; how much farther each time
_REACH, _CLOSER = 0.36, 0.3  # of the pitch: how far crossings are looked for
_ENOUGH_TO_NUMBER = 150  # crossings that tell whether every number has its line
_NEAR = 30.0  # pitches: a part that small has every line looked at
_FEWEST = 20  # crossings to go on with
_BEND_FROM = 0.35  # of the picture's diagonal: a smaller part does not show a bend
_MOST = 12_000  # crossings looked at in one round
_SMALLEST_PITCH = 3.2  # pixels
_WORST = 0.09  # of the pitch: crossings scatter less about a plane
_LEAST_FOUND = 0.35  # of the crossings amid those that were found
_LEAST_LINES = 7  # each way
_SPREAD_OF_STRENGTH = 0.25  # of the usual strength: fainter is no line of this paper
_ABSENT = 0.12  # of the lines beside them
_FINER = (2, 3, 5, 4)
_FINER_DEPTH = 0.08  # of the lines' own
_FINER_FROM = 2.6  # pixels between finer lines
_PHASES = 120  # values of a profile over one pitch
_BLOCK, _LIKE_BLOCKS = 8.0, 0.02  # pixels: JPEG works in blocks of that size
_WORST_SQUARES = 0.08  # meshes farther from square are none
_ROWS = 256  # done at once: they stay near the processor
_BRIGHT = 0.9  # of all pixels: the level of paper


@dataclass(frozen=True, slots=True)
class Lattice:
    """Crossings found on squared paper.

    Parameters
    ----------
    index : (n, 2) array
        Number of the line in each family, whole.
    seen : (n, 2) array
        Place in the picture, in pixels.
    strength : (n, 2) array
        Darkness of both lines there, as shares of the paper's level.
    matrix : (3, 3) array
        From numbers to pixels of the straightened picture.
    lens : Lens
    u_k : float
        Standard uncertainty of its coefficient.
    pitch_pixels : float
        Usual pitch, in pixels.
    line_pixels : float
        Width of a line in the picture, blur included, in pixels.
    """

    index: FloatArray
    seen: FloatArray
    strength: FloatArray
    matrix: FloatArray
    lens: Lens
    u_k: float
    pitch_pixels: float
    line_pixels: float


@dataclass(frozen=True, slots=True)
class _Growing:
    matrix: FloatArray
    lens: Lens
    index: FloatArray
    crossings: Crossings
    kept: Where
    u_k: float


def find_lattice(view: View) -> Lattice | None:
    """Return the lattice of squared paper in a picture, or None where there is none.

    Parameters
    ----------
    view : View
    """
    level = paper_level(view.pixels)
    for seed in find_seeds(level)[:_SEEDS]:
        grown = _grown(level, seed)
        if grown is not None and _is_lattice(grown):
            return _lattice(level, grown)
    return None


def paper_level(pixels: Pixels) -> Picture:
    """Return the darkest of the three colours, each as a share of bright paper: there any line shows."""
    some = cv2.split(np.ascontiguousarray(pixels[::5, ::5]))
    white = np.maximum([quantiles(np.asarray(part, np.uint8), (_BRIGHT,))[0] for part in some], 1.0)
    tables = np.clip(np.arange(256)[:, None] / white[None, :], 0.0, 1.5).astype(np.float32)
    level = np.empty(pixels.shape[:2], np.float32)
    for top in range(0, len(pixels), _ROWS):
        rows = slice(top, top + _ROWS)
        red, green, blue = (
            cv2.LUT(part, np.ascontiguousarray(tables[:, n]))
            for n, part in enumerate(cv2.split(pixels[rows]))
        )
        cv2.min(cv2.min(red, green), blue, dst=level[rows])
    return level


def _grown(level: Picture, seed: Seed) -> _Growing | None:
    """Follow the lattice from a seed over the whole picture."""
    rows, columns = level.shape
    lens = Lens(columns, rows)
    ways = _upright(seed.ways)
    matrix = np.column_stack([np.vstack([ways.T, [0.0, 0.0]]), np.append(seed.at, 1.0)])
    pitch = float(np.sqrt(abs(np.linalg.det(ways))))
    diagonal = float(np.hypot(rows, columns))
    radius = max(_START * pitch, 2.0 * _SMALLEST_PITCH)
    grown, numbered = None, False
    while radius < 2.0 * _FARTHER * diagonal:
        bend = radius > _BEND_FROM * diagonal
        step = _looked(level, (matrix, lens), (seed.at, min(radius, diagonal)), bend=bend)
        if step is None:
            return None
        if radius > diagonal and grown is not None:
            break
        if not numbered and np.count_nonzero(step.kept) >= _ENOUGH_TO_NUMBER:
            all_lines = _with_all_lines(level, step, (seed.at, radius))
            if all_lines is None:
                return None
            step, numbered = all_lines, True
        grown, matrix, lens = step, step.matrix, step.lens
        radius *= _FARTHER
    return None if grown is None else _looked(level, (matrix, lens), (seed.at, diagonal), bend=True)


def _upright(ways: FloatArray) -> FloatArray:
    """Return the ways so that the first points right and the second down, as nearly as can be."""
    first, second = ways if abs(ways[0, 0]) >= abs(ways[1, 0]) else ways[::-1]
    return np.array([first * np.sign(first[0] or 1.0), second * np.sign(second[1] or 1.0)])


def _looked(
    level: Picture, known: tuple[FloatArray, Lens], about: tuple[FloatArray, float], *, bend: bool
) -> _Growing | None:
    """Look for all crossings within a circle and fit them; ``about`` is its middle and radius."""
    matrix, lens = known
    index = _within(matrix, lens, about)
    if len(index) < _FEWEST:
        return None
    at, ways = _placed(matrix, lens, index)
    crossings = look_for_crossings(level, at, ways, _REACH)
    found = crossings.found & _usual(crossings)
    near = np.linalg.norm(crossings.place - at, axis=1) < _CLOSER * np.linalg.norm(ways, axis=2).min(axis=1)
    found &= near
    if np.count_nonzero(found) < _FEWEST:
        return None
    fitted = fit_points(index[found], crossings.place[found], matrix, lens, bend=bend)
    kept = found.copy()
    kept[found] = fitted.kept
    return _Growing(fitted.plane.matrix, fitted.lens, index, crossings, kept, fitted.u_k)


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
    at, ways = _placed(matrix, lens, index)
    margin = 0.5 * np.abs(ways).sum(axis=1)
    inside = ((at > margin) & (at < corner[2] - margin)).all(axis=1)
    inside &= np.linalg.norm(at - middle, axis=1) <= radius
    inside &= np.linalg.norm(ways, axis=2).min(axis=1) >= _SMALLEST_PITCH
    return np.asarray(index[inside], np.float64)


def _numbers(matrix: FloatArray, straight: FloatArray) -> FloatArray:
    lifted = np.column_stack([straight, np.ones(len(straight))]) @ np.linalg.inv(matrix).T
    numbers: FloatArray = lifted[:, :2] / lifted[:, 2:]
    return numbers


def _placed(matrix: FloatArray, lens: Lens, index: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return where crossings are seen, (n, 2), and the ways to the next ones, (n, 2, 2), in pixels."""
    lifted = np.column_stack([index, np.ones(len(index))]) @ matrix.T
    depth = lifted[:, 2:]
    straight = lifted[:, :2] / depth
    ways = (matrix[:2, :2].T[None] - straight[:, None, :] * matrix[2, :2][None, :, None]) / depth[:, :, None]
    return lens.bent(straight), ways


def _with_all_lines(level: Picture, grown: _Growing, about: tuple[FloatArray, float]) -> _Growing | None:
    """Count the lines anew where numbers have no line, or lines no number."""
    for _ in range(4):
        near = _every_line_near(level, grown, about)
        if near is None:
            return None
        times = _coarser(near) or _finer(level, near)
        if times is None:
            return grown
        matrix = grown.matrix @ np.diag([1.0 / times[0], 1.0 / times[1], 1.0])
        if times[0] < 1.0:
            matrix = matrix @ _shifted(near, times[0])
        again = _looked(level, (matrix, grown.lens), about, bend=False)
        if again is None:
            return None
        grown = again
    return grown


def _every_line_near(level: Picture, grown: _Growing, about: tuple[FloatArray, float]) -> _Growing | None:
    """Look again at every line, in a part small enough for that."""
    _, ways = _placed(grown.matrix, grown.lens, np.mean(grown.index[grown.kept], axis=0, keepdims=True))
    pitch = float(np.linalg.norm(ways[0], axis=1).min())
    return _looked(level, (grown.matrix, grown.lens), (about[0], min(about[1], _NEAR * pitch)), bend=False)


def _coarser(grown: _Growing) -> tuple[float, float] | None:
    """Return one over how many numbers there are for each line, where most numbers have none."""
    for every in (2, 3):
        for family in (0, 1):
            if _strongest(grown, every, family) is None:
                break
        else:
            return 1.0 / every, 1.0 / every
    return None


def _strongest(grown: _Growing, every: int, family: int) -> int | None:
    """Return which of every so many numbers has a line, if the others have none."""
    strength = np.where(grown.crossings.strength[:, family] > 0.0, grown.crossings.strength[:, family], 0.0)
    number = np.mod(grown.index[:, family], every)
    usual = np.array([np.median(strength[number == n]) if (number == n).any() else 0.0 for n in range(every)])
    best = int(np.argmax(usual))
    rest = np.delete(usual, best)
    return best if float(rest.max()) < _ABSENT * usual[best] else None


def _shifted(grown: _Growing, share: float) -> FloatArray:
    """Return the shift, in new numbers, that brings number zero to a line."""
    every = round(1.0 / share)
    first = [(_strongest(grown, every, family) or 0) / every for family in (0, 1)]
    return np.array([[1.0, 0.0, first[0]], [0.0, 1.0, first[1]], [0.0, 0.0, 1.0]])


def _finer(level: Picture, grown: _Growing) -> tuple[float, float] | None:
    """Return how many lines there are for each number, where there are finer lines between."""
    kept = grown.kept
    at, ways = _placed(grown.matrix, grown.lens, grown.index[kept])
    pitch = float(np.median(np.linalg.norm(ways, axis=2)))
    folded = [folded_profile(level, at, ways, family) for family in (0, 1)]
    for many in _FINER:
        if pitch / many < _FINER_FROM:
            continue
        if all(_has_lines_between(profile, many) for profile in folded):
            return float(many), float(many)
    return None


def folded_profile(level: Picture, at: FloatArray, ways: FloatArray, family: int) -> FloatArray:
    """Return the usual level across a line from half a pitch before to half a pitch behind, (m,)."""
    some = slice(None, None, max(1, len(at) // 1500))
    values, share = profiles(level, at[some], ways[some, family], ways[some, 1 - family], 0.5)
    usual = np.median(values / np.maximum(np.quantile(values, 0.8, axis=1, keepdims=True), 1e-3), axis=0)
    fine: FloatArray = np.interp(np.linspace(-0.5, 0.5, _PHASES + 1), share, usual)
    return fine


def _has_lines_between(profile: FloatArray, many: int) -> bool:
    """Return whether the level dips at every so-manieth part of the pitch."""
    middle = _PHASES // 2
    own = 0.5 * (profile[middle - _PHASES // (2 * many)] + profile[middle + _PHASES // (2 * many)])
    depth = own - profile[middle]
    for n in range(1, many):
        place = (middle + round(_PHASES * n / many)) % _PHASES
        beside = [profile[(place + round(side * _PHASES / (2 * many))) % _PHASES] for side in (-1, 1)]
        if min(beside) - profile[place] < max(_FINER_DEPTH * depth, 0.002):
            return False
    return True


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


def _is_lattice(grown: _Growing) -> bool:
    """Return whether enough crossings lie on the plane, and closely."""
    kept = grown.kept
    numbers = grown.index[kept]
    if np.count_nonzero(_supported(grown)) < _LEAST_LINES**2 // 2:
        return False
    if len(numbers) == 0:
        return False
    lines = min(len(np.unique(numbers[:, family])) for family in (0, 1))
    low, high = np.quantile(numbers, 0.02, axis=0), np.quantile(numbers, 0.98, axis=0)
    amid = ((grown.index >= low) & (grown.index <= high)).all(axis=1)
    share = float(np.count_nonzero(kept & amid)) / max(1.0, float(np.count_nonzero(amid)))
    at, ways = _placed(grown.matrix, grown.lens, numbers)
    off = np.linalg.norm(grown.crossings.place[kept] - at, axis=1) / np.linalg.norm(ways, axis=2).min(axis=1)
    scatter = float(np.sqrt(np.mean(off**2)))
    if unsquareness(grown.matrix, grown.lens) > _WORST_SQUARES:
        return False
    if _is_compression(float(np.median(np.linalg.norm(ways, axis=2))), ways):
        return False
    return lines >= _LEAST_LINES and share >= _LEAST_FOUND and scatter <= _WORST


def _lattice(level: Picture, grown: _Growing) -> Lattice:
    kept = _supported(grown)
    index = grown.index[kept]
    at, ways = _placed(grown.matrix, grown.lens, index)
    pitch = float(np.median(np.linalg.norm(ways, axis=2)))
    widths = [_line_width(folded_profile(level, at, ways, family)) for family in (0, 1)]
    return Lattice(
        index,
        grown.crossings.place[kept],
        grown.crossings.strength[kept],
        grown.matrix,
        grown.lens,
        grown.u_k,
        pitch,
        pitch * float(np.mean(widths)),
    )


def _supported(grown: _Growing) -> Where:
    """Return the crossings that are not alone: others of the lattice lie around them."""
    first = grown.index.min(axis=0)
    apart = np.diff(np.unique(grown.index[:, 0]))
    step = float(apart.min()) if apart.size else 1.0
    place = np.rint((grown.index - first) / step).astype(int)
    board = np.zeros((int(place[:, 1].max()) + 1, int(place[:, 0].max()) + 1), np.float32)
    board[place[grown.kept, 1], place[grown.kept, 0]] = 1.0
    around = np.asarray(cv2.blur(board, (3, 3), borderType=cv2.BORDER_CONSTANT)) * 9.0
    return np.asarray(grown.kept & (around[place[:, 1], place[:, 0]] >= 4.0))  # noqa: PLR2004  itself and three


def _line_width(profile: FloatArray) -> float:
    """Return the full width at half depth of the line in a folded profile, as a share of the pitch."""
    dark = np.quantile(profile, 0.8) - profile
    middle = _PHASES // 2
    half = 0.5 * dark[middle]
    left = next((n for n in range(middle, 0, -1) if dark[n] < half), 0)
    right = next((n for n in range(middle, _PHASES) if dark[n] < half), _PHASES)
    return float(right - left) / _PHASES
