"""Put each patch of a print together: number, areas, place, outlines."""

from dataclasses import dataclass

import cv2
import numpy as np

from tameshi.footprint.ink.axes import Lie, lie_of
from tameshi.footprint.ink.closeup import CloseUp
from tameshi.footprint.ink.moments import moments_of
from tameshi.footprint.ink.outline import Outline
from tameshi.footprint.picture.arrays import FloatArray, Labels, Where
from tameshi.footprint.references.reference import Reference
from tameshi.footprint.results.model import Patch
from tameshi.quantity import Measured, Quantity

_BESIDE = 0.0004  # metres around a patch that belong to it when its edge is counted
_BESIDE_PIXELS = 4.0


@dataclass(frozen=True, slots=True)
class _Shape:
    lie: Lie
    centroid: tuple[float, float]
    size: tuple[float, float]
    hollow: float
    outlines: tuple[FloatArray, ...]


def number_patches(seen: CloseUp, outline: Outline) -> Labels:
    """Return the number of the patch each pixel is in or close to, largest first, from 1."""
    beside = (outline.depth > -max(_BESIDE_PIXELS, _BESIDE / seen.scale)).astype(np.uint8)
    count, found = cv2.connectedComponents(beside, connectivity=8)
    labels = np.asarray(found, np.int32)
    if count == 2:  # noqa: PLR2004  what is beside no patch, and one patch
        return labels
    areas = np.bincount(labels.take(np.flatnonzero(outline.contact)), minlength=count)[1:]
    number = np.zeros(count, np.int32)
    number[1 + np.argsort(-areas, kind="stable")] = np.arange(1, count)
    return np.asarray(number.take(labels))


def put_together(
    seen: CloseUp,
    outline: Outline,
    numbers: Labels,
    areas: tuple[tuple[Quantity, ...], tuple[Measured, ...]],
    *,
    lengths: FloatArray,
    reference: Reference,
) -> tuple[tuple[Patch, ...], tuple[Lie, ...]]:
    """Return the patches, and how they lie.

    Parameters
    ----------
    seen : CloseUp
    outline : Outline
    numbers : (h, w) array
        As :func:`number_patches` returns them.
    areas : (contact areas, inked areas)
        Of each patch.
    lengths : (n,) array
        Of their edges, in pixels.
    reference : Reference
    """
    patches, lies = [], []
    stretch = reference.stretch
    for n, (contact, inked) in enumerate(zip(*areas, strict=True)):
        shape = _shape(seen, outline, numbers == n + 1, (contact, float(lengths[n])), reference)
        lies.append(shape.lie)
        patches.append(
            Patch(
                index=n + 1,
                contact_area=contact,
                inked_area=_at_most(inked, contact),
                centroid=shape.centroid,
                width=shape.size[0],
                height=shape.size[1],
                perimeter=float(lengths[n]) * seen.scale * stretch,
                hollow_area=shape.hollow,
                outlines=shape.outlines,
                axes=shape.lie.axes,
            )
        )
    return tuple(patches), tuple(lies)


def _shape(
    seen: CloseUp, outline: Outline, near: Where, measured: tuple[Quantity, float], reference: Reference
) -> _Shape:
    """Return where a patch is and how large, in true metres; its area and length of edge are known."""
    own = ((outline.contact > 0) & near).astype(np.uint8)
    curves, _ = cv2.findContours(own, cv2.RETR_CCOMP, cv2.CHAIN_APPROX_NONE)
    largest_first = sorted(curves, key=lambda curve: -cv2.contourArea(curve))
    _, _, columns, rows = cv2.boundingRect(largest_first[0])
    flat = [np.asarray(curve.reshape(-1, 2), np.float64) for curve in largest_first]
    moments = moments_of(own, flat, measured[1])
    stretch = reference.stretch
    middle = _on_paper(moments.centre[None, :], seen, stretch)[0]
    hollow = 0.0
    if len(largest_first) > 1:
        whole = cv2.drawContours(np.zeros_like(own), largest_first, 0, 1, thickness=-1)
        hollow = float(np.count_nonzero(outline.hollows & np.asarray(whole, np.uint8)))
    side = seen.scale * stretch
    return _Shape(
        lie_of(moments, measured[0], reference, seen.scale),
        (float(middle[0]), float(middle[1])),
        (columns * side, rows * side),
        hollow * side * side,
        tuple(_on_paper(curve, seen, stretch) for curve in flat),
    )


def _on_paper(points: np.ndarray, seen: CloseUp, stretch: float) -> FloatArray:
    corner = np.array([seen.box.left, seen.box.top])
    return np.asarray(((points + 0.5) * seen.scale + corner) * stretch, np.float64)


def _at_most(inked: Measured, contact: Quantity) -> Measured:
    """Return the inked area, which cannot exceed the contact it lies in: the excess is noise."""
    if not isinstance(inked, Quantity) or inked.value <= contact.value:
        return inked
    return Quantity(contact.value, inked.unit, inked.parts, inked.interval)
