"""Second moments of a patch, and how they answer to its outline moving."""

from dataclasses import dataclass

import cv2
import numpy as np

from tameshi.footprint.picture.arrays import FloatArray, Mask

_OF_A_PIXEL = 1.0 / 12.0  # second moment of a square pixel about its middle


@dataclass(frozen=True, slots=True)
class Moments:
    """A patch's moments, in pixels, x across and y down.

    Parameters
    ----------
    area : float
    centre : (2,) array
        Column and row.
    second : (2, 2) array
        Mean square distance from the centre along x and y, and their mean product.
    edge : (n, 2) array
        Points of the outline, hollows included, from the centre.
    steps : (n,) array
        Length of outline that each of them stands for.
    """

    area: float
    centre: FloatArray
    second: FloatArray
    edge: FloatArray
    steps: FloatArray

    @property
    def length(self) -> float:
        """Length of the outline."""
        return float(self.steps.sum())

    def grown(self) -> FloatArray:
        """Return the change of the second moments when the whole outline moves out by one pixel.

        Notes
        -----
        Derived: the integral of x x' over the edge, less what the mean takes back as the area grows, over
        the area.
        """
        along = np.einsum("n,ni,nj->ij", self.steps, self.edge, self.edge)
        return np.asarray((along - self.second * self.length) / self.area)

    def spread_of_centre(self) -> FloatArray:
        """Return the (2, 2) covariance of the centre for an outline that is off by one pixel.

        Notes
        -----
        Derived, for four parts of the outline that are off independently of each other.
        """
        along = np.einsum("n,ni,nj->ij", self.steps, self.edge, self.edge)
        return np.asarray(0.25 * self.length * along / self.area**2)

    def spread_of_product(self, axes: FloatArray) -> float:
        """Return the standard deviation of the mean product along two axes, likewise."""
        along = self.edge @ axes
        squares = float((self.steps * (along[:, 0] * along[:, 1]) ** 2).sum())
        return float(np.sqrt(0.25 * self.length * squares)) / self.area


def moments_of(own: Mask, curves: list[FloatArray], length: float) -> Moments:
    """Return the moments of a patch.

    Parameters
    ----------
    own : (h, w) array of uint8
        1 in the patch.
    curves : list of (n, 2) array
        Its closed outlines, pixel by pixel.
    length : float
        Their length; that of a chain of pixels is too long.
    """
    left, top, columns, rows = cv2.boundingRect(own)
    found = cv2.moments(own[top : top + rows, left : left + columns], binaryImage=True)
    area = float(found["m00"])
    centre = np.array([found["m10"], found["m01"]]) / area + (left, top)
    across, product, down = (found[name] / area for name in ("mu20", "mu11", "mu02"))
    second = np.array([[across, product], [product, down]]) + _OF_A_PIXEL * np.eye(2)
    steps = np.concatenate([_steps(curve) for curve in curves])
    steps = steps * length / max(float(steps.sum()), 1.0)
    return Moments(area, centre, second, np.concatenate(curves) - centre, steps)


def _steps(curve: FloatArray) -> FloatArray:
    """Return the length of outline that each point of a closed chain stands for."""
    ahead = np.hypot(*(np.roll(curve, -1, axis=0) - curve).T)
    return np.asarray(0.5 * (ahead + np.roll(ahead, 1)))
