"""The spectrum of a small part of a picture, and what stands out in one."""

import cv2
import numpy as np
from numpy.typing import NDArray

from tameshi.footprint.picture.arrays import Picture

Spectrum = NDArray[np.complex64]
"""Waves down, as they come from a Fourier transform, and across, from 0: (n, waves)."""


def spectrum_of(part: Picture, waves: int) -> Spectrum:
    """Return the first columns of what ``numpy.fft.rfft2`` returns, several times as quickly.

    Parameters
    ----------
    part : (n, n) array
        n is even.
    waves : int
        Columns that are wanted, at most n / 2.
    """
    # the library packs real and imaginary parts side by side, but for the first column
    packed = np.asarray(cv2.dft(part), np.float32)
    spectrum = np.empty((len(part), waves), np.complex64)
    spectrum[:, 1:] = np.ascontiguousarray(packed[:, 1 : 2 * waves - 1]).view(np.complex64)
    spectrum[:, 0] = np.fft.fft(part.sum(axis=1))
    return spectrum


def ground_under(values: Picture, times: float) -> float | None:
    """Return the median of values, (n,), None where none of them is so many times as large.

    To count low values is quicker than to find their median, and parts that show nothing are frequent.
    """
    middle = values.size // 2
    if values.size == 0 or np.count_nonzero(values < values.max() / times) <= (values.size - 1) // 2:
        return None
    parted = np.partition(values, middle)
    if values.size % 2:
        return float(parted[middle])
    return 0.5 * (float(parted[:middle].max()) + float(parted[middle]))
