"""A picture, and what is worked out from it at most once."""

from collections.abc import Callable
from functools import cached_property
from typing import Any, TypeVar

from tameshi.footprint.picture.arrays import Pixels
from tameshi.footprint.picture.light import as_grey, reduced

T = TypeVar("T")
_HALF = 2


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
        return as_grey(self.pixels)

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
            self._smaller[factor, grey] = self._reduced(factor, grey=grey)
        return self._smaller[factor, grey]

    def _reduced(self, factor: int, *, grey: bool) -> Pixels:
        if factor % _HALF:
            return reduced(self.grey if grey else self.pixels, factor)
        if grey:  # the copy in colour is wanted sooner or later, and the whole picture in grey need not be
            return as_grey(self.smaller(factor))
        if factor == _HALF:
            return reduced(self.pixels, _HALF)
        return reduced(self.smaller(_HALF), factor // _HALF)  # halves are made quickly, and once
