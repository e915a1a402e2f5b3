"""How far the ticks of a ruler splay: seen at a slant across the ruler they are not quite parallel."""

from dataclasses import dataclass

import numpy as np

from tameshi.footprint.picture.arrays import FloatArray, Picture, Where
from tameshi.footprint.references.ruler.following import FEWEST
from tameshi.footprint.references.ruler.profile import centred, darkness_along
from tameshi.footprint.references.ruler.row import RowFit

_LINES, _LINE_WIDTH = (0.22, 0.78), 0.16  # of a short tick: two lines across, and half their width
_OUTLIER = 5.0  # times the usual
_CENTRED = 2  # times each tick's middle is looked for again, around where it was found


@dataclass(frozen=True, slots=True)
class Splay:
    """Where ticks are along two lines beside each other.

    Parameters
    ----------
    numbers : (n,) array
        Of ticks.
    gap : (n,) array
        How much farther along the ruler each is on the second line than on the first, in pixels.
    first, second : (2, 2) arrays
        A point of each line, in pixels, and the way along it: the ruler's, or a little towards the other line
        where the ruler is seen at a slant along it.
    """

    numbers: FloatArray
    gap: FloatArray
    first: FloatArray
    second: FloatArray

    def backwards(self) -> "Splay":
        """Return the same with ticks numbered, and the ruler running, the other way."""
        turned = np.array([[1.0], [-1.0]])
        return Splay(-self.numbers, -self.gap, self.first * turned, self.second * turned)

    def scatter(self) -> float:
        """Return the standard uncertainty of the gap's change from tick to tick, in pixels."""
        slope, level = np.polyfit(self.numbers, self.gap, 1)
        off = self.gap - slope * self.numbers - level
        spread = float(np.sum((self.numbers - self.numbers.mean()) ** 2))
        return float(np.sqrt(np.sum(off**2) / max(1, len(off) - 2) / max(spread, 1e-9)))

    def change(self) -> float:
        """Return the gap's change from tick to tick, in pixels."""
        return float(np.polyfit(self.numbers, self.gap, 1)[0])

    def expected(self, matrix: FloatArray, pitch: float) -> float:
        """Return that change as a plane predicts it.

        Parameters
        ----------
        matrix : (3, 3) array
            From metres along the ruler and off it, to pixels.
        pitch : float
            In metres.
        """
        lines = np.column_stack(
            [np.ones_like(self.numbers), np.zeros_like(self.numbers), -self.numbers * pitch]
        ) @ np.linalg.inv(matrix)
        first, second = (
            -(lines @ np.append(point, 1.0)) / (lines[:, :2] @ way)
            for point, way in (self.first, self.second)
        )
        return float(np.polyfit(self.numbers, second - first, 1)[0])


def find_splay(
    level: Picture,
    frame: tuple[FloatArray, FloatArray, FloatArray],
    row: tuple[RowFit, FloatArray],
    ends: tuple[float, float],
) -> Splay | None:
    """Look for every tick on two lines, near either end of the short ticks.

    Parameters
    ----------
    level : (h, w) array
        Of light.
    frame : start, along, tick
        As of a row.
    row : fit, numbers
    ends : (float, float)
        Of the shortest ticks, in pixels aside of the row's middle line.
    """
    start, along, tick = frame
    fit, numbers = row
    pitches = np.abs(fit.pitch(numbers))
    pitch = float(np.median(pitches))
    low, high = ends
    half = 0.5 * float(np.ptp(fit.place(numbers)))
    middle = float(np.mean(fit.place(numbers)))
    # lengths across shrink with distance: so do the ticks, and the lines follow them
    narrowing, level_scale = np.polyfit(fit.place(numbers) - middle, np.sqrt(pitches / pitch), 1)
    gaps, there, lines = [], np.ones(len(numbers), bool), []
    for share in _LINES:
        place = low + share * (high - low)
        point = start + middle * along + place * level_scale * tick
        way = along + place * narrowing * tick
        width = _LINE_WIDTH * (high - low) / pitch
        profile = darkness_along(level, (point, way, tick), half, pitch, width)
        seen = _on_line(profile, fit.place(numbers) - middle, pitches, numbers)
        if seen is None:
            return None
        gaps.append(seen[0])
        lines.append(np.stack([point, way]))
        there &= seen[1]
    if np.count_nonzero(there) < FEWEST:
        return None
    gap = gaps[1] - gaps[0]
    usual = np.polyval(np.polyfit(numbers[there], gap[there], 1), numbers)
    off = np.abs(gap - usual)
    there &= off <= _OUTLIER * max(float(np.median(off[there])), 0.02)
    return Splay(numbers[there], gap[there], lines[0], lines[1]) if there.sum() >= FEWEST else None


def _on_line(
    profile: tuple[FloatArray, float], expected: FloatArray, pitches: FloatArray, numbers: FloatArray
) -> tuple[FloatArray, Where] | None:
    """Return where ticks are on one line and whether they are there; None where too few are."""
    place, found = centred(*profile, expected, pitches)
    for _ in range(_CENTRED):
        if np.count_nonzero(found) < FEWEST:
            return None
        # what is looked for around the wrong place is seen too near to it: its other flank is cut off
        lean = np.polynomial.Polynomial.fit(numbers[found], (place - expected)[found], 2)
        expected = expected + lean(numbers)
        place, found = centred(*profile, expected, pitches)
    return place, found
