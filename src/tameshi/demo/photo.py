"""Render photos and scans of struck sheets, the way light, lens, sensor and file would change them.

The sheet is the one people print. Ink and paper are blended by area, seen through a pinhole camera
at any pose with twice the final resolution each way, lit unevenly, blurred by the lens in linear
light, given noise, encoded and compressed. Nothing here is random but through the generator.
"""

from __future__ import annotations

import io
import math
from dataclasses import dataclass, field
from functools import lru_cache

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image

from tameshi.demo.distortion import distorted
from tameshi.demo.prints import ContactPrint, Picture, draw
from tameshi.footprint import Box, Sheet, sheet_layout
from tameshi.report.sheet import sheet_png

FloatArray = NDArray[np.float64]
Pixels = NDArray[np.uint8]
Colour = tuple[float, float, float]

INCH = 0.0254
_FINER = 2  # rendered pixels for each final one, each way
_LINEAR_END = 0.04045  # of full scale: below it the sRGB curve is a straight line
_BAND = 256  # rows rendered at once


@dataclass(frozen=True, slots=True, kw_only=True)
class Camera:
    """Where the camera is and what it looks like inside.

    Parameters
    ----------
    width, height : int
        Of the picture, in pixels.
    tilt : float
        Angle between the sheet's normal and the line of sight, in degrees.
    azimuth, roll : float
        Which way it leans over and how the picture is turned, in degrees.
    fill : float
        Share of the picture's height that the upright sheet would take, seen squarely.
    focal : float
        Focal length as a share of the picture's longer side.
    distortion : float
        Radial distortion: how far the picture's corners move outwards, as a share of their distance from
        the middle; elsewhere with the cube of that distance.
    """

    width: int = 3000
    height: int = 4000
    tilt: float = 0.0
    azimuth: float = 0.0
    roll: float = 0.0
    fill: float = 0.8
    focal: float = 0.75
    distortion: float = 0.0


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
    texel = 0.00005 if _pixel_on_sheet(sheet, camera) < 0.00014 else 0.0001  # noqa: PLR2004  half a pixel
    grey, ink = _struck_sheet(contact, setting, texel, rng)
    across = camera_matrix(setting.printed.paper, camera)
    to_metres = np.diag([texel, texel, 1.0]) @ _shift(0.5)
    seen = seen_through(np.stack([grey, ink, np.ones_like(grey)], axis=2), across @ to_metres, camera)
    light = composed(seen, setting, rng) * illumination(setting.light, camera)[:, :, None]
    light = distorted(light, camera.distortion)
    return exposed(light * np.array(setting.light.balance, np.float32), setting, rng)


def camera_matrix(paper: str, camera: Camera) -> FloatArray:
    """Return the (3, 3) matrix from metres on the paper to pixels; pixel middles are whole numbers."""
    sheet = sheet_layout(paper)
    return projection((sheet.width, sheet.height), camera)[:, (0, 1, 3)]


def projection(size: tuple[float, float], camera: Camera) -> FloatArray:
    """Return the (3, 4) matrix from metres on a sheet, and above it, to pixels.

    Parameters
    ----------
    size : (float, float)
        Width and height of the sheet, in metres; the camera looks at its middle.
    camera : Camera
    """
    rotation, distance, focal = camera_pose(size[1], camera)
    middle = ((camera.width - 1) / 2.0, (camera.height - 1) / 2.0)
    lens = np.array([[focal, 0.0, middle[0]], [0.0, focal, middle[1]], [0.0, 0.0, 1.0]])
    turned = rotation * (1.0, 1.0, -1.0)  # heights count towards the camera
    moved = np.array([0.0, 0.0, distance]) - turned @ (size[0] / 2.0, size[1] / 2.0, 0.0)
    matrix: FloatArray = lens @ np.column_stack([turned, moved])
    return matrix


def camera_pose(height: float, camera: Camera) -> tuple[FloatArray, float, float]:
    """Return the rotation from the sheet's axes to the camera's, its distance [m] and focal length [px].

    Parameters
    ----------
    height : float
        Of the sheet, in metres.
    camera : Camera
    """
    tilt, azimuth, roll = (math.radians(a) for a in (camera.tilt, camera.azimuth, camera.roll))
    leaning = _turn(azimuth, 2) @ _turn(tilt, 0) @ _turn(-azimuth, 2)
    focal = camera.focal * max(camera.width, camera.height)
    distance = focal * height / (camera.fill * camera.height)
    return np.asarray(_turn(roll, 2) @ leaning), distance, focal


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
    texel = INCH / dpi / (2.0 * _FINER)
    ink = draw(contact, box, texel, bleed=surface.bleed) * density(box, texel, surface, rng)
    size = (round(box.width * scale[0] * dpi / INCH), round(box.height * scale[1] * dpi / INCH))
    ink = np.asarray(cv2.resize(ink, size, interpolation=cv2.INTER_AREA), np.float32)
    seen = np.stack([np.ones_like(ink), ink, np.ones_like(ink)], axis=2)
    setting = Setting(surface=surface, finish=finish, light=Light(level=0.9))
    return exposed(composed(seen, setting, rng) * np.float32(0.9), setting, rng)


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
    grey = cv2.LUT(encoded, _decoding())
    return np.asarray(grey * 0.95 + 0.05, np.float32), np.asarray(ink, np.float32)


