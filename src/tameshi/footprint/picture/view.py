"""A picture, and what is worked out from it at most once."""

from collections.abc import Callable
from functools import cached_property
from typing import Any, TypeVar

import cv2
import numpy as np

from tameshi.footprint.picture.arrays import Pixels
from tameshi.footprint.picture.light import reduced

T = TypeVar("T")


class View:
    """A picture, and what is looked for in it at most once.

    Parameters
    ----------
    pixels : (h, w, 3) array of uint8
    """

    def __init__(self, pixels: Pixels) -> None:
        self.pixels = pixels
        self._smaller: dict[tuple[int, bool], Pixels] = {}
        self._found: dict[Callable[[View], Any], Any] = {}

    @property
    def size(self) -> tuple[int, int]:
        """Width and height, in pixels."""
        return self.pixels.shape[1], self.pixels.shape[0]

    @cached_property
    def grey(self) -> Pixels:
        """The picture in grey, (h, w)."""
        return np.asarray(cv2.cvtColor(self.pixels, cv2.COLOR_RGB2GRAY), np.uint8)

    def once(self, look: Callable[["View"], T]) -> T:
        """Return what a function finds in the view, worked out at the first call only."""
        if look not in self._found:
            self._found[look] = look(self)
        found: T = self._found[look]
        return found

    def smaller(self, factor: int, *, grey: bool = False) -> Pixels:
        """Return the picture made smaller by a whole factor each way, in colour or in grey."""
        if factor <= 1:
            return self.grey if grey else self.pixels
        if (factor, grey) not in self._smaller:
            self._smaller[factor, grey] = reduced(self.grey if grey else self.pixels, factor)
        return self._smaller[factor, grey]
