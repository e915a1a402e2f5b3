"""How sharply the force sets in and leaves off: with a kink, as a half-sine does, or smoothly.

Sampling and low-pass filters do much to a kink and little to a smooth foot, so what is in doubt
about places and areas follows from it. Samples alone cannot tell a kink, but bends can be compared: the
sharpest at a foot with that of the top, both over the same small share of the contact. The ratio is
near 0.9 for a haversine, 1.3 for a mass on soft tissue, 3 for a half-sine.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]

_STRIDE = 0.12  # of the width at half height: over what bends are taken
_LEAST_OF_TOP = 0.6  # a gentle half of a contact is measured against at least so much of the sharper one
_REACH = 1.5  # strides to either side of a foot
_SMOOTH, _SHARP = 0.7, 1.9  # ratios from which a foot counts as not smooth, and as a kink; by simulation
_LEAST = 0.12


@dataclass(frozen=True, slots=True)
class Sharpness:
    """How sharply a contact begins and ends.

    Parameters
    ----------
    onset, end : float
        Sharpest bend at the foot over the sharpest at the top.
    """

    onset: float
    end: float

    @property
    def kinks(self) -> float:
        """How much of a kink the sharper foot is: from a tenth, smooth, to 1."""
        return kink_share(max(self.onset, self.end))


def kink_share(sharpness: float) -> float:
    """Return how much of a kink a foot is, from a tenth (smooth) to 1."""
    return float(np.clip((sharpness - _SMOOTH) / (_SHARP - _SMOOTH), _LEAST, 1.0) ** 2)


def sharpness_of(force: FloatArray, onset: int, end: int, half_width: float) -> Sharpness:
    """Compare the bends at the feet of a contact with that of its top.

    Parameters
    ----------
    force : (n,) array
        Zeroed force. [N]
    onset, end : int
        Samples at the two feet.
    half_width : float
        Of the main top, at half its height. [samples]

    Returns
    -------
    Sharpness
    """
    stride = max(1, round(_STRIDE * half_width))
    reach = round(_REACH * stride)
    first, last = onset - reach - 2 * stride, end + reach + 2 * stride + 1
    # what the recording does not hold counts as quiet
    part = np.pad(force[max(0, first) : last], (max(0, -first), max(0, last - len(force))))
    totals = np.concatenate([[0.0], np.cumsum(part)])
    averaged = (totals[stride:] - totals[:-stride]) / stride
    bends = averaged[2 * stride :] - 2.0 * averaged[stride:-stride] + averaged[: -2 * stride]
    centre = 0.5 * (stride - 1) + stride
    at = np.arange(len(bends)) + centre + first
    top = -float(bends.min())
    if top <= 0.0:
        return Sharpness(0.0, 0.0)
    early = at < 0.5 * (onset + end)
    return Sharpness(
        _bend_over_top(bends, np.abs(at - onset) <= reach, early, top),
        _bend_over_top(bends, np.abs(at - end) <= reach, ~early, top),
    )


def _bend_over_top(bends: FloatArray, foot: BoolArray, half: BoolArray, top: float) -> float:
    return float(bends[foot].max()) / max(_LEAST_OF_TOP * top, -float(bends[half].min()))
