"""Where a row of ticks may be: strips of even stripes, by local spectra and the response to one wave."""

from dataclasses import dataclass

import cv2
import numpy as np

from tameshi.footprint.picture.arrays import FloatArray, Picture, Pixels
from tameshi.footprint.picture.spectrum import ground_under, spectrum_of
from tameshi.footprint.picture.thin import thin_darkness

_WINDOW = 256  # pixels
_FACTORS = (1, 2, 4)
_STRIDE = 192  # pixels: windows overlap, since a row is a narrow strip
_LONGEST, _SHORTEST = 8.0, 90.0  # waves a window
_COLUMNS = 92  # of a spectrum: waves across, up to the shortest and one more
_OVER_GROUND = 8.0
_LOWEST_OF = 0.45  # of the strongest peak
_SAME = 0.985  # cosine
_SMOOTH = 1.5  # pitches
_FINE_SIGMA = 2.5  # pixels that a smoothing must still have where its picture is made smaller
_DIFFERENT = 12  # windows of different seeds are so many, at most
_ANOTHER_WAY = 0.87  # cosine: stripes across others, as ticks are across the grain of wood
_SMALLEST_PITCH = 3.2  # pixels: finer ticks run together
_FAINTEST = 0.004  # answer to a wave: the texture of paper gives less, the palest ticks more
_TRIED = 12  # waves whose answers are worked out, at most
_ONE_WAY = 5  # seeds of about one direction are so many, at most: grain has many pitches, ticks one


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


