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

from tameshi.footprint.ink.closeup import CloseUp
from tameshi.footprint.ink.outline import Outline, depth_inside, ink_levels
from tameshi.footprint.ink.ridges import Ridging
from tameshi.footprint.picture.arrays import FloatArray, Labels, Picture, Places, Where
from tameshi.footprint.picture.channels import median_where
from tameshi.footprint.results.corrections import HALF_WAY

_LEAST_BLUR = 0.3  # pixels
_OWN_BLUR = 0.577  # pixels: a slope taken over two pixels blurs by 2 / sqrt 12
_LEAST_SPAN = 0.02  # of the paper's level
_LENGTH_BAND = 3.0  # pixels to either side; whole, since pixels lie half a pixel off the outline
_WIDE_BAND = 10.0  # pixels to either side of the outline
_FIRST_CLEAR = 4.0  # pixels inside the outline where ink is usually itself
_HARDLY_A_GAP = 0.002  # of the contact
_BAND_OF_BLUR = 2.0
_RIM_START = (1.5, 1.5)  # pixels inside the edge, and times the blur: there a rim is darkest
_RIM_WIDTH = 0.00035  # metres
_INSIDE = 0.002  # metres inside the edge: no rim reaches there
_DARKER_RIM = 1.08  # times as dark as inside
_FEWEST = 50  # pixels
_LEAST_BAND = 1.5  # pixels
_CLEAR = (2.0, 1.0)  # times the blur, and pixels: so deep inside an edge ink is itself
_MOST_MOVED = 0.85  # times the softness: a blurred edge lies so far from half way at 20 or 80 %
_QUARTILES = 1.349  # standard deviations between the quartiles of a normal distribution


@dataclass(frozen=True, slots=True)
class Edge:
    """What the print's own edge looks like, and the ink beside it.

    Parameters
    ----------
    softness : float
        Standard deviation of the step from paper to ink on the whole, in pixels: blur, ragged
        outline and ridge ends together.
    blur : float
        Standard deviation of the sharpest steps, in pixels: the picture's own blur.
    encoded, linear : (h, w) arrays
        Level of the ink as a share of the paper's, averaged over gaps: as stored values and as light.
    rim : bool
        Whether ink is darker along the edge than inside; the levels are then the rim's.
    """

    softness: float
    blur: float
    encoded: Picture
    linear: Picture
    rim: bool = False


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
    """Measure the width of the step along the outline, and the ink's level inside it."""
    encoded, linear = _levels(seen, outline, _FIRST_CLEAR)
    softness, blur = _step(seen, outline, linear)
    needed = _CLEAR[0] * blur + _CLEAR[1]
    if needed > _FIRST_CLEAR:
        encoded, linear = _levels(seen, outline, needed)
    rim = _rim(seen, outline, blur)
    if rim is None:
        return Edge(softness, blur, encoded, linear)
    encoded, linear = ink_levels((seen.encoded, seen.linear), rim, seen.scale)
    return Edge(softness, blur, encoded, linear, rim=True)


def _rim(seen: CloseUp, outline: Outline, blur: float) -> Where | None:
    """Return where the ink of a dark rim is itself, None where the rim is no darker than the inside."""
    start = max(_RIM_START[0], _RIM_START[1] * blur)
    rim = (outline.depth > start) & (outline.depth < start + _RIM_WIDTH / seen.scale)
    inside = outline.depth > _INSIDE / seen.scale
    if min(np.count_nonzero(rim), np.count_nonzero(inside)) < _FEWEST:
        return None
    dark = [1.0 - median_where(seen.linear, where) for where in (rim, inside)]
    return np.asarray(rim) if dark[0] > _DARKER_RIM * dark[1] else None


def _levels(seen: CloseUp, outline: Outline, deep: float) -> tuple[Picture, Picture]:
    """Return the ink's level where it is so many pixels inside the outline, or as deep as it gets."""
    clear = outline.depth > min(deep, 0.6 * float(outline.depth.max()))
    encoded, linear = ink_levels((seen.encoded, seen.linear), clear, seen.scale)
    return encoded, linear


def _step(seen: CloseUp, outline: Outline, level: Picture) -> tuple[float, float]:
    """Return softness and blur of the step from paper to ink, in pixels."""
    band = np.flatnonzero(np.abs(outline.depth) <= _WIDE_BAND)
    span = np.maximum(1.0 - level.take(band), np.float32(_LEAST_SPAN))
    dark = (1.0 - seen.linear.take(band)) / span
    length = max(float(dark.size) / (2.0 * _WIDE_BAND), 1.0)
    between = float(np.count_nonzero((dark > 0.25) & (dark < 0.75)))  # noqa: PLR2004  quartiles
    softness = max(_LEAST_BLUR, between / length / _QUARTILES)
    return softness, min(softness, _sharpest(seen.linear, span, band))


