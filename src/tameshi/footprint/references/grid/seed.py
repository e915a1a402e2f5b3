"""Where squared paper may be in a picture, and how its lines run there: peaks of local spectra."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

import cv2
import numpy as np
from numpy.typing import NDArray

from tameshi.footprint.picture.arrays import FloatArray, Picture, Where
from tameshi.footprint.picture.spectrum import ground_under, spectrum_of
from tameshi.footprint.picture.thin import thin_darkness

_WINDOW = 256  # pixels
_PLACES = {1: 8, 2: 6, 4: 5, 8: 4}  # windows each way, by factor
_LONGEST, _SHORTEST = 4.5, 100.0  # waves a window
_COLUMNS = 102  # of a spectrum: waves across, up to the shortest and one more
_PEAKS = 24
_APART = 0.64  # cosine: directions closer than 50 degrees are one family
_SAME = 0.985  # cosine: of one family
_LOWEST_OF = 0.3  # of the strongest peak: the lowest so strong is the fundamental
_OVER_GROUND = 6.0
_TRIED, _TRIED_COARSER = 16, 5  # parts: of all; and of each coarser copy, if they are not among those


@dataclass(frozen=True, slots=True)
class Seed:
    """Part of a picture that looks like squares.

    Parameters
    ----------
    at : (2,) array
        A crossing near the middle of the part, in pixels.
    ways : (2, 2) array
        From crossing to crossing, one a row, in pixels.
    reach : float
        Half the side of the part, in pixels.
    score : float
        How far both families stand out.
    """

    at: FloatArray
    ways: FloatArray
    reach: float
    score: float


def find_seeds(level: Picture) -> list[Seed]:
    """Return parts that look like squares: the best first, then the best of those in coarser copies.

    A part holds squares of a few sizes only. Of wider ones it shows the overtones, and strongly: those of
    full-size parts must not push out the parts of a coarser copy, in which wide squares are themselves.

    Parameters
    ----------
    level : (h, w) array
        Bright paper with darker lines, 0 to 1.
    """
    seeds: list[list[Seed]] = []
    thin = thin_darkness(level)
    for factor in _PLACES:
        size = (level.shape[1] // factor, level.shape[0] // factor)
        if min(size) < _WINDOW:
            break
        small = thin if factor == 1 else cv2.resize(thin, size, interpolation=cv2.INTER_AREA)
        found = _in_picture(np.asarray(small, np.float32), factor)
        seeds.append(sorted(found, key=lambda seed: -seed.score))
    best = sorted((seed for each in seeds for seed in each), key=lambda seed: -seed.score)[:_TRIED]
    tried = {id(seed) for seed in best}
    return [*best, *(seed for each in seeds[1:] for seed in each[:_TRIED_COARSER] if id(seed) not in tried)]


def _in_picture(thin: Picture, factor: int) -> Iterable[Seed]:
    hann = np.hanning(_WINDOW).astype(np.float32)
    taper = hann[:, None] * hann[None, :]
    lasts = [length - _WINDOW for length in thin.shape]
    tops, lefts = (np.unique(np.linspace(0, last, _PLACES[factor]).astype(int)) for last in lasts)
    for top in tops:
        for left in lefts:
            part = thin[top : top + _WINDOW, left : left + _WINDOW]
            seed = _seed((part - part.mean()) * taper, factor, (left, top))
            if seed is not None:
                yield seed


def _seed(dark: Picture, factor: int, corner: tuple[int, int]) -> Seed | None:
    spectrum = spectrum_of(dark, _COLUMNS)
    height = np.abs(spectrum)
    down, across, unwanted, wanted = _waves()
    ground = ground_under(height.ravel()[wanted], _OVER_GROUND)
    if ground is None:
        return None
    height[unwanted] = 0.0
    tops = (height == cv2.dilate(height, np.ones((3, 3)))) & (height > _OVER_GROUND * ground)
    rows, columns = np.nonzero(tops)
    order = np.argsort(-height[rows, columns])[:_PEAKS]
    peaks = np.column_stack([across[columns[order]], down[rows[order]]])
    heights = height[rows[order], columns[order]]
    if len(peaks) < 2:  # noqa: PLR2004  two families
        return None
    units = peaks / np.linalg.norm(peaks, axis=1)[:, None]
    other = np.nonzero(np.abs(units @ units[0]) < _APART)[0]
    if other.size == 0:
        return None
    chosen = [_fundamental(peaks, heights, units, first) for first in (0, int(other[0]))]
    exact = [_exact(height, peaks[n]) for n in chosen]
    frequencies = np.array(exact) / _WINDOW
    if abs(np.linalg.det(frequencies)) < 1e-6:  # noqa: PLR2004
        return None
    phases = [spectrum[round(peaks[n][1]) % _WINDOW, round(peaks[n][0])] for n in chosen]
    score = float(np.sqrt(heights[0] * heights[other[0]])) / ground
    return _placed(frequencies, np.array(phases), factor, corner, score)


@cache
def _waves() -> tuple[FloatArray, FloatArray, Where, NDArray[np.intp]]:
    """Return the waves a window down and across, which are too long or too short, and where others are."""
    down: FloatArray = np.asarray(np.fft.fftfreq(_WINDOW) * _WINDOW, np.float64)
    across: FloatArray = np.arange(_COLUMNS, dtype=np.float64)
    waves = np.hypot(down[:, None], across[None, :])
    unwanted = np.asarray((waves < _LONGEST) | (waves > _SHORTEST))
    return down, across, unwanted, np.flatnonzero(~unwanted)


def _fundamental(peaks: FloatArray, heights: FloatArray, units: FloatArray, first: int) -> int:
    """Return the lowest strong peak in the direction of one."""
    same = np.abs(units @ units[first]) > _SAME
    strong = same & (heights >= _LOWEST_OF * heights[first])
    lengths = np.where(strong, np.linalg.norm(peaks, axis=1), np.inf)
    return int(np.argmin(lengths))


def _exact(height: FloatArray, peak: FloatArray) -> FloatArray:
    """Return a peak's place between the whole waves, by parabolas through its neighbours."""
    row, column = round(peak[1]), round(peak[0])
    moved = []
    for step in ((0, 1), (1, 0)):
        around = [
            height[(row + n * step[0]) % _WINDOW, min(abs(column + n * step[1]), height.shape[1] - 1)]
            for n in (-1, 0, 1)
        ]
        low, top, high = (float(np.log(max(value, 1e-9))) for value in around)
        curve = low - 2.0 * top + high
        moved.append(float(np.clip(0.5 * (low - high) / curve, -0.5, 0.5)) if curve < 0.0 else 0.0)
    exact: FloatArray = peak + np.array(moved)
    return exact


def _placed(
    frequencies: FloatArray, phases: FloatArray, factor: int, corner: tuple[int, int], score: float
) -> Seed:
    """Return the seed in pixels of the whole picture; ``frequencies`` in waves a pixel, (2, 2)."""
    middle = np.full(2, 0.5 * _WINDOW)
    ways: FloatArray = np.asarray(np.linalg.inv(frequencies).T, np.float64)
    whole = np.rint(frequencies * _WINDOW) / _WINDOW
    # lines lie where the wave is highest: the phase at the middle says how far that is
    turns = np.angle(phases) / (2.0 * np.pi) + whole @ middle
    away = -(turns - np.rint(turns))
    at = middle + away @ ways
    full: FloatArray = np.asarray((at + np.array(corner) + 0.5) * factor - 0.5, np.float64)
    return Seed(full, ways * factor, 0.5 * _WINDOW * factor, score)
