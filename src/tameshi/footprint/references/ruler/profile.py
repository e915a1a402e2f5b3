"""Darkness along a row of ticks, and where in it single ticks are."""

import cv2
import numpy as np

from tameshi.footprint.picture.arrays import FloatArray, Picture, Where

STEP = 0.25  # pixels along the row

_ALONG_TICK = 0.8  # pitches to either side of the row's middle
_REACH = 0.36  # of the pitch: how far ticks are looked for


def darkness_along(
    level: Picture,
    frame: tuple[FloatArray, FloatArray, FloatArray],
    half: float,
    pitch: float,
    wide: float = _ALONG_TICK,
) -> tuple[FloatArray, float]:
    """Return the darkness along the row, (n,), every quarter pixel, and where it begins, in pixels.

    Parameters
    ----------
    level : (h, w) array
        Of light.
    frame : start, along, tick
        A point of the row, the way along it, and the unit way along its ticks.
    half, pitch : float
        Half its length, and from tick to tick, in pixels.
    wide : float
        How far to either side it is averaged, in pitches.
    """
    start, along, tick = frame
    place = np.arange(-half - 2.0 * pitch, half + 2.0 * pitch, STEP)
    aside = np.linspace(-wide * pitch, wide * pitch, 9)
    values = sampled(level, start + place[:, None, None] * along + aside[None, :, None] * tick).mean(axis=1)
    window = max(3, round(1.1 * pitch / STEP)) | 1
    ground = cv2.dilate(values.astype(np.float32).reshape(1, -1), np.ones((1, window), np.uint8))
    ground = cv2.blur(ground, (window, 1))
    dark: FloatArray = 1.0 - values / np.maximum(np.asarray(ground, np.float64).ravel(), 1e-3)
    return dark, float(place[0])


def sampled(level: Picture, points: FloatArray) -> FloatArray:
    """Return the level at points (a, b, 2) in pixels, (a, b)."""
    flat = points.astype(np.float32)
    x, y = np.ascontiguousarray(flat[..., 0]), np.ascontiguousarray(flat[..., 1])
    seen = cv2.remap(level, x, y, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    return np.asarray(seen, np.float64)


def centred(
    signal: FloatArray, first: float, places: FloatArray, pitch: FloatArray
) -> tuple[FloatArray, Where]:
    """Return where ticks are, near where they should be, and whether they are there.

    Parameters
    ----------
    signal : (n,) array
        Darkness along the row.
    first : float
        Where it begins, in pixels.
    places, pitch : (m,) arrays
        Where ticks should be, and how far from one another there, in pixels.
    """
    share = np.linspace(-_REACH, _REACH, 41)
    at = places[:, None] + share[None, :] * pitch[:, None]
    axis = first + np.arange(len(signal)) * STEP
    dark = np.interp(at, axis, signal)
    dark = dark - dark.min(axis=1, keepdims=True)
    peak = dark.max(axis=1)
    weight = np.maximum(dark - 0.4 * peak[:, None], 0.0)
    centre = np.sum(weight * at, axis=1) / np.maximum(weight.sum(axis=1), 1e-9)
    usual = float(np.median(peak))
    best = np.argmax(dark, axis=1)
    there = (peak > 0.35 * usual) & (peak > 0.02) & (best > 1) & (best < len(share) - 2)  # noqa: PLR2004
    return centre, np.asarray(there)
