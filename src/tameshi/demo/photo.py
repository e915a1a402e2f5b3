"""Render photos and scans of struck sheets, the way light, lens, sensor and file would change them.

The sheet is the one people print. Ink and paper are blended by area, seen through a pinhole camera
at any pose with twice the final resolution each way, lit unevenly, blurred by the lens in linear
light, given noise, encoded and compressed. Nothing here is random but through the generator.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache

import cv2
import numpy as np

from tameshi.demo.camera import (
    FINER,
    Camera,
    FloatArray,
    camera_matrix,
    camera_pose,
    pixel_on_sheet,
    projection,
    seen_through,
    shift,
)
from tameshi.demo.distortion import distorted
from tameshi.demo.finish import Finish, Pixels, as_jpeg, as_png, exposed
from tameshi.demo.light import Colour, Light, decoding, illumination
from tameshi.demo.prints import ContactPrint, Picture, draw
from tameshi.demo.surface import Surface, cluttered_table, density
from tameshi.footprint import Box, sheet_layout
from tameshi.report.sheet import sheet_png

__all__ = [
    "INCH",
    "Camera",
    "Colour",
    "Finish",
    "FloatArray",
    "Light",
    "Pixels",
    "Printed",
    "Setting",
    "Surface",
    "as_jpeg",
    "as_png",
    "camera_matrix",
    "camera_pose",
    "cluttered_table",
    "composed",
    "density",
    "exposed",
    "illumination",
    "projection",
    "render_photo",
    "render_scan",
    "seen_through",
]

INCH = 0.0254


@dataclass(frozen=True, slots=True, kw_only=True)
class Printed:
    """A printed sheet.

    Parameters
    ----------
    paper : str
        Key of the reference table ``papers``.
    scale : (float, float)
        What the printer made of one metre across and along the sheet.
    """

    paper: str = "a4"
    scale: tuple[float, float] = (1.0, 1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """Everything about one photo but the print."""

    camera: Camera = field(default_factory=Camera)
    light: Light = field(default_factory=Light)
    finish: Finish = field(default_factory=Finish)
    surface: Surface = field(default_factory=Surface)
    printed: Printed = field(default_factory=Printed)


def render_photo(contact: ContactPrint, setting: Setting, rng: np.random.Generator) -> Pixels:
    """Return a photo of a struck target sheet, before it is compressed.

    Parameters
    ----------
    contact : ContactPrint
        In metres from the sheet's top left corner, on the real paper.
    setting : Setting
    rng : numpy Generator

    Returns
    -------
    (h, w, 3) array of uint8
        Red, green and blue.
    """
    sheet = sheet_layout(setting.printed.paper)
    camera = setting.camera
    texel = 0.00005 if pixel_on_sheet(sheet, camera) < 0.00014 else 0.0001  # noqa: PLR2004  half a pixel
    grey, ink = _struck_sheet(contact, setting, texel, rng)
    across = camera_matrix(setting.printed.paper, camera)
    to_metres = np.diag([texel, texel, 1.0]) @ shift(0.5)
    seen = seen_through(np.stack([grey, ink, np.ones_like(grey)], axis=2), across @ to_metres, camera)
    light = composed(seen, setting, rng) * illumination(setting.light, camera)[:, :, None]
    light = distorted(light, camera.distortion)
    return exposed(light * np.array(setting.light.balance, np.float32), setting.finish, rng)


def render_scan(
    contact: ContactPrint,
    box: Box,
    dpi: float,
    rng: np.random.Generator,
    *,
    surface: Surface | None = None,
    finish: Finish | None = None,
    scale: tuple[float, float] = (1.0, 1.0),
) -> Pixels:
    """Return a flatbed scan of a print on plain paper.

    Parameters
    ----------
    contact : ContactPrint
    box : Box
        The part of the paper on the glass, in metres.
    dpi : float
        Pixels an inch the scanner believes in.
    rng : numpy Generator
    surface, finish : optional
        Paper and ink; optics and noise.
    scale : (float, float)
        What the scanner makes of one metre, each way.

    Returns
    -------
    (h, w, 3) array of uint8
    """
    surface = surface or Surface()
    finish = finish or Finish(blur=0.6, noise=0.004, texture=0.004)
    texel = INCH / dpi / (2.0 * FINER)
    ink = draw(contact, box, texel, bleed=surface.bleed) * density(box, texel, surface, rng)
    size = (round(box.width * scale[0] * dpi / INCH), round(box.height * scale[1] * dpi / INCH))
    ink = np.asarray(cv2.resize(ink, size, interpolation=cv2.INTER_AREA), np.float32)
    seen = np.stack([np.ones_like(ink), ink, np.ones_like(ink)], axis=2)
    setting = Setting(surface=surface, finish=finish, light=Light(level=0.9))
    return exposed(composed(seen, setting, rng) * np.float32(0.9), finish, rng)


def composed(
    seen: Picture, setting: Setting, rng: np.random.Generator, table: Picture | None = None
) -> Picture:
    """Return the light that leaves the scene, in red, green and blue.

    Parameters
    ----------
    seen : (h, w, 3) array
        Grey of the sheet (0 beside it), density of ink, and how much of each pixel is paper.
    setting : Setting
    rng : numpy Generator
    table : (h, w, 3) array or None
        What lies under the sheet; None draws it.
    """
    grey, ink, paper_here = (seen[:, :, layer] for layer in range(3))
    paper = np.array(setting.surface.paper, np.float32)
    thin = 1.0 - np.array(setting.surface.ink, np.float32)
    shape = grey.shape
    if setting.finish.texture > 0.0:
        grey = grey * (1.0 + setting.finish.texture * rng.standard_normal(shape, np.float32))
    light = paper * (grey[:, :, None] - grey[:, :, None] * ink[:, :, None] * thin)
    under = cluttered_table(shape, setting.surface, rng) if table is None else table
    return np.asarray(light + (1.0 - paper_here[:, :, None]) * under, np.float32)


@lru_cache(maxsize=2)
def _sheet_picture(paper: str, texel: float) -> Pixels:
    encoded = sheet_png(paper, ppi=INCH / texel)
    picture = cv2.imdecode(np.frombuffer(encoded, np.uint8), cv2.IMREAD_GRAYSCALE)
    if picture is None:  # pragma: no cover  our own drawing is always a picture
        raise AssertionError
    return np.asarray(picture, dtype=np.uint8)


def _struck_sheet(
    contact: ContactPrint, setting: Setting, texel: float, rng: np.random.Generator
) -> tuple[Picture, Picture]:
    """Return the printed sheet as the printer scaled it (reflectance) and the ink on it (density)."""
    sheet = sheet_layout(setting.printed.paper)
    box = Box(0.0, 0.0, sheet.width, sheet.height)
    ink = draw(contact, box, texel, bleed=setting.surface.bleed) * density(box, texel, setting.surface, rng)
    drawn = _sheet_picture(setting.printed.paper, texel)
    x, y = setting.printed.scale
    stretch = np.array([[x, 0.0, 0.5 * (x - 1.0)], [0.0, y, 0.5 * (y - 1.0)]])
    size = (ink.shape[1], ink.shape[0])
    encoded = cv2.warpAffine(drawn, stretch, size, flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    # grey levels of the drawing are reflectances as an eye orders them: decode the edges and tints
    grey = cv2.LUT(encoded, decoding())
    return np.asarray(grey * 0.95 + 0.05, np.float32), np.asarray(ink, np.float32)
