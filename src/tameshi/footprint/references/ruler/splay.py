"""How far the ticks of a ruler splay: seen at a slant across the ruler they are not quite parallel."""

from dataclasses import dataclass

import numpy as np

from tameshi.footprint.picture.arrays import FloatArray


@dataclass(frozen=True, slots=True)
class Splay:
    """Where ticks are along two lines beside each other.

    Parameters
    ----------
    numbers : (n,) array
        Of ticks.
    gap : (n,) array
        How much farther along the ruler each is on the second line than on the first, in pixels.
    first, second : (2, 2) arrays
        A point of each line, in pixels, and the way along it: the ruler's, or a little towards the other line
        where the ruler is seen at a slant along it.
    """

    numbers: FloatArray
    gap: FloatArray
    first: FloatArray
    second: FloatArray

    def backwards(self) -> "Splay":
        """Return the same with ticks numbered, and the ruler running, the other way."""
        turned = np.array([[1.0], [-1.0]])
        return Splay(-self.numbers, -self.gap, self.first * turned, self.second * turned)

    def scatter(self) -> float:
        """Return the standard uncertainty of the gap's change from tick to tick, in pixels."""
        slope, level = np.polyfit(self.numbers, self.gap, 1)
        off = self.gap - slope * self.numbers - level
        spread = float(np.sum((self.numbers - self.numbers.mean()) ** 2))
        return float(np.sqrt(np.sum(off**2) / max(1, len(off) - 2) / max(spread, 1e-9)))

    def change(self) -> float:
        """Return the gap's change from tick to tick, in pixels."""
        return float(np.polyfit(self.numbers, self.gap, 1)[0])

    def expected(self, matrix: FloatArray, pitch: float) -> float:
        """Return that change as a plane predicts it.

        Parameters
        ----------
        matrix : (3, 3) array
            From metres along the ruler and off it, to pixels.
        pitch : float
            In metres.
        """
        lines = np.column_stack(
            [np.ones_like(self.numbers), np.zeros_like(self.numbers), -self.numbers * pitch]
        ) @ np.linalg.inv(matrix)
        first, second = (
            -(lines @ np.append(point, 1.0)) / (lines[:, :2] @ way)
            for point, way in (self.first, self.second)
        )
        return float(np.polyfit(self.numbers, second - first, 1)[0])
