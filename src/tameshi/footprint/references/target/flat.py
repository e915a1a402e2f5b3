"""Does the frame of the target sheet bulge by the lens, or because the sheet is not flat?

A lens bends all four sides by one coefficient; a sheet that curls bends some and not others. Where
one coefficient explains what is seen it is undone; what it leaves goes into the uncertainty.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from tameshi.footprint.geometry.box import Box
from tameshi.footprint.geometry.lens import Lens
from tameshi.footprint.geometry.plane import Plane, pixel_size, rectify, reduction
from tameshi.footprint.picture.arrays import Pixels
from tameshi.footprint.picture.spread import Spread
from tameshi.footprint.picture.view import View
from tameshi.footprint.references.layout import Sheet
from tameshi.footprint.references.target.frame import Bulge, frame_bulge

_AROUND = 0.003  # metres outside the frame that are looked at with it
_FINEST = 0.0002  # metres a pixel in which the frame is looked at
_UNSEEN = 0.005  # of an area, where the frame cannot be seen
_WORTH_UNDOING = 0.001  # of an area
_SIGNIFICANT = 3.0  # standard uncertainties
_ALIKE = 0.5  # sides of one lens disagree by less, as a share of what they agree on
_LEAST_SPREAD = 0.0002  # of an area: sides are never known better
_SETTLED = 0.1 * _LEAST_SPREAD
_LENS_MODEL = 0.1  # of what undoing the lens did: one coefficient is not the whole lens
_STRONGEST = 0.25  # no camera's lens bends more
_WIDE = 1.96


@dataclass(frozen=True, slots=True)
class Laid:
    """The sheet in the picture, a lens undone.

    Parameters
    ----------
    sheet : Sheet
    plane : Plane
    spread : Spread
    """

    sheet: Sheet
    plane: Plane
    spread: Spread


@dataclass(frozen=True, slots=True)
class Flatness:
    """What the frame says.

    Parameters
    ----------
    laid : Laid
        With the lens undone where there is one.
    lens : Lens
        With k = 0 where nothing was undone.
    u_k : float
        Standard uncertainty of its coefficient.
    left : float
        Share by which areas in the middle seem off, the lens undone.
    half : float
        Half width within which areas are off for lens and flatness, as a share.
    """

    laid: Laid
    lens: Lens
    u_k: float
    left: float
    half: float


def judge_flatness(view: View, lay: Callable[[Lens], Laid], lens: Lens, u_known: float | None) -> Flatness:
    """Undo the lens where the frame's four sides agree on one, and say what is left.

    Parameters
    ----------
    view : View
    lay : callable
        Gives sheet and plane for a lens.
    lens : Lens
        What is known of it; k = 0 where nothing is.
    u_known : float or None
        Standard uncertainty of k where it is known.
    """
    laid = lay(lens)
    seen = _bulge(view, laid)
    effect = _effect(laid, lens)
    if u_known is not None:
        left = 0.0 if seen.area is None else abs(seen.area)
        half = math.hypot(left, effect * _WIDE * u_known, effect * _LENS_MODEL * lens.k)
        return Flatness(laid, lens, u_known, left, half)
    if seen.area is None:
        return Flatness(laid, lens, 0.0, 0.0, _UNSEEN)
    plain = Flatness(laid, lens, 0.0, abs(seen.area), abs(seen.area))
    unsure = max(0.5 * seen.spread, _LEAST_SPREAD)
    if abs(seen.area) < max(_WORTH_UNDOING, _SIGNIFICANT * unsure) or seen.spread > _ALIKE * abs(seen.area):
        return plain
    return _undone(view, lay, (plain, seen, effect)) or plain


def _undone(view: View, lay: Callable[[Lens], Laid], known: tuple[Flatness, Bulge, float]) -> Flatness | None:
    """Return the sheet seen through the lens that takes the bulge away, None where none does."""
    plain, before, effect = known
    assert before.area is not None  # noqa: S101  who calls has looked
    k, slope, now = 0.0, effect, before.area
    for _ in range(2):
        if abs(now) <= _SETTLED:  # another step would tell the slope from noise
            break
        step = -now / slope
        if abs(k + step) > _STRONGEST:
            return None
        k += step
        lens = replace(plain.lens, k=k)
        laid = lay(lens)
        bulge = _bulge(view, laid)
        if bulge.area is None or bulge.area == now:
            return None
        slope, now = (bulge.area - now) / step, bulge.area
    if abs(now) > _ALIKE * abs(before.area) or slope <= 0.0:
        return None
    unsure = max(0.5 * bulge.spread, _LEAST_SPREAD)
    half = math.hypot(now, _WIDE * unsure, _LENS_MODEL * (before.area - now))
    return Flatness(laid, lens, unsure / abs(slope), abs(now), half)


def _effect(laid: Laid, lens: Lens) -> float:
    """Return by what share a lens of k = 1 changes areas in the middle, about; see ``frame``."""
    zone = laid.sheet.zone
    finest, coarsest = pixel_size(laid.plane, zone)
    across = (zone.width**2 + zone.height**2) / 4.0
    return 2.0 * across / (lens.reach**2 * finest * coarsest)


def _bulge(view: View, laid: Laid) -> Bulge:
    zone = laid.sheet.zone
    around = zone.grown(_AROUND)
    finest, coarsest = pixel_size(laid.plane, around)
    scale = max(_FINEST, 0.5 * coarsest)
    # copies in grey that are halves of halves are at hand
    factor = 1 << (reduction(scale, finest).bit_length() - 1)

    def look(box: Box) -> Pixels:
        return rectify(view, laid.plane, box, scale, grey=True, factor=factor)

    return frame_bulge(look, around, zone, scale)