def find_stripes(grey: Pixels) -> list[Stripes]:
    """Return places with even stripes, the clearest first; ``grey`` is (h, w), stored values."""
    copies = {1: thin_darkness(grey)}
    waves: list[tuple[float, FloatArray, FloatArray, int]] = []
    for factor in _FACTORS:
        size = (grey.shape[1] // factor, grey.shape[0] // factor)
        if min(size) < _WINDOW:
            break
        waves += _waves(_copy(copies, factor), factor)
    waves.sort(key=lambda wave: -wave[0])
    found: list[Stripes] = []
    tried: list[Stripes] = []
    for score, wave, middle, factor in waves:
        if len(found) >= _DIFFERENT or len(tried) >= _TRIED:
            break
        if np.linalg.norm(wave) > 1.0 / _SMALLEST_PITCH:
            continue
        alike = sum(_along_one_way(other.wave, wave) for other in tried)
        if alike >= _ONE_WAY or any(_seen_by(other, wave, middle) for other in tried):
            continue
        tried.append(_response(copies, score, wave, middle, factor))
        if tried[-1].peak > _FAINTEST:
            found.append(tried[-1])
    return found


def _copy(copies: dict[int, Picture], factor: int) -> Picture:
    """Return the picture made smaller by a factor, made at most once."""
    if factor not in copies:
        size = (copies[1].shape[1] // factor, copies[1].shape[0] // factor)
        copies[factor] = np.asarray(cv2.resize(copies[1], size, interpolation=cv2.INTER_AREA), np.float32)
    return copies[factor]


def _waves(thin: Picture, factor: int) -> list[tuple[float, FloatArray, FloatArray, int]]:
    """Return score, waves a pixel and middle of windows with a clear wave."""
    hann = np.hanning(_WINDOW).astype(np.float32)
    taper = hann[:, None] * hann[None, :]
    down, across = np.fft.fftfreq(_WINDOW) * _WINDOW, np.arange(_COLUMNS, dtype=float)
    waves = np.hypot(down[:, None], across[None, :])
    unwanted = (waves < _LONGEST) | (waves > _SHORTEST)
    ways = np.stack([np.broadcast_to(across, waves.shape), np.broadcast_to(down[:, None], waves.shape)], -1)
    ways = ways / np.maximum(waves, 1.0)[..., None]
    wanted = np.flatnonzero(~unwanted)
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
            height = np.abs(spectrum_of((part - part.mean()) * taper, _COLUMNS))
            ground = ground_under(height.ravel()[wanted], _OVER_GROUND)
            if ground is None:
                continue
            height[unwanted] = 0.0
            middle = (np.array([left, top], float) + 0.5 * _WINDOW) * factor
            for peak, top_height in _peaks(height, waves, ways, _OVER_GROUND * max(ground, 1e-9)):
                result += [
                    (top_height / ground, wave / (_WINDOW * factor), middle, factor)
                    for wave in (peak, *_lower(height, peak, top_height))
                ]
    return result


def _peaks(
    height: Picture, waves: FloatArray, ways: FloatArray, least: float
) -> list[tuple[FloatArray, float]]:
    """Return the strongest wave and the strongest across it, in waves across and down, with their heights."""
    places = np.flatnonzero(height > least)
    if not len(places):
        return []
    values, own = height.ravel()[places], ways.reshape(-1, 2)[places]
    found = [int(np.argmax(values))]
    across = np.flatnonzero(np.abs(own @ own[found[0]]) < _ANOTHER_WAY)
    if len(across):
        found.append(int(across[np.argmax(values[across])]))
    return [(own[n] * waves.ravel()[places[n]], float(values[n])) for n in found]


def _along_one_way(one: FloatArray, other: FloatArray) -> bool:
    """Return whether two waves have about the same direction."""
    cosine = abs(float(one @ other)) / float(np.linalg.norm(one) * np.linalg.norm(other))
    return cosine > _SAME


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
    reach = max(1, _WINDOW // 2 // other.factor)
    part = other.response[max(0, row - reach) : row + reach, max(0, column - reach) : column + reach]
    return bool(part.size and float(part.max()) > 0.5 * other.peak)


def _response(
    copies: dict[int, Picture], score: float, wave: FloatArray, middle: FloatArray, factor: int
) -> Stripes:
    """Return how strongly the picture answers to a wave, everywhere."""
    pitch = 1.0 / float(np.linalg.norm(wave))
    coarser = max(1, int(pitch / 5.0))
    sigma = _SMOOTH * pitch / coarser
    # the answer changes slowly: most of its smoothing is done by making it smaller
    fewer = max(1, int(sigma / _FINE_SIGMA))
    parts = _turned(_copy(copies, coarser), wave * coarser, fewer)
    left_over = float(np.sqrt(sigma**2 - (fewer**2 - 1.0) / 12.0)) / fewer
    real, imaginary = (np.asarray(cv2.GaussianBlur(part, (0, 0), left_over), np.float32) for part in parts)
    response = np.asarray(cv2.magnitude(real, imaginary), np.float32)
    coarser *= fewer
    column, row = (middle / coarser).astype(int)
    reach = int(0.6 * _WINDOW * factor / coarser)
    top, left = max(0, row - reach), max(0, column - reach)
    part = response[top : row + reach, left : column + reach]
    best = np.unravel_index(int(np.argmax(part)), part.shape)
    at = (np.array([left + best[1], top + best[0]], float) + 0.5) * coarser - 0.5
    return Stripes(at, wave, response, coarser, float(part[best]), score)


def _turned(small: Picture, wave: FloatArray, fewer: int) -> tuple[Picture, Picture]:
    """Return a picture times a wave, real and imaginary part, made smaller by a factor each way."""
    columns, rows = small.shape[1] // fewer, small.shape[0] // fewer
    small = small[: rows * fewer, : columns * fewer]
    # the wave is a product of one factor a column and one a row
    across, down = (2.0 * np.pi * wave[n] * np.arange(small.shape[1 - n]) for n in (0, 1))
    even, odd = (
        cv2.resize(
            small * way(across).astype(np.float32), (columns, len(small)), interpolation=cv2.INTER_AREA
        )
        for way in (np.cos, np.sin)
    )
    cosine, sine = (way(down).astype(np.float32)[:, None] for way in (np.cos, np.sin))
    real, imaginary = (
        np.asarray(cv2.resize(part, (columns, rows), interpolation=cv2.INTER_AREA), np.float32)
        for part in (even * cosine - odd * sine, even * sine + odd * cosine)
    )
    return real, imaginary
