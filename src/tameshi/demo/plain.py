"""Render photos of a print on a plain sheet that lies on a table: curled a little, through a bent lens.

The same camera, light and finish as for the target sheet; what differs is under and around the ink:
paper cut to its own size, a table of some texture, the shadow of the sheet's edge, perhaps a folded
corner or a finger. The picture is made backwards: for every fine pixel, where on the paper it looks.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import cv2
import numpy as np

from tameshi.demo.photo import (
    Camera,
    Colour,
    FloatArray,
    Pixels,
    Setting,
    camera_pose,
    composed,
    density,
    exposed,
    illumination,
)
from tameshi.demo.prints import ContactPrint, Picture, draw
from tameshi.footprint import Box, sheet_layout

_FINER = 2  # rendered pixels for each final one, each way
_COARSE = 16  # final pixels from knot to knot of the map, which is smooth
_BAND = 256  # final rows rendered at once
_ROUNDS = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Lying:
    """How a plain sheet lies on its table.

    Parameters
    ----------
    paper : str
        Key of the reference table ``papers``.
    cut : (float, float)
        What its width and height differ from the nominal ones by, in metres.
    texture : str
        Of the table: ``"plain"``, ``"wood"``, ``"speckled"`` or ``"checked"``.
    contrast : float
        Depth of that texture, as a share.
    edge_shadow : float
        Depth of the shadow beside the sheet's edge, as a share.
    shadow_width : float
        Its width, in metres.
    curl : float
        How high the middle of the sheet stands above its ends, in metres; negative where the ends do.
    curl_angle : float
        Direction in which it is bent, 0 along its width, in degrees.
    fold : float
        Legs of the corner folded over, in metres; 0 is none.
    finger : (float, float) or None
        Where a finger lies, along the sheet's right edge as a share, and its width in metres.
    """

    paper: str = "a4"
    cut: tuple[float, float] = (0.0, 0.0)
    texture: str = "plain"
    contrast: float = 0.15
    edge_shadow: float = 0.3
    shadow_width: float = 0.002
    curl: float = 0.0
    curl_angle: float = 0.0
    fold: float = 0.0
    finger: tuple[float, float] | None = None

    @property
    def box(self) -> Box:
        """The sheet as it was cut, in metres."""
        sheet = sheet_layout(self.paper)
        return Box(0.0, 0.0, sheet.width + self.cut[0], sheet.height + self.cut[1])


@dataclass(frozen=True, slots=True, kw_only=True)
class PlainSetting:
    """Everything about one photo of a plain sheet but the print."""

    setting: Setting = field(default_factory=Setting)
    lying: Lying = field(default_factory=Lying)


def render_plain(contact: ContactPrint, plain: PlainSetting, rng: np.random.Generator) -> Pixels:
    """Return a photo of a print on a plain sheet, before it is compressed.

    Parameters
    ----------
    contact : ContactPrint
        In metres from the sheet's top left corner.
    plain : PlainSetting
    rng : numpy Generator

    Returns
    -------
    (h, w, 3) array of uint8
        Red, green and blue.
    """
    setting, lying = plain.setting, plain.lying
    camera, box = setting.camera, plain.lying.box
    texel = 0.00005 if box.height / (camera.fill * camera.height) < 0.00014 else 0.0001  # noqa: PLR2004
    ink = draw(contact, box, texel, bleed=setting.surface.bleed) * density(box, texel, setting.surface, rng)
    seen = _seen(np.asarray(ink, np.float32), texel, places_seen(lying, camera), plain)
    table = textured_table(setting, lying, rng) * _edge_shadow(seen[:, :, 2], plain)[:, :, None]
    light = composed(seen, setting, rng, table)
    if lying.finger is not None:
        light = _with_finger(light, plain)
    light = light * illumination(setting.light, camera)[:, :, None]
    return exposed(light * np.array(setting.light.balance, np.float32), setting.finish, rng)


def places_seen(lying: Lying, camera: Camera) -> FloatArray:
    """Return where on the paper each knot of a coarse grid looks.

    Parameters
    ----------
    lying : Lying
    camera : Camera

    Returns
    -------
    (rows, columns, 2) array
        In metres from the sheet's top left corner; knots are ``_COARSE`` pixels apart, beginning one
        before the picture's first pixel.
    """
    across = np.arange(-_COARSE, camera.width + 2 * _COARSE, _COARSE, dtype=np.float64)
    down = np.arange(-_COARSE, camera.height + 2 * _COARSE, _COARSE, dtype=np.float64)
    x, y = np.meshgrid(across, down)
    middle = np.array([(camera.width - 1) / 2.0, (camera.height - 1) / 2.0])
    bent = np.stack([x, y], axis=-1) - middle
    reach = 0.5 * math.hypot(camera.width, camera.height)
    straight = bent
    for _ in range(_ROUNDS + 2):
        far = np.sum(straight**2, axis=-1, keepdims=True) / reach**2
        straight = bent / (1.0 + camera.distortion * far)
    rotation, distance, focal = camera_pose(lying.box.height, camera)
    rays = np.concatenate([straight / focal, np.ones((*x.shape, 1))], axis=-1) @ rotation
    eye = -np.array([0.0, 0.0, distance]) @ rotation  # the camera, in the sheet's own axes
    return _met(rays, eye, lying)


def _met(rays: FloatArray, eye: FloatArray, lying: Lying) -> FloatArray:
    """Return where rays meet the bent sheet, measured along the paper."""
    half = np.array([0.5 * lying.box.width, 0.5 * lying.box.height])
    angle = math.radians(lying.curl_angle)
    way = np.array([math.cos(angle), math.sin(angle)])
    reach = float(np.abs(half * way).sum())
    towards = math.copysign(1.0, eye[2])
    height = np.zeros(rays.shape[:2])
    for _ in range(_ROUNDS):
        step = (towards * height - eye[2]) / rays[..., 2]
        flat = eye[:2] + step[..., None] * rays[..., :2]
        along = flat @ way
        share = np.clip(along / reach, -1.3, 1.3)
        height = lying.curl * (1.0 - share**2 if lying.curl >= 0.0 else -(share**2))
    slope = 2.0 * lying.curl / reach**2
    # length along a parabola beside its shadow on the table, to third order
    longer = slope**2 * along**3 / 6.0
    return np.asarray(flat + longer[..., None] * way + half)


def _seen(ink: Picture, texel: float, places: FloatArray, plain: PlainSetting) -> Picture:
    """Return grey, ink and paper for each pixel, averaged from finer ones, a band of rows at a time."""
    camera, bands = plain.setting.camera, []
    across = (np.arange(camera.width * _FINER) + 0.5) / _FINER - 0.5
    for top in range(0, camera.height, _BAND):
        rows = min(_BAND, camera.height - top)
        down = top + (np.arange(rows * _FINER) + 0.5) / _FINER - 0.5
        x, y = np.meshgrid(
            (across / _COARSE + 1.0).astype(np.float32), (down / _COARSE + 1.0).astype(np.float32)
        )
        u, v = (
            np.asarray(cv2.remap(places[..., n].astype(np.float32), x, y, cv2.INTER_LINEAR), np.float32)
            for n in (0, 1)
        )
        there = cv2.remap(ink, u / np.float32(texel) - 0.5, v / np.float32(texel) - 0.5, cv2.INTER_LINEAR)
        paper = _paper_there(u, v, plain.lying)
        layers = np.stack([paper, there, paper], axis=2)
        bands.append(cv2.resize(layers, (camera.width, rows), interpolation=cv2.INTER_AREA))
    return np.asarray(np.concatenate(bands), np.float32)


def _paper_there(u: Picture, v: Picture, lying: Lying) -> Picture:
    """Return how much of each fine pixel is paper."""
    size = max(float(np.abs(np.diff(u[:, :2], axis=1)).mean() + np.abs(np.diff(v[:2], axis=0)).mean()), 1e-6)
    box = lying.box
    depth = np.minimum(np.minimum(u, box.width - u), np.minimum(v, box.height - v))
    if lying.fold > 0.0:
        depth = np.minimum(depth, (u + v - lying.fold) / math.sqrt(2.0))
    return np.asarray(np.clip(depth / (0.5 * size) + 0.5, 0.0, 1.0), np.float32)


def textured_table(setting: Setting, lying: Lying, rng: np.random.Generator) -> Picture:
    """Return the table: its colour, its texture, and things that lie about."""
    camera, surface = setting.camera, setting.surface
    shape = (camera.height, camera.width)
    pattern = _pattern(lying.texture, shape, rng)
    colour = np.array(surface.table, np.float32)
    picture = np.clip(colour * (1.0 + np.float32(lying.contrast) * pattern[:, :, None]), 0.0, 1.0)
    for _ in range(surface.clutter):
        x, y = (int(rng.integers(0, size)) for size in (shape[1], shape[0]))
        w, h = (int(rng.integers(size // 30 + 1, size // 5 + 2)) for size in (shape[1], shape[0]))
        thing = tuple(float(c) for c in rng.uniform(0.02, 0.5, 3))
        cv2.rectangle(picture, (x, y), (x + w, y + h), thing, -1)
    return np.asarray(picture, np.float32)


def _pattern(texture: str, shape: tuple[int, int], rng: np.random.Generator) -> Picture:
    """Return a pattern of mean 0 and spread about 1."""
    if texture == "plain":
        return np.zeros(shape, np.float32)
    size = (shape[1], shape[0])
    if texture == "checked":
        step = max(shape) / 25.0
        rows, columns = np.mgrid[0 : shape[0], 0 : shape[1]].astype(np.float32) / np.float32(step)
        turned = (np.floor(0.8 * columns + 0.6 * rows) + np.floor(0.8 * rows - 0.6 * columns)) % 2.0
        return np.asarray(2.0 * turned - 1.0, np.float32)
    knots = (max(shape) // 6, max(shape) // 200) if texture == "wood" else (max(shape) // 8, max(shape) // 8)
    noise = rng.normal(0.0, 1.0, knots).astype(np.float32)
    return np.asarray(cv2.resize(noise, size, interpolation=cv2.INTER_CUBIC), np.float32)


def _edge_shadow(paper: Picture, plain: PlainSetting) -> Picture:
    """Return what the sheet's own shadow leaves of the light on the table beside it."""
    lying, camera = plain.lying, plain.setting.camera
    pixels = lying.shadow_width * camera.fill * camera.height / lying.box.height
    if lying.edge_shadow <= 0.0 or pixels < 0.2:  # noqa: PLR2004  narrower than can be drawn
        return np.ones_like(paper)
    direction = math.radians(plain.setting.light.direction)
    move = np.array(
        [[1.0, 0.0, 0.7 * pixels * math.cos(direction)], [0.0, 1.0, 0.7 * pixels * math.sin(direction)]]
    )
    moved = cv2.warpAffine(paper, move, (camera.width, camera.height), borderMode=cv2.BORDER_REPLICATE)
    soft = cv2.GaussianBlur(moved, (0, 0), max(0.3, 0.5 * pixels))
    return np.asarray(1.0 - np.float32(lying.edge_shadow) * soft, np.float32)


def _with_finger(light: Picture, plain: PlainSetting) -> Picture:
    """Lay a finger over the right edge of the sheet."""
    lying, camera = plain.lying, plain.setting.camera
    assert lying.finger is not None  # noqa: S101  who calls has looked
    at, wide = lying.finger
    places = places_seen(lying, camera)
    tip = np.array([lying.box.width - 0.012, at * lying.box.height])
    off = np.linalg.norm(places - tip, axis=-1)
    row, column = np.unravel_index(int(np.argmin(off)), off.shape)
    centre = (int(column - 1) * _COARSE, int(row - 1) * _COARSE)
    thick = max(2, round(wide * camera.fill * camera.height / lying.box.height))
    colour: Colour = (0.55, 0.33, 0.24)
    finger = np.ascontiguousarray(light)
    cv2.line(finger, centre, (centre[0] + camera.width, centre[1] + thick), colour, thick)
    return np.asarray(finger, np.float32)
