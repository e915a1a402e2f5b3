"""How far squares reach over the picture: the rectangle that was followed whole, and the paper around it.

Paper is cut along its squares, so the rectangle around all crossings is paper, even where ink, a
shadow or the picture's own edge hides the crossings in a corner of it. Where the next line could not
have been looked for, or only a corner of the picture is left, paper goes on as far as some of it is bright.
"""

from dataclasses import dataclass

import numpy as np

from tameshi.footprint.geometry.box import Box
from tameshi.footprint.geometry.inscribed import largest_inside
from tameshi.footprint.picture.arrays import FloatArray, Where
from tameshi.footprint.picture.view import View
from tameshi.footprint.references.grid.lattice import Lattice
from tameshi.footprint.references.grid.looking import placed, searchable

_FEWEST = 3  # crossings that make a line: fewer may lie there by chance
_PARTS = np.linspace(0.1, 1.0, 10)  # of the way to the next line
_CORNER, _MOST_STEPS = 12, 12  # lines across a corner of the picture; how many are followed into it
_BRIGHT, _MOST = 0.85, 0.75  # of the paper on this side of the line; quantile, since ink may lie there


@dataclass(frozen=True, slots=True)
class Reach:
    """Numbers of lines, across and down.

    Parameters
    ----------
    first, size : (int, int)
        Where the largest rectangle amid the crossings begins, and how many squares it has.
    before, beyond : (float, float)
        How many squares of paper lie before it, and after it.
    """

    first: tuple[int, int]
    size: tuple[int, int]
    before: tuple[float, float]
    beyond: tuple[float, float]

    def box(self, pitch: float) -> Box:
        """Return the paper, in metres from the beginning of the rectangle."""
        (left, top), (right, bottom) = self.before, self.beyond
        across, down = self.size
        return Box(-left * pitch, -top * pitch, (across + right) * pitch, (down + bottom) * pitch)


def reach_of(lattice: Lattice, view: View) -> Reach:
    """Return how far the squares of a lattice reach.

    Parameters
    ----------
    lattice : Lattice
    view : View
        The picture as it was taken.
    """
    first, last = largest_inside(np.rint(lattice.index))
    ends = [_ends(lattice, view, family, (first[family], last[family])) for family in (0, 1)]
    return Reach(
        first,
        (last[0] - first[0], last[1] - first[1]),
        (first[0] - ends[0][0], first[1] - ends[1][0]),
        (ends[0][1] - last[0], ends[1][1] - last[1]),
    )


def _ends(lattice: Lattice, view: View, family: int, within: tuple[int, int]) -> tuple[float, float]:
    """Return the outermost lines of one family that lie on the paper, and what of it lies beyond them."""
    lines, crossings = np.unique(lattice.index[:, family], return_counts=True)
    known = lines[crossings >= _FEWEST]
    step = float(np.diff(lines).min()) if len(lines) > 1 else 1.0
    low = min(float(known.min(initial=within[0])), within[0])
    high = max(float(known.max(initial=within[1])), within[1])
    return low - _beyond(lattice, view, family, (low, -step)), high + _beyond(
        lattice, view, family, (high, step)
    )


def _beyond(lattice: Lattice, view: View, family: int, line: tuple[float, float]) -> float:
    """Return how many squares paper goes on beyond the last line: to the picture's edge, into its corners."""
    number, step = line
    paper = _brightness(lattice, view, family, number - 0.5 * step)
    if paper is None:
        return 0.0
    reached = 0.0
    for steps in range(_MOST_STEPS):
        at, ways = _along(lattice, family, number + (steps + 1) * step)
        across = np.count_nonzero(_seen(at, view))
        looked_for = np.count_nonzero(searchable(at, ways, lattice.lens)) >= _FEWEST
        if looked_for and across > _CORNER:
            break
        part = _paper_part(lattice, view, family, (number + steps * step, step), paper)
        reached += part * abs(step)
        if part < 1.0 or not across:
            break
    return reached


def _paper_part(lattice: Lattice, view: View, family: int, line: tuple[float, float], paper: float) -> float:
    """Return what part of the way to the next line is paper."""
    reached = 0.0
    for part in _PARTS:
        here = _brightness(lattice, view, family, line[0] + part * line[1])
        if here is not None and here < _BRIGHT * paper:
            return max(0.0, reached - float(_PARTS[0]))
        reached = float(part)
    return reached


def _along(lattice: Lattice, family: int, number: float) -> tuple[FloatArray, FloatArray]:
    """Return where points along a line, between the lines that cross it, are seen, and the ways there."""
    other = np.unique(lattice.index[:, 1 - family]) + 0.5
    index = np.empty((len(other), 2))
    index[:, family], index[:, 1 - family] = number, other
    return placed(lattice.matrix, lattice.lens, index)


def _brightness(lattice: Lattice, view: View, family: int, number: float) -> float | None:
    """Return how bright most of the picture is along a line, None where the picture does not show it."""
    at, _ = _along(lattice, family, number)
    seen = _seen(at, view)
    if not seen.any():
        return None
    x, y = np.rint(at[seen]).astype(int).T
    return float(np.quantile(view.pixels[y, x].mean(axis=1), _MOST))


def _seen(at: FloatArray, view: View) -> Where:
    """Return which places are in the picture."""
    return np.asarray(((at >= 0.0) & (at <= np.array(view.size) - 1.0)).all(axis=1))
