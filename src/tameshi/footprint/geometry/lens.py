"""Radial distortion: how a lens bends straight lines, and the way there and back."""

from dataclasses import dataclass

import cv2
import numpy as np

from tameshi.footprint.picture.arrays import FloatArray, Pixels

_ROUNDS = 6
_NOT_WORTH_IT = 0.1  # pixels at the corners: a picture straightened for less would only blur
_BAND = 256  # rows straightened at once


@dataclass(frozen=True, slots=True)
class Lens:
    """One term of radial distortion about the picture's middle.

    Parameters
    ----------
    width, height : int
        Of the picture, in pixels.
    k : float
        A point at distance r from the middle appears at r (1 + k (r / reach)^2), where reach is half the
        picture's diagonal: so k is how far the corners move, as a share.
    """

    width: int
    height: int
    k: float = 0.0

    @property
    def middle(self) -> FloatArray:
        """The picture's middle, (2,), in pixels."""
        return np.array([(self.width - 1) / 2.0, (self.height - 1) / 2.0])

    @property
    def reach(self) -> float:
        """Half the picture's diagonal, in pixels."""
        return 0.5 * float(np.hypot(self.width, self.height))

    def bent(self, points: FloatArray) -> FloatArray:
        """Return where points of a straight picture, (..., 2), appear in the real one."""
        return np.asarray(points + self.k * self.push(points)) if self.k else points

    def straightened(self, points: FloatArray) -> FloatArray:
        """Return where points of the real picture, (..., 2), would be in a straight one."""
        straight = points
        if self.k:
            for _ in range(_ROUNDS):
                straight = points - self.k * self.push(straight)
        return np.asarray(straight)

    def push(self, points: FloatArray) -> FloatArray:
        """Return how far a distortion of k = 1 moves points, (..., 2), in pixels."""
        out = points - self.middle
        far = np.sum(out**2, axis=-1, keepdims=True) / self.reach**2
        return np.asarray(out * far)

    def slope(self, points: FloatArray) -> FloatArray:
        """Return the (n, 2, 2) derivative of where straight points, (n, 2), appear."""
        out = (points - self.middle) / self.reach
        far = np.sum(out**2, axis=-1)
        along = (1.0 + self.k * far)[:, None, None] * np.eye(2)
        return np.asarray(along + 2.0 * self.k * out[:, :, None] * out[:, None, :])

    def straighten(self, pixels: Pixels) -> Pixels:
        """Return the picture without the bend; as it is, where the bend is hardly any."""
        if abs(self.k) * self.reach < _NOT_WORTH_IT:
            return pixels
        straight = np.empty_like(pixels)
        across = np.arange(self.width, dtype=np.float64)
        for top in range(0, self.height, _BAND):
            down = np.arange(top, min(top + _BAND, self.height), dtype=np.float64)
            seen = self.bent(np.stack(np.meshgrid(across, down), axis=-1)).astype(np.float32)
            x, y = np.ascontiguousarray(seen[..., 0]), np.ascontiguousarray(seen[..., 1])
            straight[top : top + len(down)] = cv2.remap(
                pixels, x, y, cv2.INTER_CUBIC, borderMode=cv2.BORDER_REPLICATE
            )
        return straight
