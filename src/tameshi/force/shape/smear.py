"""Take out of the crossings what the low-pass of the inverse smears.

A low-pass shifts a crossing outwards where the flank is bent, by the variance of its kernel times the
bend over twice the slope: by the inverse square of its corner. What a corner lowered to a known share
does more therefore tells what the corner itself did (Richardson's extrapolation).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from tameshi.force.shape.dynamics import LOWERED
from tameshi.force.shape.shape import Shape

_CROSSINGS = ("onset_at", "end_at", "rise_start_at", "rise_end_at")
_CLEAR = 2.0  # times the noise: a difference that is not noise
_MOST_OF_DURATION = 0.2  # a low-pass that smears more leaves nothing to measure
_STILL_A_KINK = (2.4, 2.9)  # sharpness: by simulation
_SMEARED_OF_MORE = 1.0 / (LOWERED**-2 - 1.0)


@dataclass(frozen=True, slots=True)
class Smear:
    """By how much crossings are taken back, in samples.

    Parameters
    ----------
    onset_at, end_at, rise_start_at, rise_end_at : float
    """

    onset_at: float = 0.0
    end_at: float = 0.0
    rise_start_at: float = 0.0
    rise_end_at: float = 0.0

    def taken_out(self, shape: Shape) -> Shape:
        """Return a shape with its crossings moved back."""
        crossings = {
            name: replace(crossing := getattr(shape, name), index=crossing.index - getattr(self, name))
            for name in _CROSSINGS
        }
        return replace(shape, **crossings)


def find_smear(shape: Shape, lowered: Shape, noise: float) -> Smear:
    """Return what the low-pass did to the crossings of a shape.

    Parameters
    ----------
    shape, lowered : Shape
        Found with the corner chosen and with the lowered one.
    noise : float
        Standard deviation of the force as averaged for the crossings; a difference no greater than it
        moves them is not trusted. [N]

    Returns
    -------
    Smear
    """
    found = {}
    most = _MOST_OF_DURATION * shape.duration * shape.rate
    for name in _CROSSINGS:
        here = getattr(shape, name)
        more = getattr(lowered, name).index - here.index
        trusted = more**4 / (more**4 + (_CLEAR * noise / here.slope) ** 4) if more else 0.0
        back = _SMEARED_OF_MORE * trusted * _rounded(shape, name) * more
        found[name] = min(max(back, -most), most)
    return Smear(**found)


def _rounded(shape: Shape, crossing: str) -> float:
    """Return 0 for a foot that is still a kink, as no low-pass leaves it that reaches the level; else 1."""
    sharpness = shape.sharpness.end if crossing == "end_at" else shape.sharpness.onset
    sharp, sharper = _STILL_A_KINK
    return min(1.0, max(0.0, (sharper - sharpness) / (sharper - sharp)))
