"""Kinds of arrays that the measurement of films passes around."""

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
Light = NDArray[np.float32]
Pixels = NDArray[np.uint8]
Chosen = NDArray[np.bool_]
Indices = NDArray[np.intp]
