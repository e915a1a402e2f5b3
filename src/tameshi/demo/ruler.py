"""Render photos of a print on plain paper with a ruler beside it."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import cv2
import numpy as np

from tameshi.demo.photo import (
    Camera,
    Colour,
    Finish,
    FloatArray,
    Light,
    Pixels,
    Setting,
    Surface,
    projection,
)
from tameshi.demo.prints import ContactPrint, Picture
from tameshi.demo.scene import Flat, ink_on, photograph, texels
from tameshi.footprint import Box

INCH = 0.0254
_SHADOW = 0.35  # of the light that a ruler's rim takes from the paper beside it
_SHEEN_WIDTH = 0.15  # of the length of a ruler
_SLOPE_LIGHT = 0.01  # of the light, for each degree that a strip leans away from it


@dataclass(frozen=True, slots=True, kw_only=True)
class Ruler:
    """A ruler.

    Parameters
    ----------
    length, width : float
        In metres.
    pitch : float
        From tick to tick, in metres.
    longer : tuple of (int, float)
        Every so many ticks one is so long, in metres; the last that fits counts.
    tick : float
        Width of a tick, in metres.
    inset : float
        From the ruler's edge to where the ticks begin, in metres.
    thickness : float
        Of the ruler at its edge with the ticks, in metres.
    bevel : float
        How steeply the strip with the ticks falls towards that edge, in degrees; 0 lies level.
    strip : float
        How wide that strip is, down the slope, in metres; beyond it the ruler is level.
    body, ink : (float, float, float)
        Reflectances.
    opacity : float
        How much of what lies below the body hides: clear plastic shows most of the paper through.
    grain : float
        Depth of streaks along it, of wood or brushed steel, as a share.
    sheen : (float, float)
        How much brighter a lamp's reflection makes a part of it, and where along it, both as shares.
    both : bool
        Whether its other edge has ticks as well.
    scale : float
        True metres for each metre it shows.
    digits : bool
    """

    length: float = 0.16
    width: float = 0.03
    pitch: float = 0.001
    longer: tuple[tuple[int, float], ...] = ((1, 0.0035), (5, 0.005), (10, 0.007))
    tick: float = 0.0002
    inset: float = 0.0
    thickness: float = 0.001
    bevel: float = 0.0
    strip: float = 0.010
    body: Colour = (0.9, 0.9, 0.88)
    ink: Colour = (0.05, 0.05, 0.05)
    opacity: float = 1.0
    grain: float = 0.0
    sheen: tuple[float, float] = (0.0, 0.5)
    both: bool = False
    scale: float = 1.0
    digits: bool = True


SIXTEENTHS = ((1, 0.003), (2, 0.0045), (4, 0.006), (8, 0.0075), (16, 0.009))
"""Lengths of the ticks of an inch scale."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RulerScene:
    """Everything about one photo with a ruler but the print.

    Parameters
    ----------
    ruler : Ruler
    at : (float, float)
        Where the edge with the ticks begins on the paper, in metres; the print is below it.
    turn : float
        How the ruler is turned on the paper, in degrees.
    size : (float, float)
        Width and height of the paper, in metres.
    """

    ruler: Ruler = field(default_factory=Ruler)
    at: tuple[float, float] = (0.025, 0.09)
    turn: float = 0.0
    size: tuple[float, float] = (0.210, 0.297)
    camera: Camera = field(default_factory=Camera)
    light: Light = field(default_factory=Light)
    finish: Finish = field(default_factory=Finish)
    surface: Surface = field(default_factory=Surface)


def render_with_ruler(contact: ContactPrint, scene: RulerScene, rng: np.random.Generator) -> Pixels:
    """Return a photo of a print beside a ruler, before it is compressed.

    Parameters
    ----------
    contact : ContactPrint
        In metres from the paper's top left corner.
    scene : RulerScene
    rng : numpy Generator

    Returns
    -------
    (h, w, 3) array of uint8
    """
    camera = scene.camera
    texel = 0.00005 if scene.size[1] / (camera.fill * camera.height) < 0.00008 else 0.0001  # noqa: PLR2004
    box = Box(0.0, 0.0, *scene.size)
    ink = ink_on(contact, box, texel, scene.surface, rng)[:, :, None]
    light = np.array(scene.surface.paper, np.float32) * (
        1.0 - ink * (1.0 - np.array(scene.surface.ink, np.float32))
    )
    paper = np.concatenate([light, np.ones_like(ink)], axis=2)
    seen = projection(scene.size, camera)
    flats = [Flat(paper, seen[:, (0, 1, 3)] @ texels(texel))]
    flats += _ruler_flats(seen, scene, texel, rng)
    setting = Setting(camera=camera, light=scene.light, finish=scene.finish, surface=scene.surface)
    return photograph(flats, setting, rng)


