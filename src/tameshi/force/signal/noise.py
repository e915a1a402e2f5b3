"""What noise leaves in figures drawn from a recording, told by the quiet samples beside a strike."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

_FEWEST_BLOCKS = 6
_STEPS = 4  # of neighbouring places of a weighted sum, within its own length


@dataclass(frozen=True, slots=True, eq=False)
class Noise:
    """The noise of a window.

    Parameters
    ----------
    residual : (n,) array
        Samples less their baseline.
    quiet : (n,) array of bool
        Samples that hold nothing but noise.
    sigma : float
        Standard deviation of single samples.
    white : float
        The same of noise that is as strong at every frequency: what a long mean goes by. Undoing a cell's
        response lifts fast noise and leaves slow noise as it was, so it is less than ``sigma`` then.
    """

    residual: FloatArray
    quiet: NDArray[np.bool_]
    sigma: float
    white: float

    def of_mean(self, count: int) -> float:
        """Return the standard deviation of a mean over ``count`` neighbouring samples.

        From blocks of quiet samples where there are enough of them; otherwise from the longest blocks there
        are enough of, with white noise assumed from there on.
        """
        size = max(1, count)
        while size > 1:
            means = self._block_means(size)
            if len(means) >= _FEWEST_BLOCKS:
                measured = float(np.sqrt(np.mean(means**2)))
                return max(measured * math.sqrt(size / count), self.white / math.sqrt(count))
            size //= 2
        return self.sigma / math.sqrt(max(1, count)) if count <= 1 else self.white / math.sqrt(count)

    def of_sum(self, weights: FloatArray) -> float:
        """Return the standard deviation of a sum over neighbouring samples with weights.

        Parameters
        ----------
        weights : (m,) array
        """
        length = len(weights)
        step = max(1, length // _STEPS)
        sums = [
            np.lib.stride_tricks.sliding_window_view(self.residual[start:stop], length)[::step] @ weights
            for start, stop in self._runs()
            if stop - start >= length
        ]
        found = np.concatenate(sums) if sums else np.empty(0)
        if len(found) * step < _FEWEST_BLOCKS * length:
            return self.sigma * float(np.linalg.norm(weights))
        return float(np.sqrt(np.mean(found**2)))

    def _runs(self) -> list[tuple[int, int]]:
        edges = np.flatnonzero(np.diff(np.concatenate(([0], self.quiet.view(np.int8), [0]))))
        return list(zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True))

    def _block_means(self, size: int) -> FloatArray:
        means = [
            self.residual[start : start + (stop - start) // size * size].reshape(-1, size).mean(axis=1)
            for start, stop in self._runs()
            if stop - start >= size
        ]
        return np.concatenate(means) if means else np.empty(0)
