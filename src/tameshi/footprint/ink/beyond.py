"""Ink like the print's on the same paper, but beyond where the print is looked for.

The zone that is searched ends where the reference says that the paper does, or at a frame, or at picked
points. If it ends too early, patches beyond it would be missing from the sum without a word.
"""

from dataclasses import dataclass

import cv2
import numpy as np

from tameshi.errors import Flag, UnmeasurableError
from tameshi.footprint.geometry.box import Box
from tameshi.footprint.geometry.plane import pixel_size, rectify, reduction
from tameshi.footprint.geometry.unseen import unseen
from tameshi.footprint.ink.inks import SAME_COLOUR
from tameshi.footprint.ink.pieces import Pieces
from tameshi.footprint.picture.arrays import FloatArray, Mask, Picture
from tameshi.footprint.picture.connected import connected
from tameshi.footprint.picture.light import DARKEST, LINEAR
from tameshi.footprint.picture.view import View
from tameshi.footprint.references.reference import Reference
from tameshi.footprint.results.settings import FootprintSettings

_SCALE = 0.001  # metres a pixel of the copy that is looked at, at least: a third of a stroke
_BLUR = 0.0005  # metres: skin ridges run together
_WIDEST = 0.045  # metres: darker things so wide are no patch but a shadow or a table
_HALF_WAY, _AS_DARK = 0.5, 0.6  # of the print's own step
_STROKE = 0.003  # metres: thinner things are writing and ticks
_SHARE = 0.03  # of the print: less does not change it
_CLEAR, _RING = 0.001, 0.002  # metres from a patch: blur; and the paper looked at beyond
_MOSTLY = 0.6  # of that ring
_SAME_HUE, _LIGHTS = 0.25, (-1.6, 0.5)  # logarithms of light: paper in shadow and in light has one hue
_NEAREST = 0.5  # of the depth of the region: paper beyond it may lie so near to the lens's plane


@dataclass(frozen=True, slots=True)
class Beyond:
    """A patch beyond the zone: area in square metres; place, and way from the print, in metres as drawn."""

    area: float
    place: tuple[float, float]
    away: float


@dataclass(frozen=True, slots=True)
class _Copy:
    """The paper in and around the zone: light and bare paper's light as logarithms, and where is what."""

    scale: float
    light: Picture
    paper: Picture
    searched: Mask
    patches: Mask
    seen: Mask


def ink_beyond(
    view: View, pieces: Pieces, reference: Reference, scale: float, least: float
) -> tuple[Beyond, ...]:
    """Return patches like the print's beyond the region, largest first.

    Parameters
    ----------
    view : View
    pieces : Pieces
    reference : Reference
    scale : float
        Metres a pixel of the overview.
    least : float
        Smaller patches are nothing, in square metres.
    """
    around = reference.around
    if around is None or not pieces.patches or not _is_before_lens(reference, around):
        return ()
    copy = _copied(view, pieces, reference, max(_SCALE, scale), around)
    drop = copy.paper - copy.light
    printed = copy.patches > 0
    if not printed.any():
        return ()
    own = np.median(drop[printed], axis=0)
    dark = np.asarray((drop @ own > _HALF_WAY * float(own @ own)) & (copy.seen > 0), np.uint8)
    dark = np.asarray(cv2.morphologyEx(dark, cv2.MORPH_OPEN, _disc(_STROKE, copy.scale)), np.uint8)
    needed = max(_SHARE * sum(piece.area for piece in pieces.patches), least)
    outside = np.asarray(dark * (copy.searched == 0), np.uint8)
    apart = connected(outside)
    large = apart.areas * copy.scale**2 >= needed
    short = apart.boxes[:, 2:].max(axis=1) * copy.scale <= _WIDEST
    likely = [int(n) for n in np.flatnonzero(large & short) if n]
    if not likely:
        return ()
    bare = _bare(copy, dark)
    far = np.asarray(cv2.distanceTransform(1 - copy.patches, cv2.DIST_L2, 5), np.float32) * copy.scale
    found = []
    for n in likely:
        mask = np.asarray(apart.labels == n, np.uint8)
        if not _is_like(np.median(drop[mask > 0], axis=0), own):
            continue
        if _share_of_ring(mask, bare, dark, copy) >= _MOSTLY:
            x, y = ((float(way) + 0.5) * copy.scale for way in apart.centres[n])
            area = float(apart.areas[n]) * copy.scale**2
            found.append(Beyond(area, (around.left + x, around.top + y), float(far[mask > 0].min())))
    return tuple(sorted(found, key=lambda one: -one.area))


