"""Count the covered area to a small part of a pixel.

Well inside an outline every pixel counts whole. In a narrow band along it a pixel counts by how dark
it is between paper outside and ink inside, so that a blurred edge, whose two halves balance, does
not move the area. Where light was mixed the sum is over light, where stored values were, over those;
between the two the mean is taken and the difference goes into the uncertainty.
"""

import math
from dataclasses import dataclass

import cv2
import numpy as np

from tameshi.footprint.arrays import FloatArray, Labels, Mask, Picture, Where
from tameshi.footprint.closeup import CloseUp
from tameshi.footprint.outline import Outline, depth_inside, ink_level
from tameshi.footprint.ridges import Ridging

_LEAST_BLUR = 0.3  # pixels
_LEAST_SPAN = 0.02  # of the paper's level
_FIRST_BAND = 2.5  # pixels to either side of the outline
_BAND_OF_BLUR = 2.0
_LEAST_BAND = 1.5  # pixels
_CLEAR = (2.0, 1.0)  # times the blur, and pixels: so deep inside an edge ink is itself
_QUARTILES = 1.349  # standard deviations between the quartiles of a normal distribution


@dataclass(frozen=True, slots=True)
class Edge:
    """What the print's own edge looks like.

    Parameters
    ----------
    softness : float
        Standard deviation of the step from paper to ink on the whole, in pixels: blur, ragged
        outline and ridge ends together.
    blur : float
        Standard deviation of the sharpest steps, in pixels: the picture's own blur.
    length : float
        Of all edges of contact together, in pixels.
    """

    softness: float
    blur: float
    length: float


@dataclass(frozen=True, slots=True)
class Counted:
    """Covered areas by patch, in pixels.

    Parameters
    ----------
    encoded, linear : (n,) arrays
        Counted on stored values and on light.
    length : (n,) array
        Length of the edges, in pixels.
    """

    encoded: FloatArray
    linear: FloatArray
    length: FloatArray

    def area(self, linear_share: float) -> FloatArray:
        """Return the areas for one mixture of light and stored values."""
        mixture: FloatArray = linear_share * self.linear + (1.0 - linear_share) * self.encoded
        return mixture


def look_at_edge(seen: CloseUp, outline: Outline) -> Edge:
    """Measure the width of the step along the outline."""
    clear = outline.depth > _FIRST_BAND
    level = ink_level(seen.linear, clear if clear.any() else outline.contact > 0, seen.scale)
    reach = 4.0 * _FIRST_BAND
    band = np.abs(outline.depth) <= reach
    span = np.maximum(1.0 - level, _LEAST_SPAN)
    dark = (1.0 - seen.linear[band]) / span[band]
    length = max(float(np.count_nonzero(band)) / (2.0 * reach), 1.0)
    between = float(np.count_nonzero((dark > 0.25) & (dark < 0.75)))  # noqa: PLR2004  quartiles
    softness = max(_LEAST_BLUR, between / length / _QUARTILES)
    return Edge(softness, min(softness, _sharpest(seen.linear, span, band)), length)


def _sharpest(values: Picture, span: Picture, band: Where) -> float:
    """Return the blur that the steepest steps allow."""
    slope = np.hypot(*(cv2.Sobel(values, cv2.CV_32F, *way, scale=0.125) for way in ((1, 0), (0, 1))))
    darkest = cv2.erode(values, np.ones((5, 5), np.uint8))
    steep = (slope / np.maximum(span, 1.0 - darkest))[band]
    # the steepest pixel across an edge stands for about four flatter ones beside it
    steepest = float(np.quantile(steep, 0.98))
    return max(_LEAST_BLUR, 1.0 / (max(steepest, 1e-3) * math.sqrt(2.0 * math.pi)))


def count_contact(seen: CloseUp, outline: Outline, edge: Edge, patches: Labels) -> Counted:
    """Count the area of contact of each patch.

    Parameters
    ----------
    seen : CloseUp
    outline : Outline
    edge : Edge
    patches : (h, w) array of int32
        Number of the patch each pixel is in or near, from 1.
    """
    clear = outline.depth > _deep(edge, outline.depth)
    levels = [ink_level(values, clear, seen.scale) for values in (seen.encoded, seen.linear)]
    return _count(seen, outline.depth, levels, edge, patches)


def count_inked(seen: CloseUp, outline: Outline, edge: Edge, patches: Labels, ridging: Ridging) -> Counted:
    """Count the area under ink of each patch, gaps left out."""
    if ridging.share is not None:
        contact = count_contact(seen, outline, edge, patches)
        inside = outline.contact > 0
        count = int(patches.max()) + 1
        sums = np.bincount(patches[inside], ridging.share[inside], minlength=count)
        share = (sums / np.maximum(np.bincount(patches[inside], minlength=count), 1))[1:]
        return Counted(contact.encoded * share, contact.linear * share, contact.length)
    inked, levels = _ink_itself(seen, outline, edge)
    near = np.where(outline.depth > -_band(edge), patches, 0)
    return _count(seen, depth_inside(inked), levels, edge, near)


def _ink_itself(seen: CloseUp, outline: Outline, edge: Edge) -> tuple[Mask, list[Picture]]:
    """Return where ink is, gaps wider than the blur left out, and the level of ink everywhere."""
    clear = outline.depth > _deep(edge, outline.depth)
    levels = [ink_level(values, clear, seen.scale) for values in (seen.encoded, seen.linear)]
    near = outline.depth > -_band(edge)
    inked = ((1.0 - seen.linear > 0.5 * (1.0 - levels[1])) & near) | (outline.thin > 0)
    sure = (depth_inside(inked.astype(np.uint8)) > 0.5 * _deep(edge, outline.depth)) & (outline.depth > 0)
    return inked.astype(np.uint8), [ink_level(v, sure, seen.scale) for v in (seen.encoded, seen.linear)]


def _count(seen: CloseUp, depth: Picture, levels: list[Picture], edge: Edge, patches: Labels) -> Counted:
    """Sum whole pixels inside and shares in the band, by patch."""
    width = _band(edge)
    count = int(patches.max()) + 1
    inside = np.bincount(patches[depth > width], minlength=count).astype(np.float64)
    band = (np.abs(depth) <= width) & (patches > 0)
    of = patches[band]
    sums = []
    for values, level in zip((seen.encoded, seen.linear), levels, strict=True):
        share = (1.0 - values[band]) / np.maximum(1.0 - level[band], _LEAST_SPAN)
        sums.append(inside + np.bincount(of, share, minlength=count))
    length = np.bincount(of, minlength=count) / (2.0 * width)
    return Counted(sums[0][1:], sums[1][1:], length[1:])


def _band(edge: Edge) -> float:
    """Return the half width of the band, in pixels."""
    return max(_LEAST_BAND, _BAND_OF_BLUR * edge.softness + 0.5)


def _deep(edge: Edge, depth: Picture) -> float:
    """Return how deep inside an edge ink is itself, in pixels; less where nothing is that deep."""
    wanted = _CLEAR[0] * edge.blur + _CLEAR[1]
    return min(wanted, 0.6 * float(depth.max()))
