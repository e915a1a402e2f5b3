"""How far the paper leans across a ruler, by how far its ticks do.

Level ticks lean as the paper does. Ticks on a bevel lean more: the bevel falls towards the edge with the
ticks, by an angle of which only limits are known. A camera held to look straight down leaves limits for the
paper's lean as well, and where the ticks are seen at an angle near one end of what both allow, that narrows
it.
"""

from dataclasses import dataclass
from functools import cache

import numpy as np
from scipy.special import ndtr

from tameshi.footprint.picture.arrays import FloatArray
from tameshi.quantity import rectangular_u
from tameshi.reference import row as stated_row

_VALUES = 201  # leans looked at
_SHARPEST = np.radians(0.2)  # ticks' lean is not known better than this
_NEVER = 0.01  # likelihood of a lean: below it there is none
_SPAN = np.radians(60.0)  # leans of a camera over level ticks: so many are about as likely


@dataclass(frozen=True, slots=True)
class Lean:
    """How far the paper leans across a ruler.

    Parameters
    ----------
    across : float
        In radians; positive where the side with the print is the farther one.
    u : float
        Its standard uncertainty.
    by_ticks : bool
        Whether it was read off level ticks.
    if_bevelled : float or None
        What it may be as well, should the ticks be on a bevel; None where they cannot, or are said not to be.
    odds : float
        How likely a bevel is, 0 to 1.
    """

    across: float
    u: float
    by_ticks: bool
    if_bevelled: float | None = None
    odds: float = 0.0


def level_lean(seen: float, u_seen: float) -> Lean:
    """Return the paper's lean where the ticks are known to lie level.

    Parameters
    ----------
    seen, u_seen : float
        Lean of the ticks and its standard uncertainty, in radians.
    """
    level = rectangular_u(np.radians(float(stated_row("prints", "ruler-flatness")["half_width"])))
    return Lean(seen, float(np.hypot(u_seen, level)), by_ticks=True)


def bevelled_lean(seen: float, u_seen: float) -> Lean | None:
    """Return the paper's lean where the ticks are on a bevel; None where no bevel explains their lean.

    Parameters
    ----------
    seen, u_seen : float
        Lean of the ticks and its standard uncertainty, in radians.

    Notes
    -----
    Mean and standard deviation over all leans within the limits for the camera, each weighted with how likely
    it leaves a bevel within its own limits. Derived.
    """
    weight = _likely(seen, u_seen)
    if float(weight.max()) < _NEVER:
        return None
    leans = _leans()
    mean = float(weight @ leans / weight.sum())
    spread = float(np.sqrt(weight @ (leans - mean) ** 2 / weight.sum()))
    return Lean(mean, spread, by_ticks=False)


def unsaid_lean(seen: float, u_seen: float, u_bevel: float) -> Lean:
    """Return the lean by level ticks, and what it is if nobody said that the edge is bevelled and it is.

    Parameters
    ----------
    seen, u_seen : float
        Lean of the ticks and its standard uncertainty, in radians.
    u_bevel : float
        The latter with the focal length's own doubt in it.
    """
    level, other = level_lean(seen, u_seen), bevelled_lean(seen, u_bevel)
    if other is None:
        return level
    width = 2.0 * float(np.radians(_limits()[1]))
    bevel = float(_likely(seen, u_bevel).mean()) / width
    odds = bevel / (bevel + 1.0 / float(_SPAN))
    far = max(other.across - np.sqrt(3.0) * other.u, float(_leans()[0]))
    return Lean(level.across, level.u, by_ticks=True, if_bevelled=float(far), odds=odds)


def unseen_lean() -> Lean:
    """Return the paper's lean where the ticks are too short to show theirs and the camera was held level."""
    return Lean(0.0, rectangular_u(float(_leans()[-1])), by_ticks=False)


def _limits() -> tuple[float, float]:
    stated = stated_row("prints", "ruler-bevel")
    return float(stated["value"]), float(stated["half_width"])


@cache
def _leans() -> FloatArray:
    bound = np.radians(float(stated_row("prints", "camera-above")["half_width"]))
    return np.linspace(-bound, bound, _VALUES)


def _likely(seen: float, u_seen: float) -> FloatArray:
    """Return, for each lean, how likely it leaves a bevel within its limits, (n,)."""
    usual, half = _limits()
    bevel, u = seen - _leans(), max(u_seen, float(_SHARPEST))
    low, high = np.radians(usual - half), np.radians(usual + half)
    return np.asarray(ndtr((bevel - low) / u) - ndtr((bevel - high) / u), np.float64)
