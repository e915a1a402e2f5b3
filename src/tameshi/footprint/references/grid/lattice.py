"""The lattice of crossings on squared paper: found in a small part, grown over the whole sheet.

From a part that looks like squares the lattice is followed outwards: what is known so far says where
the next crossings should be, they are looked for there, and a plane is fitted to all that were found.
Crossings under ink are not found and pull at nothing.
"""

from dataclasses import dataclass

import cv2
import numpy as np

from tameshi.footprint.geometry.lens import Lens
from tameshi.footprint.picture.arrays import FloatArray, Picture, Pixels
from tameshi.footprint.picture.channels import quantiles
from tameshi.footprint.picture.view import View
from tameshi.footprint.references.grid.judging import is_lattice, supported
from tameshi.footprint.references.grid.looking import SMALLEST_PITCH, Growing, look, placed
from tameshi.footprint.references.grid.numbering import PHASES, folded_profile, with_all_lines
from tameshi.footprint.references.grid.seed import Seed, find_seeds

_START, _FARTHER = 8.0, 1.35  # pitches followed at first; how much farther each time
_ENOUGH_TO_NUMBER = 150  # crossings that tell whether every number has its line
_BEND_FROM = 0.35  # of the picture's diagonal: a smaller part does not show a bend
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


def find_lattice(view: View) -> Lattice | None:
    """Return the lattice of squared paper in a picture, or None where there is none.

    Parameters
    ----------
    view : View
    """
    level = paper_level(view.pixels)
    for seed in find_seeds(level):
        grown = _grown(level, seed)
        if grown is not None and is_lattice(grown):
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


def _grown(level: Picture, seed: Seed) -> Growing | None:
    """Follow the lattice from a seed over the whole picture."""
    rows, columns = level.shape
    lens = Lens(columns, rows)
    ways = _upright(seed.ways)
    matrix = np.column_stack([np.vstack([ways.T, [0.0, 0.0]]), np.append(seed.at, 1.0)])
    pitch = float(np.sqrt(abs(np.linalg.det(ways))))
    diagonal = float(np.hypot(rows, columns))
    radius = max(_START * pitch, 2.0 * SMALLEST_PITCH)
    grown, numbered = None, False
    while radius < 2.0 * _FARTHER * diagonal:
        bend = radius > _BEND_FROM * diagonal
        step = look(level, (matrix, lens), (seed.at, min(radius, diagonal)), bend=bend)
        if step is None:
            return None
        if radius > diagonal and grown is not None:
            break
        if not numbered and np.count_nonzero(step.kept) >= _ENOUGH_TO_NUMBER:
            all_lines = with_all_lines(level, step, (seed.at, radius))
            if all_lines is None:
                return None
            step, numbered = all_lines, True
        grown, matrix, lens = step, step.matrix, step.lens
        radius *= _FARTHER
    return None if grown is None else look(level, (matrix, lens), (seed.at, diagonal), bend=True)


def _upright(ways: FloatArray) -> FloatArray:
    """Return the ways so that the first points right and the second down, as nearly as can be."""
    first, second = ways if abs(ways[0, 0]) >= abs(ways[1, 0]) else ways[::-1]
    return np.array([first * np.sign(first[0] or 1.0), second * np.sign(second[1] or 1.0)])


def _lattice(level: Picture, grown: Growing) -> Lattice:
    kept = supported(grown)
    index = grown.index[kept]
    at, ways = placed(grown.matrix, grown.lens, index)
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


def _line_width(profile: FloatArray) -> float:
    """Return the full width at half depth of the line in a folded profile, as a share of the pitch."""
    dark = np.quantile(profile, 0.8) - profile
    middle = PHASES // 2
    half = 0.5 * dark[middle]
    left = next((n for n in range(middle, 0, -1) if dark[n] < half), 0)
    right = next((n for n in range(middle, PHASES) if dark[n] < half), PHASES)
    return float(right - left) / PHASES