def density(box: Box, texel: float, surface: Surface, rng: np.random.Generator) -> Picture:
    """Return a smooth random field around one: ink is thicker here, thinner there."""
    size = (round(box.width / texel), round(box.height / texel))
    if surface.patchiness == 0.0:
        return np.ones((size[1], size[0]), np.float32)
    coarse = rng.normal(0.0, 1.0, (max(4, round(box.height / 0.002)), max(4, round(box.width / 0.002))))
    smooth = cv2.resize(coarse.astype(np.float32), size, interpolation=cv2.INTER_CUBIC)
    return np.asarray(np.clip(1.0 - np.abs(smooth) * surface.patchiness, 0.3, 1.0), np.float32)


def seen_through(layers: Picture, matrix: FloatArray, camera: Camera) -> Picture:
    """Warp layers into the camera, finer than its pixels, and average; a band of rows at a time."""
    finer = np.diag([_FINER, _FINER, 1.0]) @ _shift(0.5)
    matrix = _shift(-0.5) @ finer @ matrix
    bands = []
    for top in range(0, camera.height, _BAND):
        rows = min(_BAND, camera.height - top)
        down = np.array([[1.0, 0.0, 0.0], [0.0, 1.0, -top * _FINER], [0.0, 0.0, 1.0]])
        size = (camera.width * _FINER, rows * _FINER)
        fine = cv2.warpPerspective(layers, down @ matrix, size, flags=cv2.INTER_LINEAR)
        bands.append(cv2.resize(fine, (camera.width, rows), interpolation=cv2.INTER_AREA))
    return np.concatenate(bands)


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


def exposed(light: Picture, setting: Setting, rng: np.random.Generator) -> Pixels:
    """Blur, add noise, encode, cut to eight bits."""
    finish = setting.finish
    picture = light if finish.linear else _encoded(light)
    if finish.blur > 0.0:
        picture = np.asarray(cv2.GaussianBlur(picture, (0, 0), finish.blur), np.float32)
    if finish.motion >= 1.0:
        picture = np.asarray(cv2.blur(picture, (round(finish.motion), 1)), np.float32)
    if finish.noise > 0.0:
        spread = np.float32(finish.noise) * np.sqrt(np.clip(picture, 0.02, 1.0))
        picture = np.asarray(picture + spread * rng.standard_normal(picture.shape, np.float32), np.float32)
    encoded = _encoded(picture) if finish.linear else picture
    return np.asarray(np.clip(np.rint(encoded * 255.0), 0, 255), np.uint8)


def _encoded(light: Picture) -> Picture:
    """Return sRGB values, 0 to 1, of linear light."""
    bounded = np.clip(light, 0.0, 1.0)
    return np.asarray(
        np.where(bounded <= _LINEAR_END / 12.92, 12.92 * bounded, 1.055 * bounded ** (1.0 / 2.4) - 0.055),
        np.float32,
    )


@lru_cache(maxsize=1)
def _decoding() -> Picture:
    """Return the linear light of each eight-bit sRGB value."""
    value = np.arange(256) / 255.0
    return np.asarray(
        np.where(value <= _LINEAR_END, value / 12.92, ((value + 0.055) / 1.055) ** 2.4), np.float32
    )


def _pixel_on_sheet(sheet: Sheet, camera: Camera) -> float:
    return sheet.height / (camera.fill * camera.height)


def _shift(by: float) -> FloatArray:
    return np.array([[1.0, 0.0, by], [0.0, 1.0, by], [0.0, 0.0, 1.0]])


def _turn(angle: float, axis: int) -> FloatArray:
    """Return the rotation about one axis."""
    c, s = math.cos(angle), math.sin(angle)
    one, other = [n for n in range(3) if n != axis]
    rotation = np.eye(3)
    rotation[one, one] = rotation[other, other] = c
    rotation[one, other], rotation[other, one] = -s, s
    return rotation