def _copied(view: View, pieces: Pieces, reference: Reference, scale: float, around: Box) -> _Copy:
    # copies by powers of two are there already, or quickly made of those
    suits = reduction(scale, pixel_size(reference.plane, around)[0])
    picture = rectify(view, reference.plane, around, scale, factor=1 << (suits.bit_length() - 1))
    light = cv2.GaussianBlur(cv2.LUT(picture, LINEAR), (0, 0), _BLUR / scale)
    light = np.log(np.asarray(light, np.float32) + np.float32(DARKEST))
    side = 2 * round(0.5 * _WIDEST / scale) + 1
    paper = cv2.morphologyEx(light, cv2.MORPH_CLOSE, np.ones((side, side), np.uint8))
    rows, columns = picture.shape[:2]
    hidden = unseen(reference.plane, around, scale, view.size)
    region = reference.region
    searched, patches = np.zeros((rows, columns), np.uint8), np.zeros((rows, columns), np.uint8)
    left, right = (round((x - around.left) / scale) for x in (region.left, region.right))
    top, bottom = (round((y - around.top) / scale) for y in (region.top, region.bottom))
    window = (slice(max(0, top), min(rows, bottom)), slice(max(0, left), min(columns, right)))
    searched[window] = 1
    printed = np.isin(pieces.labels, [piece.label for piece in pieces.patches]).astype(np.uint8)
    size = (searched[window].shape[1], searched[window].shape[0])
    patches[window] = cv2.resize(printed, size, interpolation=cv2.INTER_NEAREST)
    seen = np.ones((rows, columns), np.uint8) if hidden is None else np.asarray(hidden == 0, np.uint8)
    return _Copy(scale, light, np.asarray(paper, np.float32), searched, patches, seen)


def _is_before_lens(reference: Reference, around: Box) -> bool:
    """Return whether the view is not so slanted that paper around the region is endless."""
    boxes = (around, reference.region)
    depths = [np.column_stack([box.corners, np.ones(4)]) @ reference.plane.matrix[2] for box in boxes]
    return float(depths[0].min()) > _NEAREST * float(depths[1].min())


def _is_like(drop: FloatArray, own: FloatArray) -> bool:
    """Return whether something takes the same colours from the light as the print, and nearly as much."""
    sizes = float(np.linalg.norm(drop)), float(np.linalg.norm(own))
    along = float(drop @ own)
    return along >= SAME_COLOUR * sizes[0] * sizes[1] and along >= _AS_DARK * sizes[1] ** 2


def _bare(copy: _Copy, dark: Mask) -> Mask:
    """Return 1 where there is paper of the hue that it has where the print is looked for, shadowed or not."""
    near = (copy.searched > 0) & (copy.seen > 0) & (dark == 0)
    usual = np.median(copy.light[near], axis=0) if near.any() else np.zeros(3)
    off = copy.light - np.asarray(usual, np.float32)
    level = off.mean(axis=2)
    hue = np.abs(off - level[:, :, None]).max(axis=2)
    here = (hue < _SAME_HUE) & (level > _LIGHTS[0]) & (level < _LIGHTS[1]) & (dark == 0)
    return np.asarray(here & (copy.seen > 0), np.uint8)


def _share_of_ring(mask: Mask, bare: Mask, dark: Mask, copy: _Copy) -> float:
    """Return how much around a patch is bare paper; other ink does not count, what is unseen is none."""
    side = round(2.0 * (_CLEAR + _RING) / copy.scale)
    mask, bare, dark = (np.pad(each, side) for each in (mask, bare, dark))
    ring = cv2.dilate(mask, _disc(2.0 * (_CLEAR + _RING), copy.scale)) > 0
    ring &= (cv2.dilate(mask, _disc(2.0 * _CLEAR, copy.scale)) == 0) & (dark == 0)
    return float(np.mean(bare[ring])) if ring.any() else 0.0


def _disc(width: float, scale: float) -> Mask:
    side = max(3, 2 * round(0.5 * width / scale) + 1)
    return np.asarray(cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (side, side)), np.uint8)


def require_none_beyond(
    found: tuple[Beyond, ...], reference: Reference, settings: FootprintSettings, *, lassoed: bool
) -> tuple[Flag, ...]:
    """Return a flag where ink lies beyond the region.

    Parameters
    ----------
    found : tuple of Beyond
        Largest first.
    reference : Reference
    settings : FootprintSettings
    lassoed : bool
        Whether somebody drew around what counts: then nothing else can be missing.

    Raises
    ------
    UnmeasurableError
        ``print-cut-off`` where it lies so near that it is of the same print.
    """
    if not found:
        return ()
    stretch = reference.stretch
    places = "; ".join(
        f"x = {1000.0 * stretch * one.place[0]:.0f} mm, y = {1000.0 * stretch * one.place[1]:.0f} mm "
        f"({one.area * stretch**2 * 1e6:.0f} mm²)"
        for one in found
    )
    message = (
        f"Ink like the print's lies beyond {reference.edge}, where no print is looked for: around {places}"
    )
    near = any(one.away * stretch < settings.apart for one in found)
    if near and not lassoed and reference.sheet is None:
        raise UnmeasurableError(
            "print-cut-off",
            f"{message}. It is near enough to be a part of the print, whose area would be far too small.",
            hint="Bring the whole print into the zone: by a ruler, keep hard edges of shadows and folds off "
            "the paper; by points, pick them around all of the print. If it is no part of it, draw a lasso "
            "around what counts.",
        )
    return (Flag("ink-beyond", f"{message}: it is not counted."),)
