"""A picture, and what is worked out from it at most once."""

from functools import cached_property

import cv2
import numpy as np

from tameshi.footprint.arrays import Pixels
from tameshi.footprint.light import reduced
from tameshi.footprint.markers import Marker, find_markers
from tameshi.footprint.quad import Quad, find_quads


class View:
    """A picture, and what is looked for in it at most once.

    Parameters
    ----------
    pixels : (h, w, 3) array of uint8
    """

    def __init__(self, pixels: Pixels) -> None:
        self.pixels = pixels
        self._smaller: dict[tuple[int, bool], Pixels] = {}

    @cached_property
    def grey(self) -> Pixels:
        """The picture in grey, (h, w)."""
        return np.asarray(cv2.cvtColor(self.pixels, cv2.COLOR_RGB2GRAY), np.uint8)

    @cached_property
    def markers(self) -> tuple[Marker, ...]:
        """The target sheet's markers, roughly."""
        return find_markers(self.grey)

    @cached_property
    def quads(self) -> tuple[Quad, ...]:
        """What may be plain sheets, roughly."""
        return find_quads(self.pixels)

    def smaller(self, factor: int, *, grey: bool = False) -> Pixels:
        """Return the picture made smaller by a whole factor each way, in colour or in grey."""
        if (factor, grey) not in self._smaller:
            self._smaller[factor, grey] = reduced(self.grey if grey else self.pixels, factor)
        return self._smaller[factor, grey]
