"""How a pressure p0 (1 - s^2)^n over a circle is shared out: peak, mean, and what lies above the mean.

n = 0 is uniform, 1/2 a rounded elastic body (Hertz), 1 a rounded body in a thin layer, -1/2 a rigid flat
punch. For lines of contact the same law runs across a strip.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from tameshi.errors import WrongUseError

STEEPEST = -1.0


@dataclass(frozen=True, slots=True)
class Distribution:
    """A pressure that falls, or rises, from the centre to the edge.

    Parameters
    ----------
    exponent : float
        n, above -1.

    Raises
    ------
    WrongUseError
        ``wrong-exponent``: at -1 and below no finite force belongs to it.
    """

    exponent: float

    def __post_init__(self) -> None:
        if not self.exponent > STEEPEST:
            raise WrongUseError("wrong-exponent", f"An exponent of {self.exponent!r} has no finite force.")

    @property
    def peak_to_mean(self) -> float:
        """Greatest over mean pressure of a circle; infinite where it rises to the edge."""
        return self.exponent + 1.0 if self.exponent >= 0.0 else math.inf

    @property
    def centre_to_mean(self) -> float:
        """Pressure in the centre of a circle over the mean."""
        return self.exponent + 1.0

    @property
    def line_peak_to_mean(self) -> float:
        """Greatest over mean pressure of a strip; infinite where it rises to the edge."""
        if self.exponent < 0.0:
            return math.inf
        n = self.exponent
        return 2.0 * math.gamma(n + 1.5) / (math.sqrt(math.pi) * math.gamma(n + 1.0))

    @property
    def share_above_mean(self) -> float | None:
        """Share of a circle's area whose pressure is above the mean; None where it is the mean everywhere."""
        if self.exponent == 0.0:
            return None
        # inside the circle on which pressure is the mean, or outside it where pressure rises outwards
        inside = 1.0 - float((1.0 / self.centre_to_mean) ** (1.0 / self.exponent))
        return inside if self.exponent > 0.0 else 1.0 - inside

    def quantile(self, share: float) -> float:
        """Return the pressure that this share of a circle's area stays below, over the mean.

        Parameters
        ----------
        share : float
            Between 0 and 1.
        """
        # of a circle's area, the share s^2 lies within s
        rising = share if self.exponent >= 0.0 else 1.0 - share
        return (
            self.centre_to_mean * float(rising) ** self.exponent
            if rising > 0.0 or self.exponent >= 0.0
            else math.inf
        )
