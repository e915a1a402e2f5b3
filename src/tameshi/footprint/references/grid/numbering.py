"""Whether every number of a lattice has its line, and every line its number; counted anew where not."""

import numpy as np

from tameshi.footprint.picture.arrays import FloatArray, Picture
from tameshi.footprint.references.grid.crossings import profiles
from tameshi.footprint.references.grid.looking import Growing, look, placed

PHASES = 120
"""Values of a profile over one pitch."""

_NEAR = 30.0  # pitches: a part that small has every line looked at
_ABSENT = 0.12  # of the lines beside them
_FINER = (2, 3, 5, 4)
_FINER_DEPTH = 0.08  # of the lines' own
_FINER_FROM = 2.6  # pixels between finer lines


def with_all_lines(level: Picture, grown: Growing, about: tuple[FloatArray, float]) -> Growing | None:
    """Count the lines anew where numbers have no line, or lines no number.

    Parameters
    ----------
    level : (h, w) array
    grown : Growing
    about : ((2,) array, float)
        Middle and radius of the circle that was looked at, in pixels.

    Returns
    -------
    Growing or None
        None where too few crossings are left.
    """
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
        again = look(level, (matrix, grown.lens), about, bend=False)
        if again is None:
            return None
        grown = again
    return grown


def _every_line_near(level: Picture, grown: Growing, about: tuple[FloatArray, float]) -> Growing | None:
    """Look again at every line, in a part small enough for that."""
    _, ways = placed(grown.matrix, grown.lens, np.mean(grown.index[grown.kept], axis=0, keepdims=True))
    pitch = float(np.linalg.norm(ways[0], axis=1).min())
    return look(level, (grown.matrix, grown.lens), (about[0], min(about[1], _NEAR * pitch)), bend=False)


def _coarser(grown: Growing) -> tuple[float, float] | None:
    """Return one over how many numbers there are for each line, where most numbers have none."""
    for every in (2, 3):
        for family in (0, 1):
            if _strongest(grown, every, family) is None:
                break
        else:
            return 1.0 / every, 1.0 / every
    return None


def _strongest(grown: Growing, every: int, family: int) -> int | None:
    """Return which of every so many numbers has a line, if the others have none."""
    strength = np.where(grown.crossings.strength[:, family] > 0.0, grown.crossings.strength[:, family], 0.0)
    number = np.mod(grown.index[:, family], every)
    usual = np.array([np.median(strength[number == n]) if (number == n).any() else 0.0 for n in range(every)])
    best = int(np.argmax(usual))
    rest = np.delete(usual, best)
    return best if float(rest.max()) < _ABSENT * usual[best] else None


def _shifted(grown: Growing, share: float) -> FloatArray:
    """Return the shift, in new numbers, that brings number zero to a line."""
    every = round(1.0 / share)
    first = [(_strongest(grown, every, family) or 0) / every for family in (0, 1)]
    return np.array([[1.0, 0.0, first[0]], [0.0, 1.0, first[1]], [0.0, 0.0, 1.0]])


def _finer(level: Picture, grown: Growing) -> tuple[float, float] | None:
    """Return how many lines there are for each number, where there are finer lines between."""
    kept = grown.kept
    at, ways = placed(grown.matrix, grown.lens, grown.index[kept])
    pitch = float(np.median(np.linalg.norm(ways, axis=2)))
    folded = [folded_profile(level, at, ways, family) for family in (0, 1)]
    for many in _FINER:
        if pitch / many < _FINER_FROM:
            continue
        if all(_has_lines_between(profile, many) for profile in folded):
            return float(many), float(many)
    return None


def folded_profile(level: Picture, at: FloatArray, ways: FloatArray, family: int) -> FloatArray:
    """Return the usual level across a line from half a pitch before to half a pitch behind, (m,).

    Parameters
    ----------
    level : (h, w) array
    at, ways : (n, 2) array, (n, 2, 2) array
        Crossings and the ways to the next ones, in pixels.
    family : int
        Which lines: 0 or 1.
    """
    some = slice(None, None, max(1, len(at) // 1500))
    values, share = profiles(level, at[some], ways[some, family], ways[some, 1 - family], 0.5)
    usual = np.median(values / np.maximum(np.quantile(values, 0.8, axis=1, keepdims=True), 1e-3), axis=0)
    fine: FloatArray = np.interp(np.linspace(-0.5, 0.5, PHASES + 1), share, usual)
    return fine


def _has_lines_between(profile: FloatArray, many: int) -> bool:
    """Return whether the level dips at every so-manieth part of the pitch."""
    middle = PHASES // 2
    own = 0.5 * (profile[middle - PHASES // (2 * many)] + profile[middle + PHASES // (2 * many)])
    depth = own - profile[middle]
    for n in range(1, many):
        place = (middle + round(PHASES * n / many)) % PHASES
        beside = [profile[(place + round(side * PHASES / (2 * many))) % PHASES] for side in (-1, 1)]
        if min(beside) - profile[place] < max(_FINER_DEPTH * depth, 0.002):
            return False
    return True