def _sharpest(values: Picture, span: Picture, band: Places) -> float:
    """Return the blur that the steepest steps allow; ``span`` is how far they go at places of the band."""
    across, down = (cv2.Sobel(values, cv2.CV_32F, *way, scale=0.125) for way in ((1, 0), (0, 1)))
    slope = np.asarray(cv2.magnitude(across, down), np.float32).take(band)
    darkest = np.asarray(cv2.erode(values, np.ones((5, 5), np.uint8)), np.float32).take(band)
    # the steepest pixel across an edge stands for about four flatter ones beside it
    steepest = float(np.quantile(slope / np.maximum(span, 1.0 - darkest), 0.98))
    seen = 1.0 / (max(steepest, 1e-3) * math.sqrt(2.0 * math.pi))
    return math.sqrt(max(_LEAST_BLUR**2, seen**2 - _OWN_BLUR**2))


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
    return _count(seen, outline.depth, (edge.encoded, edge.linear), edge, patches)


def count_inked(
    seen: CloseUp, outline: Outline, edge: Edge, patches: Labels, ridging: Ridging, contact: Counted
) -> Counted:
    """Count the area under ink of each patch, gaps left out.

    Parameters
    ----------
    seen, outline, edge, patches
        As for :func:`count_contact`.
    ridging : Ridging
    contact : Counted
        What that returned.
    """
    if ridging.share is not None:
        inside = outline.contact > 0
        count = int(patches.max()) + 1
        sums = np.bincount(patches[inside], ridging.share[inside], minlength=count)
        share = (sums / np.maximum(np.bincount(patches[inside], minlength=count), 1))[1:]
        return Counted(contact.encoded * share, contact.linear * share, contact.length)
    pale = (1.0 - seen.linear < seen.at * (1.0 - edge.linear)) & (outline.thin == 0)
    if np.count_nonzero(pale & (outline.depth > 1.0)) < _HARDLY_A_GAP * float(contact.linear.sum()):
        return contact
    inked = (~pale & (outline.depth > -_band(edge))).astype(np.uint8)
    depth = depth_inside(inked)
    sure = (depth > 0.5 * _FIRST_CLEAR) & (outline.depth > 0)
    encoded, linear = ink_levels((seen.encoded, seen.linear), sure, seen.scale)
    near = np.where(outline.depth > -_band(edge), patches, 0)
    return _count(seen, depth, (encoded, linear), edge, near)


def _count(
    seen: CloseUp, depth: Picture, levels: tuple[Picture, Picture], edge: Edge, patches: Labels
) -> Counted:
    """Sum whole pixels inside and shares in the band, by patch."""
    width = _band(edge) + (_MOST_MOVED * edge.softness if seen.at != HALF_WAY else 0.0)
    count = int(patches.max()) + 1
    inside = np.bincount(patches.take(np.flatnonzero(depth > width)), minlength=count).astype(np.float64)
    band = np.flatnonzero((np.abs(depth) <= width) & (patches > 0))
    of = patches.take(band)
    sums = []
    for values, level in zip((seen.encoded, seen.linear), levels, strict=True):
        share = (1.0 - values.take(band)) / np.maximum(1.0 - level.take(band), _LEAST_SPAN)
        if edge.rim:  # what is darker than the rim beside it is not more than ink
            share = np.minimum(share, 1.0)
        if seen.at != HALF_WAY:
            share += _moved(values, level, band, seen.at)
        sums.append(inside + np.bincount(of, share, minlength=count))
    beside = np.flatnonzero((np.abs(depth) < _LENGTH_BAND) & (patches > 0))
    length = np.bincount(patches.take(beside), minlength=count) / (2.0 * _LENGTH_BAND)
    return Counted(sums[0][1:], sums[1][1:], length[1:])


def _moved(values: Picture, level: Picture, band: Places, at: float) -> Picture:
    """Return what pixels of the band gain or lose where the outline runs elsewhere than half way.

    Across one pixel darkness is taken to rise evenly; the part of it beyond the outline counts.
    """
    share = np.asarray((1.0 - values) / np.maximum(1.0 - level, _LEAST_SPAN), np.float32)
    across, down = (cv2.Sobel(share, cv2.CV_32F, *way, scale=0.125) for way in ((1, 0), (0, 1)))
    rise = np.maximum(np.asarray(cv2.magnitude(across, down), np.float32).take(band), _LEAST_SPAN)
    here = share.take(band)
    beyond = [np.clip(0.5 + (here - limit) / rise, 0.0, 1.0) for limit in (at, HALF_WAY)]
    return np.asarray(beyond[0] - beyond[1], np.float32)


def _band(edge: Edge) -> float:
    """Return the half width of the band, in pixels."""
    return max(_LEAST_BAND, _BAND_OF_BLUR * edge.softness + 0.5)
