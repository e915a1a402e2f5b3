"""How much of a contact is under ink, where skin ridges leave gaps that blur fills in.

Ridges make a wave of dark and light. Blur keeps its mean but flattens it by a factor that follows
from the blur and the ridges' period, both of which the picture shows. Wave height over mean then
tells which share of a period carries ink, without knowing how dark full ink would be. Where the
picture is too coarse for ridges to show at all, that is said, and the inked area is bounded only.
"""

import math
from dataclasses import dataclass

import cv2
import numpy as np

from tameshi.footprint.ink.closeup import CloseUp
from tameshi.footprint.ink.outline import Outline
from tameshi.footprint.ink.surface import averaged, averages_over, enlarged
from tameshi.footprint.picture.arrays import FloatArray, Picture, Where
from tameshi.footprint.picture.channels import some_where
from tameshi.footprint.picture.spread import Spread
from tameshi.quantity import rectangular_u

_LOW_PASS = 0.00035  # metres: what varies more slowly is not ridges
_HALVING = 1.0  # square pixels: what halving a picture and enlarging it adds to the variance of a blur
_CLEAR = 2.2  # times that: so deep inside the outline its step does not disturb
_NEIGHBOURHOOD = 0.0015  # metres over which the share is taken as one
_COARSER = 4
_PERIODS = (0.0003, 0.0013)  # metres from ridge to ridge on hands and feet; common practice, no source
_USUAL_PERIOD = 0.0005
_LEAST_WAVE = 0.05  # of the mean
_OVER_NOISE = 3.0
_LEAST_KEPT = 0.1  # of the wave's height
_TOLD_APART = 0.12  # of the wave's height: were there ridges, they would show
_FEWEST = 400  # pixels
_BLUR_DOUBT = 0.08  # relative standard uncertainty of the blur
_MODEL_DOUBT = 0.04  # of the share: ridges are no square wave
_OVERTONES = np.arange(1, 8)
_SHARES = np.linspace(0.25, 1.0, 76)
_BEYOND_DOUBT = 0.25  # of the share
_COARSEST = 0.00018  # metres a pixel: ridges need three pixels from one to the next
_TOO_DOUBTFUL = 0.2  # of the share: twice that either way is no figure any more
_TOO_COARSE = (
    "The picture is too coarse to show skin ridges: if there are any, their gaps cannot be told from ink, "
    "so no inked area is given."
)
_DOUBTFUL = (
    "Skin ridges show too faintly to say how much of a contact is under ink: it would be uncertain by "
    "{:.0f} %, so no inked area is given."
)
_FROM_MAD = 1.4826  # standard deviation of a normal distribution by its median absolute deviation


@dataclass(frozen=True, slots=True)
class Ridging:
    """What the picture shows of skin ridges.

    Parameters
    ----------
    share : (h, w) array or None
        Share of the contact that carries ink, from place to place; None where no ridges show.
    u_share : float
        Its relative standard uncertainty; where no ridges show, what fine gaps could hide.
    hidden : str
        Why the picture cannot tell how much of the contact is under ink; empty where it can.
    """

    share: Picture | None
    u_share: float
    hidden: str = ""


def look_for_ridges(seen: CloseUp, outline: Outline, blur: float, coarsest: float, spread: Spread) -> Ridging:
    """Look for the wave that skin ridges make in the ink.

    Parameters
    ----------
    seen : CloseUp
    outline : Outline
    blur : float
        Standard deviation of the picture's blur, in pixels of the close-up.
    coarsest : float
        Largest metres a pixel of the photo itself at the print, along any direction.
    spread : Spread
        How far light was mixed at edges, not stored values.

    Notes
    -----
    A square wave with share d, blurred so that its fundamental keeps H and its nth overtone H^(n^2),
    has variance over squared mean sum 2 (sin(n pi d) H^(n^2) / (n pi d))^2. Derived.
    """
    sigma = _LOW_PASS / seen.scale
    core = outline.depth > _CLEAR * sigma
    usual = _kept(blur, seen.scale / _USUAL_PERIOD, sigma)
    resolved = usual > _TOLD_APART and coarsest < _COARSEST
    unseen = rectangular_u(1.0 - float(_share_of(_LEAST_WAVE, usual)))
    nothing = Ridging(None, unseen, "" if resolved else _TOO_COARSE)
    if not resolved or np.count_nonzero(core) < _FEWEST:
        return nothing
    wave = _wave(seen, outline, core, spread.linear_share)
    frequency = _frequency(wave.values, core)
    kept = _kept(blur, frequency, sigma)
    low, high = (seen.scale / period for period in reversed(_PERIODS))
    visible = wave.height > _LEAST_WAVE and wave.height * wave.mean > _OVER_NOISE * math.sqrt(wave.noise)
    if not visible or not low < frequency < high or kept < _LEAST_KEPT:
        return nothing
    doubt = math.hypot(_doubt(wave.height, kept), _light_doubt(seen, core, kept, spread))
    hidden = _DOUBTFUL.format(200.0 * doubt) if doubt > _TOO_DOUBTFUL else ""
    return Ridging(_share_map(wave, core, kept, seen.scale), doubt, hidden)


