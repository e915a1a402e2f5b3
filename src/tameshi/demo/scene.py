"""Photograph flat things that lie on a table, one above the other, with the camera of ``photo``."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np

from tameshi.demo import photo
from tameshi.demo.distortion import distorted
from tameshi.demo.photo import FloatArray, Pixels, Setting, Surface
from tameshi.demo.prints import ContactPrint, Picture, draw
from tameshi.footprint import Box


@dataclass(frozen=True, slots=True)
class Flat:
    """Something flat in the scene.

    Parameters
    ----------
    light : (h, w, 4) array
        Reflectance in red, green and blue, each times the fourth: 1 where the thing is, 0 beside it.
    to_pixels : (3, 3) array
        From its array's columns and rows to pixels of the photo.
    """

    light: Picture
    to_pixels: FloatArray


def photograph(flats: Iterable[Flat], setting: Setting, rng: np.random.Generator) -> Pixels:
    """Return a photo of flat things on a table, the later on top, before it is compressed.

    Parameters
    ----------
    flats : iterable of Flat
    setting : Setting
        All but the printed target sheet.
    rng : numpy Generator
    """
    camera = setting.camera
    shape = (camera.height, camera.width)
    light = photo.cluttered_table(shape, setting.surface, rng)
    for flat in flats:
        left, top, right, bottom = _around(flat, shape)
        part = (slice(top, bottom), slice(left, right))
        shift = np.array([[1.0, 0.0, -left], [0.0, 1.0, -top], [0.0, 0.0, 1.0]])
        cut = replace(camera, width=right - left, height=bottom - top)
        seen = photo.seen_through(flat.light, shift @ flat.to_pixels, cut)
        if setting.finish.texture > 0.0:
            grain = rng.standard_normal(shape, np.float32)[part]
            grain *= setting.finish.texture
            grain += 1.0
            seen[:, :, :3] *= grain[:, :, None]
        light[part] *= 1.0 - seen[:, :, 3:]
        light[part] += seen[:, :, :3]
    light *= photo.illumination(setting.light, camera)[:, :, None] * np.array(
        setting.light.balance, np.float32
    )
    return photo.exposed(distorted(light, camera.distortion), setting.finish, rng)


def _around(flat: Flat, shape: tuple[int, int]) -> tuple[int, int, int, int]:
    """Return left, top, right and bottom of the part of the photo in which a thing lies, in pixels."""
    rows, columns = flat.light.shape[:2]
    corners = np.array([(-1, -1, 1), (columns, -1, 1), (columns, rows, 1), (-1, rows, 1)]) @ flat.to_pixels.T
    if corners[:, 2].min() <= 0.0:  # a part lies behind the camera
        return 0, 0, shape[1], shape[0]
    places = corners[:, :2] / corners[:, 2:]
    left, top = (
        int(np.clip(np.floor(v) - 2.0, 0, n - 1)) for v, n in zip(places.min(0), shape[::-1], strict=True)
    )
    right, bottom = (
        int(np.clip(np.ceil(v) + 3.0, 1, n)) for v, n in zip(places.max(0), shape[::-1], strict=True)
    )
    return left, top, max(right, left + 1), max(bottom, top + 1)


def ink_on(
    contact: ContactPrint, box: Box, texel: float, surface: Surface, rng: np.random.Generator
) -> Picture:
    """Return how much ink each little square of paper carries, 0 to 1, bleed and patchiness included."""
    return np.asarray(
        draw(contact, box, texel, bleed=surface.bleed) * photo.density(box, texel, surface, rng), np.float32
    )


def texels(side: float) -> FloatArray:
    """Return the (3, 3) matrix from columns and rows of an array to metres; ``side`` in metres."""
    return np.array([[side, 0.0, 0.5 * side], [0.0, side, 0.5 * side], [0.0, 0.0, 1.0]])
