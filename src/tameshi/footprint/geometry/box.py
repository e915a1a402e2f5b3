"""Upright rectangles on the paper."""

from dataclasses import dataclass

import numpy as np

from tameshi.footprint.picture.arrays import FloatArray


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle on the sheet, in metres.

    Parameters
    ----------
    left, top, right, bottom : float
        Its sides.
    """

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        """Length along x, in metres."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Length along y, in metres."""
        return self.bottom - self.top

    @property
    def corners(self) -> FloatArray:
        """The (4, 2) corners, clockwise from the top left, in metres."""
        return np.array(
            [
                (self.left, self.top),
                (self.right, self.top),
                (self.right, self.bottom),
                (self.left, self.bottom),
            ],
        )

    def grown(self, by: float) -> "Box":
        """Return the rectangle with every side moved outwards by so many metres."""
        return Box(self.left - by, self.top - by, self.right + by, self.bottom + by)
