"""Invented contact prints whose area is known exactly, not measured.

A patch is a closed curve r(angle) around a centre, so its area is a formula (derived):
pi r0^2 (1 + sum a_k^2 / 2) for r = r0 (1 + sum a_k cos(k angle + phase_k)), times the stretch
along one axis. Skin ridges, droplets and ink that creeps past the edge are drawn on top; the inked
area with ridges is counted on the drawing itself. Lengths are metres on the real paper.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from tameshi.footprint import Box

FloatArray = NDArray[np.float64]
Picture = NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Blob:
    """One patch: a closed curve around a centre, perhaps with a hollow.

    Parameters
    ----------
    x, y : float
        Centre, in metres.
    radius : float
        Mean radius r0, in metres.
    harmonics : tuple of (k, amplitude, phase)
        Terms of r(angle); amplitudes as a share of the radius, phases in radians.
    stretch : float
        Lengthening along the axis that ``angle`` (radians from x) points to.
    angle : float
    hollow : Blob or None
        A part left out; it must lie inside.
    """

    x: float
    y: float
    radius: float
    harmonics: tuple[tuple[int, float, float], ...] = ()
    stretch: float = 1.0
    angle: float = 0.0
    hollow: Blob | None = None

    @property
    def area(self) -> float:
        """Area in square metres, by formula; the hollow left out."""
        wobble = 1.0 + 0.5 * math.fsum(amplitude**2 for _, amplitude, _ in self.harmonics)
        outline = math.pi * self.radius**2 * wobble * self.stretch
        return outline - (self.hollow.area if self.hollow else 0.0)

    @property
    def reach(self) -> float:
        """No point of the curve is farther from the centre than this, in metres."""
        return self.radius * max(1.0, self.stretch) * (1.0 + sum(abs(a) for _, a, _ in self.harmonics))

    def depth(self, x: FloatArray, y: FloatArray) -> FloatArray:
        """Return how far points lie inside the edge, in metres; exact only close to the edge.

        Parameters
        ----------
        x, y : array
            Points, in metres; they must form a grid with x along the last axis.
        """
        turned_x = (x - self.x) * math.cos(self.angle) + (y - self.y) * math.sin(self.angle)
        turned_y = (y - self.y) * math.cos(self.angle) - (x - self.x) * math.sin(self.angle)
        turned_x = turned_x / self.stretch
        round_about = np.arctan2(turned_y, turned_x)
        edge = self.radius * (
            1.0 + sum((a * np.cos(k * round_about + phase) for k, a, phase in self.harmonics), np.zeros(1))
        )
        inside = edge - np.hypot(turned_x, turned_y)
        steepness = np.hypot(np.gradient(inside, y[:, 0], axis=0), np.gradient(inside, x[0, :], axis=1))
        depth: FloatArray = inside / np.maximum(steepness, 0.3)
        return np.minimum(depth, -self.hollow.depth(x, y)) if self.hollow else depth


@dataclass(frozen=True, slots=True)
class Ridges:
    """Skin ridges: curved lines of ink with gaps between them.

    Parameters
    ----------
    period : float
        From ridge to ridge, in metres.
    share : float
        Part of the period that carries ink.
    bend : float
        Radius of their curvature, in metres.
    """

    period: float = 0.0005
    share: float = 0.6
    bend: float = 0.03

    def depth(self, x: FloatArray, y: FloatArray, centre: tuple[float, float]) -> FloatArray:
        """Return how far points lie inside a ridge, in metres."""
        from_far = np.hypot(x - centre[0] - self.bend, y - centre[1] + 0.4 * self.bend)
        in_period = np.abs(np.mod(from_far / self.period, 1.0) - 0.5) * self.period
        depth: FloatArray = 0.5 * self.share * self.period - in_period
        return depth


@dataclass(frozen=True, slots=True)
class ContactPrint:
    """What was struck, with the truth about it.

    Parameters
    ----------
    name : str
        Technique.
    patches : tuple of Blob
        They must not overlap.
    droplets : tuple of Blob
        Ink that was thrown, not pressed.
    ridges : Ridges or None
    rim : float
        How much thinner the ink is inside than at the edge, as a share.
    """

    name: str
    patches: tuple[Blob, ...]
    droplets: tuple[Blob, ...] = ()
    ridges: Ridges | None = None
    rim: float = 0.0

    @property
    def contact_area(self) -> float:
        """Area in square metres, by formula."""
        return math.fsum(patch.area for patch in self.patches)

    @property
    def set_aside_area(self) -> float:
        """Area of the droplets in square metres, by formula."""
        return math.fsum(drop.area for drop in self.droplets)

    def moved(self, x: float, y: float) -> ContactPrint:
        """Return the same print shifted by so many metres."""

        def shifted(blob: Blob) -> Blob:
            hollow = shifted(blob.hollow) if blob.hollow else None
            return replace(blob, x=blob.x + x, y=blob.y + y, hollow=hollow)

        return replace(
            self, patches=tuple(map(shifted, self.patches)), droplets=tuple(map(shifted, self.droplets))
        )


def draw(contact: ContactPrint, box: Box, texel: float, *, bleed: float = 0.0) -> Picture:
    """Return how much of each little square of paper carries ink, 0 to 1.

    Parameters
    ----------
    contact : ContactPrint
    box : Box
        The part of the paper to draw, in metres.
    texel : float
        Side of a square, in metres.
    bleed : float
        How far ink creeps past every edge, in metres.

    Returns
    -------
    (h, w) array
        Coverage, with the partly covered squares along the edges.
    """
    picture = np.zeros((round(box.height / texel), round(box.width / texel)), dtype=np.float32)
    for blob in (*contact.patches, *contact.droplets):
        ridged = contact.ridges if blob in contact.patches else None
        top, left, x, y = _squares_around(blob, box, texel, picture.shape)
        if x.size == 0:
            continue
        depth = blob.depth(x, y)
        cover = _covered(depth + bleed, texel)
        if ridged is not None:
            cover = cover * _covered(ridged.depth(x, y, (blob.x, blob.y)) + bleed, texel)
        if contact.rim:
            cover = cover * (1.0 - contact.rim * np.clip((depth - 0.0015) / 0.001, 0.0, 1.0))
        part = picture[top : top + x.shape[0], left : left + x.shape[1]]
        np.maximum(part, cover, out=part, casting="same_kind")
    return picture


def inked_area(contact: ContactPrint, *, texel: float = 2e-5) -> float:
    """Return the area under ink in square metres: by formula, with ridges by counting squares."""
    if contact.ridges is None:
        return contact.contact_area
    bare = replace(contact, droplets=(), rim=0.0)
    counted = 0.0
    for patch in contact.patches:
        around = Box(patch.x, patch.y, patch.x, patch.y).grown(patch.reach + 10 * texel)
        alone = replace(bare, patches=(patch,))
        counted += float(draw(alone, around, texel).sum(dtype=np.float64)) * texel * texel
    return counted


def wobbly_blob(
    rng: np.random.Generator, x: float, y: float, area: float, *, stretch: float = 1.0, wobble: float = 0.06
) -> Blob:
    """Return a blob of exactly this area with a random outline."""
    harmonics = tuple(
        (k, float(rng.normal(0.0, wobble / k**0.7)), float(rng.uniform(0.0, 2.0 * math.pi)))
        for k in range(2, 7)
    )
    drawn = Blob(x, y, 1.0, harmonics, stretch, float(rng.uniform(0.0, math.pi)))
    return replace(drawn, radius=math.sqrt(area / drawn.area))


def palm_heel(rng: np.random.Generator) -> ContactPrint:
    """Return an invented print of the heel of a palm: two pads, side by side, centred on zero."""
    size = rng.uniform(0.9, 1.1)
    thumb = wobbly_blob(rng, -0.018 * size, 0.0, 8.5e-4 * size**2, stretch=1.25, wobble=0.04)
    other = wobbly_blob(rng, 0.020 * size, 0.002, 6.5e-4 * size**2, stretch=1.2, wobble=0.04)
    return ContactPrint("palm heel", (replace(thumb, angle=1.5), replace(other, angle=1.6)))


def hammer_fist(rng: np.random.Generator) -> ContactPrint:
    """Return an invented print of the little-finger side of a fist: one long patch."""
    long = wobbly_blob(rng, 0.0, 0.0, rng.uniform(14e-4, 19e-4), stretch=2.0, wobble=0.035)
    return ContactPrint("hammer fist", (replace(long, angle=float(rng.normal(0.0, 0.15))),))


def ball_of_foot(rng: np.random.Generator) -> ContactPrint:
    """Return an invented print of a front kick: the ball of the foot and the big toe's pad."""
    ball = wobbly_blob(rng, 0.0, 0.012, rng.uniform(24e-4, 30e-4), stretch=1.7, wobble=0.035)
    toe = wobbly_blob(rng, -0.022, -0.034, rng.uniform(3.5e-4, 4.5e-4), stretch=1.2, wobble=0.04)
    return ContactPrint("front kick", (replace(ball, angle=0.1), replace(toe, angle=1.4)))


