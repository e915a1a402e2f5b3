"""Pictures for tests: scans of ink of any density and colour, in any light; drawn small."""

from __future__ import annotations

import math

import cv2
import numpy as np
from numpy.typing import NDArray

from tameshi.footprint import Footprint, measure_footprint

Light = NDArray[np.float64]
Grid = NDArray[np.float64]

SIDE, DPI = 0.1, 200.0
SCALE = 0.0254 / DPI
PAPER = (0.80, 0.78, 0.74)
BLUE, BLACK = (1.2, 0.8, 0.25), (1.0, 1.0, 1.0)
MIDDLE = 0.5 * SIDE
DISC = math.pi * 0.015**2


def grid(dpi: float = DPI) -> tuple[Grid, Grid]:
    """Return x and y of each pixel, in metres."""
    scale = 0.0254 / dpi
    places = (np.arange(round(SIDE / scale)) + 0.5) * scale
    return np.meshgrid(places, places)


def zero() -> Light:
    return np.zeros(grid()[0].shape, np.float64)


def disc(
    radius: float = 0.015, x: float = MIDDLE, y: float = MIDDLE, *, blur: float = 1e-4, dpi: float = DPI
) -> Light:
    """Return how much of each pixel a disc covers, its edge blurred."""
    across, down = grid(dpi)
    sharp = (np.hypot(across - x, down - y) <= radius).astype(np.float64)
    return np.asarray(cv2.GaussianBlur(sharp, (0, 0), blur * dpi / 0.0254), np.float64)


def scanned(
    density: Light, colour: tuple[float, float, float] = BLACK, *, lit: Light | float = 1.0, gain: float = 1.0
) -> NDArray[np.uint8]:
    """Return a scan of ink of some density on paper, in some light: by place, or by place and colour."""
    light = np.asarray(PAPER) * np.exp(-density[..., None] * np.asarray(colour)) * gain
    light = light * (lit[..., None] if isinstance(lit, np.ndarray) and lit.ndim == 2 else lit)
    noise = np.random.default_rng(1).normal(0.0, 0.003, light.shape)
    return np.asarray(np.rint(255.0 * np.clip(light ** (1.0 / 2.2) + noise, 0.0, 1.0)), np.uint8)


def measured(picture: NDArray[np.uint8], dpi: float = DPI) -> Footprint:
    return measure_footprint(picture, reference=f"scan:{dpi:.0f}")


def through(density: Light, colour: tuple[float, float, float]) -> Light:
    """Return what another ink lets through, to be given as the light: a pen's, coffee."""
    return np.asarray(np.exp(-density[..., None] * np.asarray(colour)), np.float64)