def _ruler_flats(seen: FloatArray, scene: RulerScene, texel: float, rng: np.random.Generator) -> list[Flat]:
    """Return the ruler's shadow, the strip with the ticks, and the rest of it."""
    ruler = scene.ruler
    drawn = drawn_ruler(ruler, texel, rng)
    shade = np.zeros_like(drawn)
    shade[:, :, 3] = _SHADOW * ruler.opacity
    rows = round(ruler.strip / texel)
    strip, body = drawn[:rows].copy(), drawn[rows:]
    strip[:, :, :3] *= 1.0 - _SLOPE_LIGHT * ruler.bevel
    slope = math.radians(ruler.bevel)
    crease = (rows * texel * math.cos(slope), ruler.thickness + rows * texel * math.sin(slope))
    return [
        Flat(shade, _placed(seen, scene, (-0.0005, 0.0)) @ texels(texel)),
        Flat(body, _placed(seen, scene, crease) @ texels(texel)),
        Flat(strip, _placed(seen, scene, (0.0, ruler.thickness), slope) @ texels(texel)),
    ]


def _placed(seen: FloatArray, scene: RulerScene, at: tuple[float, float], slope: float = 0.0) -> FloatArray:
    """Return the (3, 3) matrix from metres on a part of the ruler, along it and backwards, to pixels.

    The part begins ``at`` so far behind the ruler's edge and above the paper, in metres, and rises with
    ``slope``, in radians.
    """
    c, s = math.cos(math.radians(scene.turn)), math.sin(math.radians(scene.turn))
    x, y = scene.at
    (behind, height), level = at, math.cos(slope)
    # along the ruler is (c, s); its body lies above its edge, away from the print
    place = np.array(
        [
            [c * scene.ruler.scale, s * level, x + s * behind],
            [s * scene.ruler.scale, -c * level, y - c * behind],
            [0.0, math.sin(slope), height],
            [0.0, 0.0, 1.0],
        ]
    )
    matrix: FloatArray = seen @ place
    return matrix


def drawn_ruler(ruler: Ruler, texel: float, rng: np.random.Generator) -> Picture:
    """Return the ruler as light and cover, (h, w, 4): its edge with the ticks is the first row."""
    rows, columns = round(ruler.width / texel), round(ruler.length / texel)
    dark = np.zeros((rows, columns), np.float32)
    if ruler.digits:
        _number(dark, ruler, texel)
    ticks = _ticks(ruler, texel, (rows, columns))
    dark = np.maximum(dark, ticks)
    if ruler.both:
        dark = np.maximum(dark, ticks[::-1])
    cover = (ruler.opacity + (1.0 - ruler.opacity) * dark)[:, :, None]
    body = _shone(ruler, (rows, columns), rng)[:, :, None] * np.array(ruler.body, np.float32) * ruler.opacity
    light = body * (1.0 - dark[:, :, None]) + dark[:, :, None] * np.array(ruler.ink, np.float32)
    return np.concatenate([light, cover], axis=2).astype(np.float32)


def _ticks(ruler: Ruler, texel: float, size: tuple[int, int]) -> Picture:
    """Return how dark ticks are that begin at the first row, (h, w)."""
    rows, columns = size
    place = (np.arange(columns) + 0.5) * texel - 0.005
    nearest = np.rint(place / ruler.pitch)
    away = np.abs(place - nearest * ruler.pitch)
    cover = np.clip((0.5 * ruler.tick - away) / texel + 0.5, 0.0, min(1.0, ruler.tick / texel))
    cover[(nearest < 0) | (nearest * ruler.pitch > ruler.length - 0.01)] = 0.0
    reach = np.zeros(columns)
    for every, long in ruler.longer:
        reach[np.mod(nearest, every) == 0] = long
    down = (np.arange(rows) + 0.5)[:, None] * texel - ruler.inset
    return np.asarray(cover[None, :] * ((down > 0.0) & (down < reach[None, :])), np.float32)


def _shone(ruler: Ruler, size: tuple[int, int], rng: np.random.Generator) -> Picture:
    """Return how bright the body is beside its usual reflectance, (h, w): streaks, a lamp's reflection."""
    rows, columns = size
    bright = np.ones(size, np.float32)
    if ruler.grain > 0.0:
        streaks = rng.normal(0.0, 1.0, (max(2, rows // 4), max(2, columns // 400))).astype(np.float32)
        bright += ruler.grain * np.asarray(cv2.resize(streaks, (columns, rows)), np.float32)
    strong, middle = ruler.sheen
    if strong > 0.0:
        away = (np.arange(columns) / columns - middle) / _SHEEN_WIDTH
        bright += strong * np.exp(-(away**2)).astype(np.float32)[None, :]
    return np.clip(bright, 0.0, 1.0 / max(ruler.body))


def _number(dark: Picture, ruler: Ruler, texel: float) -> None:
    """Write a number at every longest tick."""
    every = ruler.longer[-1][0] * ruler.pitch
    for n in range(int((ruler.length - 0.01) / every) + 1):
        # the first row is the edge: written upside down, numbers stand upright for who looks at the print
        stamp = np.zeros((round(0.004 / texel), round(0.008 / texel)), np.uint8)
        size = 0.003 / texel / 22.0
        cv2.putText(
            stamp, str(n), (2, stamp.shape[0] - 2), cv2.FONT_HERSHEY_SIMPLEX, size, 255, max(1, round(size))
        )
        top = round((ruler.longer[-1][1] + ruler.inset + 0.001) / texel)
        left = max(0, round((0.005 + n * every - 0.0015) / texel))
        part = dark[top : top + stamp.shape[0], left : left + stamp.shape[1]]
        part[:] = np.maximum(part, stamp[::-1][: part.shape[0], : part.shape[1]] / 255.0)
