"""Light on a sheet, and the values that light is stored as."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import cv2
import numpy as np

from tameshi.demo.camera import Camera
from tameshi.demo.prints import Picture

Colour = tuple[float, float, float]

_LINEAR_END = 0.04045  # of full scale: below it the sRGB curve is a straight line


@dataclass(frozen=True, slots=True, kw_only=True)
class Light:
    """How the sheet is lit.

    Parameters
    ----------
    level : float
        Linear sensor level of white paper; above 1 it is blown out.
    gradient : float
        Fall of the light across the picture, as a share.
    direction : float
        Which way it falls, in degrees.
    shadow : float
        Depth of a shadow that covers one side, as a share; 0 is none.
    softness : float
        Width of the shadow's edge as a share of the picture's width.
    balance : (float, float, float)
        Gains of red, green and blue.
    """

    level: float = 0.75
    gradient: float = 0.0
    direction: float = 0.0
    shadow: float = 0.0
    softness: float = 0.15
    balance: Colour = (1.0, 1.0, 1.0)


def illumination(light: Light, camera: Camera) -> Picture:
    """Return the light that falls on each pixel, white paper at the middle being ``level``."""
    y, x = np.mgrid[0:64, 0:64].astype(np.float32) / 63.0 - 0.5
    direction = math.radians(light.direction)
    along = x * math.cos(direction) + y * math.sin(direction)
    field_of_light = light.level * (1.0 - light.gradient * along)
    if light.shadow > 0.0:
        field_of_light = field_of_light * (
            1.0 - light.shadow / (1.0 + np.exp(-along / (0.25 * light.softness)))
        )
    size = (camera.width, camera.height)
    return np.asarray(cv2.resize(field_of_light.astype(np.float32), size, interpolation=cv2.INTER_LINEAR))


def as_stored(light: Picture) -> Picture:
    """Return stored sRGB values, 0 to 1, of linear light."""
    bounded = np.clip(light, 0.0, 1.0)
    return np.asarray(
        np.where(bounded <= _LINEAR_END / 12.92, 12.92 * bounded, 1.055 * bounded ** (1.0 / 2.4) - 0.055),
        np.float32,
    )


@lru_cache(maxsize=1)
def decoding() -> Picture:
    """Return the linear light of each eight-bit sRGB value."""
    value = np.arange(256) / 255.0
    return np.asarray(
        np.where(value <= _LINEAR_END, value / 12.92, ((value + 0.055) / 1.055) ** 2.4), np.float32
    )