TECHNIQUES: Mapping[str, Callable[[np.random.Generator], ContactPrint]] = MappingProxyType(
    {"palm heel": palm_heel, "hammer fist": hammer_fist, "front kick": ball_of_foot}
)
"""Prints of the invented scenario by technique, centred on zero."""


def thrown_droplets(
    rng: np.random.Generator, contact: ContactPrint, count: int, *, within: Box
) -> ContactPrint:
    """Return the print with small round droplets, clear of its patches, inside a box."""
    drops: list[Blob] = []
    while len(drops) < count:
        radius = float(rng.uniform(0.0004, 0.0014))
        x = float(rng.uniform(within.left, within.right))
        y = float(rng.uniform(within.top, within.bottom))
        clear = all(math.hypot(x - b.x, y - b.y) > b.reach + 0.005 for b in (*contact.patches, *drops))
        if clear:
            drops.append(Blob(x, y, radius))
    return replace(contact, droplets=(*contact.droplets, *drops))


def _squares_around(
    blob: Blob, box: Box, texel: float, shape: tuple[int, ...]
) -> tuple[int, int, FloatArray, FloatArray]:
    """Return the first row and column of the part a blob can reach, and the middles of its squares."""
    reach = blob.reach + 0.001
    top = max(0, math.floor((blob.y - reach - box.top) / texel))
    left = max(0, math.floor((blob.x - reach - box.left) / texel))
    bottom = min(shape[0], math.ceil((blob.y + reach - box.top) / texel))
    right = min(shape[1], math.ceil((blob.x + reach - box.left) / texel))
    if bottom - top < 2 or right - left < 2:  # noqa: PLR2004  a gradient needs two
        return 0, 0, np.zeros((0, 0)), np.zeros((0, 0))
    along_y = box.top + (np.arange(top, bottom) + 0.5) * texel
    along_x = box.left + (np.arange(left, right) + 0.5) * texel
    x, y = np.meshgrid(along_x, along_y)
    return top, left, x, y


def _covered(depth: FloatArray, texel: float) -> FloatArray:
    """Return the covered share of a square whose middle lies so deep inside a straight edge."""
    return np.clip(depth / texel + 0.5, 0.0, 1.0)
