"""Paper, ink and what lies under them."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np

from tameshi.demo.light import Colour
from tameshi.demo.prints import Picture
from tameshi.footprint import Box


@dataclass(frozen=True, slots=True, kw_only=True)
class Surface:
    """Paper, ink and what lies under them.

    Parameters
    ----------
    paper : (float, float, float)
        Reflectance in red, green and blue, relative to white.
    ink : (float, float, float)
    table : (float, float, float)
    clutter : int
        Things of random grey lying about.
    patchiness : float
        Standard deviation of the ink's density from place to place, as a share.
    bleed : float
        How far ink creeps past the contact, in metres.
    """

    paper: Colour = (0.95, 0.95, 0.93)
    ink: Colour = (0.05, 0.05, 0.06)
    table: Colour = (0.25, 0.18, 0.12)
    clutter: int = 0
    patchiness: float = 0.0
    bleed: float = 0.0


def density(box: Box, texel: float, surface: Surface, rng: np.random.Generator) -> Picture:
    """Return a smooth random field around one: ink is thicker here, thinner there."""
    size = (round(box.width / texel), round(box.height / texel))
    if surface.patchiness == 0.0:
        return np.ones((size[1], size[0]), np.float32)
    coarse = rng.normal(0.0, 1.0, (max(4, round(box.height / 0.002)), max(4, round(box.width / 0.002))))
    smooth = cv2.resize(coarse.astype(np.float32), size, interpolation=cv2.INTER_CUBIC)
    return np.asarray(np.clip(1.0 - np.abs(smooth) * surface.patchiness, 0.3, 1.0), np.float32)


def cluttered_table(shape: tuple[int, ...], surface: Surface, rng: np.random.Generator) -> Picture:
    """Return what lies under the sheet: one colour, and clutter."""
    picture = np.empty((*shape, 3), np.float32)
    picture[:] = surface.table
    for _ in range(surface.clutter):
        x, y = (int(rng.integers(0, size)) for size in (shape[1], shape[0]))
        w, h = (int(rng.integers(size // 30 + 1, size // 5 + 2)) for size in (shape[1], shape[0]))
        colour = tuple(float(c) for c in rng.uniform(0.02, 0.9, 3))
        cv2.rectangle(picture, (x, y), (x + w, y + h), colour, -1)
    return picture
