"""A track: where what is followed was in each frame, how surely, and how much it looked like itself."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tameshi.motion.arrays import FloatArray, Indices
from tameshi.motion.pattern import Pattern


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Track:
    """Places through a film.

    Parameters
    ----------
    places : (n, 2) array
        Pixels across and down, of the middle of the exposure; not a number where it was lost.
    u : (n, 2) array
        Standard uncertainty of each, as its own frame tells, in pixels.
    likeness : (n,) array
        Correlation with the pattern, 0 where lost.
    smear : (n,) array
        Length of the smear in each frame, in pixels.
    exposure_share : float
        Time of exposure as a share of the time between frames, as the smears tell; not a number where
        nothing moved enough to tell.
    pattern : Pattern
    start : int
        Index of the frame that it was picked in.
    """

    places: FloatArray
    u: FloatArray
    likeness: FloatArray
    smear: FloatArray
    exposure_share: float
    pattern: Pattern
    start: int

    @property
    def seen(self) -> Indices:
        """Indices of the frames in which it was found."""
        return np.flatnonzero(np.isfinite(self.places[:, 0]))