@dataclass(frozen=True, slots=True)
class _Wave:
    """Darkness, its wave, the wave's standard deviation over the mean, and noise as a variance."""

    dark: Picture
    values: Picture
    height: float
    mean: float
    noise: float


def _wave(seen: CloseUp, outline: Outline, core: Where, linear_share: float) -> _Wave:
    """Take what varies slowly away from the darkness; noise is what bare paper still shows."""
    weighted = cv2.addWeighted(seen.linear, -linear_share, seen.encoded, linear_share - 1.0, 1.0)
    dark = np.asarray(weighted, np.float32)
    sigma = _LOW_PASS / seen.scale
    values = dark - _slow(dark, sigma)
    bare = np.abs(some_where(values, outline.depth < -_CLEAR * sigma - 2.0))
    noise = (_FROM_MAD * float(np.median(bare))) ** 2 if bare.size else 0.0
    inside = np.flatnonzero(core)
    mean = max(float(dark.take(inside).mean()), 1e-3)
    height = math.sqrt(max(0.0, float(values.take(inside).var()) - noise)) / mean
    return _Wave(dark, values, height, mean, noise)


def _slow(dark: Picture, sigma: float) -> Picture:
    """Return a Gaussian average, worked out in a picture half as large for quickness."""
    narrower = 0.5 * math.sqrt(max(sigma**2 - _HALVING, _HALVING))
    half = np.asarray(cv2.GaussianBlur(averaged(dark, 2), (0, 0), narrower), np.float32)
    return enlarged(half, 2, dark)


def _kept(blur: float, frequency: float, sigma: float) -> float:
    """Return how much of a wave's height is left after the picture's blur and our own low pass."""
    angular = 2.0 * (math.pi * frequency) ** 2
    return math.exp(-angular * blur**2) * (1.0 - math.exp(-angular * sigma**2))


def _frequency(wave: Picture, core: Where) -> float:
    """Return the waves a pixel, from how often the wave crosses zero along rows and columns."""
    smooth = np.asarray(cv2.GaussianBlur(wave, (0, 0), 0.7)) > 0.0
    count = float(np.count_nonzero(core))
    across = np.count_nonzero((smooth[:, 1:] != smooth[:, :-1]) & core[:, 1:]) / count
    down = np.count_nonzero((smooth[1:] != smooth[:-1]) & core[1:]) / count
    return 0.5 * math.hypot(across, down)


def _heights(kept: float) -> FloatArray:
    """Return standard deviation over mean of the blurred wave, for each of ``_SHARES``."""
    angle = math.pi * _OVERTONES[:, None] * _SHARES[None, :]
    terms = np.sin(angle) / angle * kept ** (_OVERTONES[:, None] ** 2)
    heights: FloatArray = np.sqrt(2.0 * np.sum(terms**2, axis=0))
    return heights


def _share_of(height: FloatArray | Picture | float, kept: float) -> FloatArray:
    """Return the share of ink that makes a wave of this height."""
    shares: FloatArray = np.interp(-np.asarray(height), -_heights(kept), _SHARES)
    return shares


def _share_map(wave: _Wave, core: Where, kept: float, scale: float) -> Picture:
    """Return the share of ink from place to place."""
    squares, dark = averages_over((wave.values**2, wave.dark), core, _COARSER, _NEIGHBOURHOOD / scale)
    height = np.sqrt(np.maximum(squares - wave.noise, 0.0)) / np.maximum(dark, 1e-3)
    return enlarged(_share_of(height, kept).astype(np.float32), _COARSER, wave.dark)


def _doubt(height: float, kept: float) -> float:
    """Return the relative uncertainty that doubt about the blur leaves in the share."""
    change = 2.0 * -math.log(min(kept, 0.99)) * _BLUR_DOUBT
    low, high = sorted(float(_share_of(height, kept * math.exp(sign * change))) for sign in (-1.0, 1.0))
    doubt = (high - low) / (high + low)
    if low <= _SHARES[0]:  # a wave higher than ridges can make: the blur must be another
        doubt = max(doubt, _BEYOND_DOUBT)
    return math.hypot(doubt, _MODEL_DOUBT)


def _light_doubt(seen: CloseUp, core: Where, kept: float, spread: Spread) -> float:
    """Return the relative uncertainty from not knowing whether light was mixed or stored values."""
    heights = [
        float(values[core].std()) / max(1.0 - float(values[core].mean()), 1e-3)
        for values in (seen.encoded, seen.linear)
    ]
    one, other = (float(_share_of(height, kept)) for height in heights)
    return 2.0 * abs(one - other) / (one + other) * spread.u_linear_share
