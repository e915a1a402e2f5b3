"""Render photos of struck squared paper: thin printed lines at an even pitch, the print across them."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from tameshi.demo.photo import Camera, Colour, Finish, Light, Pixels, Setting, Surface, projection
from tameshi.demo.prints import ContactPrint, Picture
from tameshi.demo.scene import Flat, ink_on, photograph, texels
from tameshi.footprint import Box


@dataclass(frozen=True, slots=True, kw_only=True)
class Squared:
    """A sheet of squared paper.

    Parameters
    ----------
    pitch : float
        From line to line as the maker states it, in metres.
    width, height : float
        Of the sheet, in metres.
    margin : float
        Paper without lines along every edge, in metres.
    line : float
        Width of a line, in metres.
    colour : (float, float, float)
        Reflectance of the lines.
    every : tuple of int
        Every so many lines one is stronger: (5, 10) for millimetre paper.
    weakness : float
        How much of a plain line's darkness is left where stronger lines are told from it.
    scale : (float, float)
        True metres for each stated metre, across and along.
    shift : (float, float)
        Where the first lines lie, as shares of the pitch.
    """

    pitch: float = 0.005
    width: float = 0.210
    height: float = 0.297
    margin: float = 0.0
    line: float = 0.0002
    colour: Colour = (0.45, 0.6, 0.85)
    every: tuple[int, ...] = ()
    weakness: float = 0.5
    scale: tuple[float, float] = (1.0, 1.0)
    shift: tuple[float, float] = (0.3, 0.6)


@dataclass(frozen=True, slots=True, kw_only=True)
class SquaredScene:
    """Everything about one photo of squared paper but the print."""

    squared: Squared = field(default_factory=Squared)
    camera: Camera = field(default_factory=Camera)
    light: Light = field(default_factory=Light)
    finish: Finish = field(default_factory=Finish)
    surface: Surface = field(default_factory=Surface)


def render_squared(contact: ContactPrint, scene: SquaredScene, rng: np.random.Generator) -> Pixels:
    """Return a photo of a print on squared paper, before it is compressed.

    Parameters
    ----------
    contact : ContactPrint
        In metres from the sheet's top left corner, on the real paper.
    scene : SquaredScene
    rng : numpy Generator

    Returns
    -------
    (h, w, 3) array of uint8
    """
    squared, camera = scene.squared, scene.camera
    texel = 0.00005 if squared.height / (camera.fill * camera.height) < 0.00008 else 0.0001  # noqa: PLR2004
    paper = np.array(scene.surface.paper, np.float32)
    lines = drawn_lines(squared, texel)[:, :, None]
    light = paper * (1.0 - lines * (1.0 - np.array(squared.colour, np.float32)))
    box = Box(0.0, 0.0, squared.width, squared.height)
    ink = ink_on(contact, box, texel, scene.surface, rng)[: lines.shape[0], : lines.shape[1], None]
    light *= 1.0 - ink * (1.0 - np.array(scene.surface.ink, np.float32))
    sheet = np.concatenate([light, np.ones_like(lines)], axis=2)
    setting = Setting(camera=camera, light=scene.light, finish=scene.finish, surface=scene.surface)
    matrix = projection((squared.width, squared.height), camera)[:, (0, 1, 3)] @ texels(texel)
    return photograph([Flat(sheet, matrix)], setting, rng)


def drawn_lines(squared: Squared, texel: float) -> Picture:
    """Return how much of each little square is covered by printed lines, 0 to 1; ink printed once."""
    lengths = (squared.width, squared.height)
    across, along = (
        _strips(squared, length, scale, shift, texel)
        for length, scale, shift in zip(lengths, squared.scale, squared.shift, strict=True)
    )
    drawn = np.maximum(across[None, :], along[:, None])
    bare = round(squared.margin / texel)
    if bare:
        drawn[:bare] = drawn[-bare:] = 0.0
        drawn[:, :bare] = drawn[:, -bare:] = 0.0
    return np.asarray(drawn, np.float32)


def _strips(squared: Squared, length: float, scale: float, shift: float, texel: float) -> Picture:
    """Return the cover across one family of lines, (n,)."""
    place = (np.arange(round(length / texel)) + 0.5) * texel
    at = place / (squared.pitch * scale) - shift
    nearest = np.rint(at)
    away = np.abs(at - nearest) * squared.pitch * scale
    cover = np.clip((0.5 * squared.line - away) / texel + 0.5, 0.0, min(1.0, squared.line / texel))
    strength = np.ones_like(cover)
    if squared.every:
        strength[:] = squared.weakness
        for step in squared.every:
            stronger = np.mod(nearest, step) == 0
            strength[stronger] = np.minimum(1.0, strength[stronger] + 0.5 * (1.0 - squared.weakness))
    return np.asarray(cover * strength, np.float32)
