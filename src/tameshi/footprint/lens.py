"""Radial distortion: how a lens bends straight lines."""

from dataclasses import dataclass

import numpy as np

from tameshi.footprint.arrays import FloatArray

_ROUNDS = 6


@dataclass(frozen=True, slots=True)
class Lens:
    """One term of radial distortion about the picture's middle.

    Parameters
    ----------
    middle : (float, float)
        In pixels.
    reach : float
        Half the picture's diagonal, in pixels.
    k : float
        A point at distance r from the middle appears at r (1 + k (r / reach)^2).
    """

    middle: tuple[float, float]
    reach: float
    k: float = 0.0

    def bent(self, points: FloatArray) -> FloatArray:
        """Return where points of a straight picture, (..., 2), appear in the real one."""
        return np.asarray(points + self.k * self.push(points))

    def straightened(self, points: FloatArray) -> FloatArray:
        """Return where points of the real picture, (..., 2), would be in a straight one."""
        straight = points
        for _ in range(_ROUNDS):
            straight = points - self.k * self.push(straight)
        return np.asarray(straight)

    def push(self, points: FloatArray) -> FloatArray:
        """Return how far a distortion of k = 1 moves points, (..., 2), in pixels."""
        out = points - np.array(self.middle)
        far = np.sum(out**2, axis=-1, keepdims=True) / self.reach**2
        return np.asarray(out * far)


def lens_of(width: int, height: int, k: float = 0.0) -> Lens:
    """Return a lens over the middle of a picture of so many pixels."""
    return Lens(((width - 1) / 2.0, (height - 1) / 2.0), 0.5 * float(np.hypot(width, height)), k)
