"""Lens, sensor and file: from the light of a scene to stored bytes."""

from __future__ import annotations

import io
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image

from tameshi.demo.light import as_stored
from tameshi.demo.prints import Picture

Pixels = NDArray[np.uint8]


@dataclass(frozen=True, slots=True, kw_only=True)
class Finish:
    """Lens, sensor and file.

    Parameters
    ----------
    blur : float
        Standard deviation of the lens's blur, in pixels.
    motion : float
        Length of a motion blur across the picture, in pixels.
    noise : float
        Standard deviation of noise on white paper, as a share of full scale.
    quality : int
        JPEG quality.
    linear : bool
        Whether blur mixes light (a camera) or encoded values (drawing software).
    texture : float
        Standard deviation of the paper's reflectance, as a share.
    """

    blur: float = 0.8
    motion: float = 0.0
    noise: float = 0.006
    quality: int = 90
    linear: bool = True
    texture: float = 0.006


def exposed(light: Picture, finish: Finish, rng: np.random.Generator) -> Pixels:
    """Blur, add noise, encode, cut to eight bits."""
    picture = light if finish.linear else as_stored(light)
    if finish.blur > 0.0:
        picture = np.asarray(cv2.GaussianBlur(picture, (0, 0), finish.blur), np.float32)
    if finish.motion >= 1.0:
        picture = np.asarray(cv2.blur(picture, (round(finish.motion), 1)), np.float32)
    if finish.noise > 0.0:
        spread = np.float32(finish.noise) * np.sqrt(np.clip(picture, 0.02, 1.0))
        picture = np.asarray(picture + spread * rng.standard_normal(picture.shape, np.float32), np.float32)
    stored = as_stored(picture) if finish.linear else picture
    return np.asarray(np.clip(np.rint(stored * 255.0), 0, 255), np.uint8)


def as_jpeg(pixels: Pixels, *, quality: int = 90, dpi: float | None = None) -> bytes:
    """Return pixels as a JPEG file, with the resolution in it where one is given."""
    out = io.BytesIO()
    extra = {} if dpi is None else {"dpi": (dpi, dpi)}
    Image.fromarray(pixels).save(out, "JPEG", quality=quality, **extra)
    return out.getvalue()


def as_png(pixels: Pixels, *, dpi: float | None = None) -> bytes:
    """Return pixels as a PNG file, with the resolution in it where one is given."""
    out = io.BytesIO()
    extra = {} if dpi is None else {"dpi": (dpi, dpi)}
    Image.fromarray(pixels).save(out, "PNG", compress_level=1, **extra)
    return out.getvalue()
