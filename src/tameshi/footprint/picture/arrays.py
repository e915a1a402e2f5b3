"""Names for the arrays that pictures are made of."""

import numpy as np
from numpy.typing import NDArray

Pixels = NDArray[np.uint8]
"""Stored values: (h, w, 3) red, green, blue, or (h, w) grey."""

Picture = NDArray[np.float32]
"""One real number a pixel, (h, w), unless said otherwise."""

Mask = NDArray[np.uint8]
"""1 where something holds, 0 elsewhere, (h, w)."""

Labels = NDArray[np.int32]
"""A whole number a pixel, (h, w); 0 is none."""

Where = NDArray[np.bool_]
"""Truth a pixel, (h, w)."""

Places = NDArray[np.intp]
"""Which pixels of a picture, counted along its rows, (n,)."""

FloatArray = NDArray[np.float64]
"""Points, lengths and matrices."""
