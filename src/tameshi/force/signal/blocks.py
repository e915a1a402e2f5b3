"""Means over short blocks of samples: what strikes are looked for in."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
Samples = NDArray[np.floating]


def block_means(samples: Samples, size: int) -> FloatArray:
    """Return means of consecutive whole blocks; NaN where a block has no samples at all.

    Parameters
    ----------
    samples : (n,) array
        May hold what is no finite number, which is left out.
    size : int
        Samples in a block.
    """
    blocks = samples[: len(samples) // size * size].reshape(-1, size)
    # einsum sums rows as fast as memory gives them
    means: FloatArray = np.einsum("ij->i", blocks).astype(np.float64) / size
    if np.isfinite(means).all():
        return means
    valid = np.isfinite(blocks)
    count = valid.sum(axis=1)
    sums = np.where(valid, blocks, 0.0).sum(axis=1, dtype=np.float64)
    return np.where(count > 0, sums / np.maximum(count, 1), np.nan)


def moving_mean(values: FloatArray, width: int) -> FloatArray:
    """Return the mean over a centred window, shorter near the ends."""
    if width <= 1:
        return values
    count = len(values)
    sums = np.concatenate(([0.0], np.cumsum(values)))
    before, after = width // 2, (width + 1) // 2
    if count <= width:
        index = np.arange(count)
        stop, start = np.minimum(index + after, count), np.maximum(index - before, 0)
        return np.asarray((sums[stop] - sums[start]) / (stop - start), dtype=np.float64)
    mean = np.empty(count)
    mean[before : count - after + 1] = (sums[width:] - sums[:-width]) / width
    head, tail = np.arange(before) + after, np.arange(count - after + 1, count) - before
    mean[:before] = sums[head] / head
    mean[count - after + 1 :] = (sums[-1] - sums[tail]) / (count - tail)
    return mean
