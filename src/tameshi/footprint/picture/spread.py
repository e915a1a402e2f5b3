"""What a picture does to a sharp edge: how far it is spread, and what was mixed in it."""

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Spread:
    """What a sharp edge looks like in the picture.

    Parameters
    ----------
    blur : float
        Standard deviation of the blur, in pixels.
    linear_share : float
        1 where light was mixed in the edge, 0 where stored values were, between where neither fits.
    u_linear_share : float
        Its standard uncertainty.
    black, white : float
        Stored values of black and white, 0 to 1.
    """

    blur: float
    linear_share: float
    u_linear_share: float
    black: float
    white: float


UNKNOWN_SPREAD = Spread(
    blur=0.7, linear_share=0.5, u_linear_share=1.0 / math.sqrt(12.0), black=0.0, white=1.0
)
"""Nothing known of the edges: light or stored values, equally likely."""


def weighed(one: tuple[float, float], other: tuple[float, float]) -> tuple[float, float]:
    """Return the mean of two shares (value, u), weighed by inverse variance and kept in 0 to 1, and its u."""
    (a, u), (b, v) = one, other
    weight = u**2 / (u**2 + v**2)
    return float(min(max(a + weight * (b - a), 0.0), 1.0)), float(u * math.sqrt(1.0 - weight))
