"""The strips on which stripes are strong: where rows of ticks may be followed."""

from dataclasses import dataclass

import cv2
import numpy as np

from tameshi.footprint.picture.arrays import FloatArray, Where
from tameshi.footprint.references.ruler.seed import Stripes

_WIDEST, _SHORTEST_ROW = 16.0, 24.0  # pitches: width of the strip, and its length
_STRIP = 0.35  # of the strongest response: there the strip ends
_MOST_STRIPS = 3  # of one seed


@dataclass(frozen=True, slots=True)
class Strip:
    """A strip of stripes.

    Parameters
    ----------
    middle, along : (2,) arrays
        A point of its middle line, and the unit way along it.
    half : float
        Half its length, in pixels.
    """

    middle: FloatArray
    along: FloatArray
    half: float


def strips_of(stripes: Stripes) -> list[Strip]:
    """Return the strip on which stripes are strongest, and others that are as long: a ruler's other edge.

    Parameters
    ----------
    stripes : Stripes
    """
    strong = (stripes.response > _STRIP * stripes.peak).astype(np.uint8)
    count, labels, stats, _ = cv2.connectedComponentsWithStats(strong, connectivity=8)
    column, row = ((stripes.at + 0.5) / stripes.factor - 0.5).round().astype(int)
    own = int(labels[row, column])
    large = 1 + np.argsort(-stats[1:, cv2.CC_STAT_AREA])[:_MOST_STRIPS]
    numbers = [own, *(int(n) for n in large if n != own)] if own else []
    found = (_strip(stripes, labels == n) for n in numbers if n < count)
    return [strip for strip in found if strip is not None]


def _strip(stripes: Stripes, own: Where) -> Strip | None:
    pitch = 1.0 / float(np.linalg.norm(stripes.wave))
    rows, columns = np.nonzero(own)
    points = (np.column_stack([columns, rows]).astype(np.float64) + 0.5) * stripes.factor - 0.5
    weight = np.asarray(stripes.response[rows, columns], np.float64)
    middle = weight @ points / weight.sum()
    away = points - middle
    spread, axes = np.linalg.eigh((away.T * weight) @ away / weight.sum())
    along = axes[:, 1] * np.sign(axes[:, 1] @ stripes.wave or 1.0)
    width, length = np.sqrt(12.0 * np.maximum(spread, 0.0))
    square = abs(float(along @ stripes.wave)) * pitch
    if width > _WIDEST * pitch or length < _SHORTEST_ROW * pitch or square < 0.8:  # noqa: PLR2004
        return None
    return Strip(middle, np.asarray(along, np.float64), 0.5 * float(np.ptp(away @ along)))
