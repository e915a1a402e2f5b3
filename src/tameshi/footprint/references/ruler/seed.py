"""Where a row of ticks may be: strips of even stripes, by local spectra and the response to one wave."""

from dataclasses import dataclass

import cv2
import numpy as np

from tameshi.footprint.picture.arrays import FloatArray, Picture
from tameshi.footprint.picture.thin import thin_darkness

_WINDOW = 256  # pixels
_FACTORS = (1, 2, 4)
_STRIDE = 192  # pixels: windows overlap, since a row is a narrow strip
_LONGEST, _SHORTEST = 8.0, 90.0  # waves a window
_OVER_GROUND = 8.0
_LOWEST_OF = 0.45  # of the strongest peak
_SAME = 0.985  # cosine
_SMOOTH = 1.5  # pitches
_DIFFERENT = 12  # windows of different seeds are so many, at most


@dataclass(frozen=True, slots=True)
class Stripes:
    """A place where even stripes are.

    Parameters
    ----------
    at : (2,) array
        Where they are strongest, in pixels.
    wave : (2,) array
        Waves a pixel.
    response : (h, w) array
        How strongly such stripes show everywhere, in a copy reduced by ``factor``.
    factor : int
    peak : float
        Of the response, at ``at``.
    score : float
    """

    at: FloatArray
    wave: FloatArray
    response: Picture
    factor: int
    peak: float
    score: float


def find_stripes(level: Picture) -> list[Stripes]:
    """Return places with even stripes, the clearest first; ``level`` is (h, w), 0 to 1."""
    thin = thin_darkness(level)
    waves: list[tuple[float, FloatArray, FloatArray, int]] = []
    for factor in _FACTORS:
        size = (level.shape[1] // factor, level.shape[0] // factor)
        if min(size) < _WINDOW:
            break
        small = thin if factor == 1 else np.asarray(cv2.resize(thin, size, interpolation=cv2.INTER_AREA))
        waves += _waves(np.asarray(small, np.float32), factor)
    waves.sort(key=lambda wave: -wave[0])
    found: list[Stripes] = []
    for score, wave, middle, factor in waves:
        if len(found) >= _DIFFERENT:
            break
        if any(_seen_by(other, wave, middle) for other in found):
            continue
        found.append(_response(thin, score, wave, middle, factor))
    return found


def _waves(thin: Picture, factor: int) -> list[tuple[float, FloatArray, FloatArray, int]]:
    """Return score, waves a pixel and middle of windows with a clear wave."""
    hann = np.hanning(_WINDOW).astype(np.float32)
    taper = hann[:, None] * hann[None, :]
    down, across = np.fft.fftfreq(_WINDOW) * _WINDOW, np.arange(_WINDOW // 2 + 1, dtype=float)
    waves = np.hypot(down[:, None], across[None, :])
    wanted = (waves >= _LONGEST) & (waves <= _SHORTEST)
    result = []
    tops, lefts = (
        np.unique(
            np.linspace(0, length - _WINDOW, max(2, int(np.ceil((length - _WINDOW) / _STRIDE)) + 1)).astype(
                int
            )
        )
        for length in thin.shape
    )
    for top in tops:
        for left in lefts:
            part = thin[top : top + _WINDOW, left : left + _WINDOW]
            height = np.abs(np.fft.rfft2((part - part.mean()) * taper))
            ground = float(np.median(height[wanted]))
            height[~wanted] = 0.0
            best = np.unravel_index(int(np.argmax(height)), height.shape)
            top_height = float(height[best])
            if top_height < _OVER_GROUND * max(ground, 1e-9):
                continue
            peak = np.array([across[best[1]], down[best[0]]])
            middle = (np.array([left, top], float) + 0.5 * _WINDOW) * factor
            result += [
                (top_height / ground, wave / (_WINDOW * factor), middle, factor)
                for wave in (peak, *_lower(height, peak, top_height))
            ]
    return result


def _lower(height: Picture, peak: FloatArray, top: float) -> list[FloatArray]:
    """Return waves of which a peak may be a harmonic: half or a third as many, and nearly as strong."""
    lower = []
    for part in (2, 3):
        column, row = round(peak[0] / part), round(peak[1] / part)
        if np.hypot(column, row) < _LONGEST:
            continue
        near = [
            (float(height[(row + y) % _WINDOW, abs(column + x)]), column + x, row + y)
            for x in (-1, 0, 1)
            for y in (-1, 0, 1)
        ]
        best = max(near)
        if best[0] >= _LOWEST_OF * top:
            lower.append(np.array([best[1], best[2]], float))
    return lower


def _seen_by(other: Stripes, wave: FloatArray, middle: FloatArray) -> bool:
    """Return whether stripes already found respond here as strongly, to about the same wave."""
    alike = min(np.linalg.norm(other.wave - wave), np.linalg.norm(other.wave + wave))
    if alike > 0.12 * np.linalg.norm(wave):
        return False
    column, row = (middle / other.factor).astype(int)
    reach = _WINDOW // 2 // other.factor
    part = other.response[max(0, row - reach) : row + reach, max(0, column - reach) : column + reach]
    return bool(part.size and float(part.max()) > 0.5 * other.peak)


def _response(thin: Picture, score: float, wave: FloatArray, middle: FloatArray, factor: int) -> Stripes:
    """Return how strongly the picture answers to a wave, everywhere."""
    pitch = 1.0 / float(np.linalg.norm(wave))
    coarser = max(1, int(pitch / 5.0))
    size = (thin.shape[1] // coarser, thin.shape[0] // coarser)
    small = (
        thin if coarser == 1 else np.asarray(cv2.resize(thin, size, interpolation=cv2.INTER_AREA), np.float32)
    )
    x, y = np.arange(size[0]) * coarser, np.arange(size[1]) * coarser
    # the wave is a product of one factor a column and one a row
    columns, rows = (
        np.exp(-2j * np.pi * wave[n] * axis).astype(np.complex64) for n, axis in ((0, x), (1, y))
    )
    turned = small * columns[None, :] * rows[:, None]
    sigma = _SMOOTH * pitch / coarser
    real, imaginary = (
        np.asarray(cv2.GaussianBlur(np.ascontiguousarray(part), (0, 0), sigma), np.float32)
        for part in (turned.real, turned.imag)
    )
    response = np.asarray(np.hypot(real, imaginary), np.float32)
    column, row = (middle / coarser).astype(int)
    reach = int(0.6 * _WINDOW * factor / coarser)
    top, left = max(0, row - reach), max(0, column - reach)
    part = response[top : row + reach, left : column + reach]
    best = np.unravel_index(int(np.argmax(part)), part.shape)
    at = (np.array([left + best[1], top + best[0]], float) + 0.5) * coarser - 0.5
    return Stripes(at, wave, response, coarser, float(part[best]), score)
