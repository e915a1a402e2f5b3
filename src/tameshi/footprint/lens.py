"""A lens that bends straight lines a little: one coefficient, and the way there and back."""

from dataclasses import dataclass

import cv2
import numpy as np

from tameshi.footprint.arrays import FloatArray, Pixels

_ROUNDS = 6
_NOT_WORTH_IT = 0.1  # pixels at the corners: a picture straightened for less would only blur


@dataclass(frozen=True, slots=True)
class Lens:
    """How far the picture is bent, around its middle.

    Parameters
    ----------
    width, height : int
        Of the picture, in pixels.
    bend : float
        How far points at the corners move outwards when straightened, as a share of their distance
        from the middle; it grows with the square of that distance.
    """

    width: int
    height: int
    bend: float = 0.0

    @property
    def middle(self) -> FloatArray:
        """The picture's middle, (2,), in pixels."""
        return np.array([(self.width - 1) / 2.0, (self.height - 1) / 2.0])

    def outwards(self, seen: FloatArray) -> FloatArray:
        """Return by how much points (n, 2) as seen would move for a bend of one, (n, 2), in pixels."""
        away = seen - self.middle
        reach = 0.25 * (self.width**2 + self.height**2)
        moves: FloatArray = away * (np.sum(away**2, axis=-1, keepdims=True) / reach)
        return moves

    def straightened(self, seen: FloatArray) -> FloatArray:
        """Return where points (n, 2) as seen would be without the bend, in pixels."""
        return seen + self.bend * self.outwards(seen) if self.bend else seen

    def bent(self, straight: FloatArray) -> FloatArray:
        """Return where points (n, 2) of a straight picture are seen, in pixels."""
        seen = straight
        if self.bend:
            for _ in range(_ROUNDS):
                seen = straight - self.bend * self.outwards(seen)
        return seen

    def straighten(self, pixels: Pixels) -> Pixels:
        """Return the picture without the bend; as it is, where the bend is hardly any."""
        if abs(self.bend) * float(np.hypot(self.width, self.height)) / 2.0 < _NOT_WORTH_IT:
            return pixels
        x, y = np.meshgrid(np.arange(self.width, dtype=np.float32), np.arange(self.height, dtype=np.float32))
        across, down = (np.float32(half) for half in self.middle)
        reach = np.float32(0.25 * (self.width**2 + self.height**2))
        away = (x - across) ** 2 + (y - down) ** 2
        # the same fixed point, on squares of distances only
        shrink = np.ones_like(away)
        for _ in range(_ROUNDS):
            shrink = 1.0 / (1.0 + np.float32(self.bend) * away * shrink**2 / reach)
        x, y = (x - across) * shrink + across, (y - down) * shrink + down
        straight = cv2.remap(pixels, x, y, cv2.INTER_CUBIC, borderMode=cv2.BORDER_REPLICATE)
        return np.asarray(straight, np.uint8)
