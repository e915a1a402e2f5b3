"""How near to each other strikes of several films land: the scatter of the places of impact."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from tameshi.errors import WrongUseError
from tameshi.quantity import Quantity, interval_of_sd

FEWEST = 3
"""Films that a scatter needs at least."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scatter:
    """Scatter along one direction.

    Parameters
    ----------
    mean, sd : float
        Metres.
    low, high : float
        95 % interval of the standard deviation.
    measured_u : float
        How much of it measuring makes by itself: what differs from film to film, in metres.
    """

    mean: float
    sd: float
    low: float
    high: float
    measured_u: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Precision:
    """Scatter of places of impact.

    Parameters
    ----------
    count : int
    right, up : Scatter
    radius : float
        Root mean square distance from their middle, in metres.
    """

    count: int
    right: Scatter
    up: Scatter
    radius: float

    def as_dict(self) -> dict[str, Any]:
        """Return it as JSON holds it."""
        return {
            "count": self.count,
            **{
                name: {
                    "mean": one.mean,
                    "sd": one.sd,
                    "low": one.low,
                    "high": one.high,
                    "measured_u": one.measured_u,
                    "unit": "m",
                }
                for name, one in (("right", self.right), ("up", self.up))
            },
            "radius": self.radius,
        }


def precision(places: Sequence[tuple[Quantity, Quantity]]) -> Precision:
    """Return how places of impact scatter.

    Parameters
    ----------
    places : sequence of (Quantity, Quantity), three at least
        Right and up from the scale, of films with one scale.

    Raises
    ------
    WrongUseError
        ``too-few-films``.

    Notes
    -----
    Errors that all films share move the middle and not the scatter.
    """
    if len(places) < FEWEST:
        raise WrongUseError(
            "too-few-films", f"{len(places)} films show no scatter; {FEWEST} do.", hint="Give more films."
        )
    right, up = (_scatter([pair[axis] for pair in places]) for axis in (0, 1))
    radius = math.sqrt((right.sd**2 + up.sd**2) * (len(places) - 1) / len(places))
    return Precision(count=len(places), right=right, up=up, radius=radius)


def _scatter(places: Sequence[Quantity]) -> Scatter:
    values = np.array([one.value for one in places])
    sd = float(values.std(ddof=1))
    low, high = interval_of_sd(sd, len(values) - 1)
    shared = set.intersection(*({source.key for source in one.parts} for one in places))
    own = [
        math.hypot(*(part for source, part in one.parts.items() if source.key not in shared))
        for one in places
    ]
    return Scatter(
        mean=float(values.mean()),
        sd=sd,
        low=low,
        high=high,
        measured_u=math.sqrt(float(np.mean(np.square(own)))),
    )
