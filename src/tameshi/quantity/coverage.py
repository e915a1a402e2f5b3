"""From a standard uncertainty to an interval: degrees of freedom and coverage factors."""

import math
from collections.abc import Iterable
from functools import lru_cache

LEVEL = 0.95
"""Coverage of every interval tameshi states unless another is named."""


def effective_dof(u_and_dof: Iterable[tuple[float, float]]) -> float:
    """Return the effective degrees of freedom of a combined standard uncertainty.

    Parameters
    ----------
    u_and_dof : iterable of (float, float)
        Contribution to the combined standard uncertainty and the degrees of freedom of its
        estimate, for contributions whose estimates are independent.

    Returns
    -------
    float
        Welch-Satterthwaite value, ``math.inf`` where nothing limits it.

    Notes
    -----
    Source: JCGM 100:2008, G.4.1, equation G.2b.
    """
    pairs = [(u, dof) for u, dof in u_and_dof if u != 0.0]
    total = math.fsum(u * u for u, _ in pairs)
    if total == 0.0:
        return math.inf
    # each share is at most one, so its square cannot overflow however large u is
    limited = math.fsum((u * u / total) ** 2 / dof for u, dof in pairs if math.isfinite(dof))
    return 1.0 / limited if limited > 0.0 else math.inf


@lru_cache(maxsize=4096)
def coverage_factor(dof: float, level: float = LEVEL) -> float:
    """Return k such that value ± k u covers the stated share of a t-distribution.

    Parameters
    ----------
    dof : float
        Effective degrees of freedom; truncated to a whole number as JCGM 100:2008 G.4.1 advises,
        but never below one.
    level : float
        Coverage probability, between 0 and 1.
    """
    from scipy.special import ndtri, stdtrit  # noqa: PLC0415  0.15 s that --help need not pay

    tail = 0.5 * (1.0 + level)
    if not math.isfinite(dof):
        return float(ndtri(tail))
    return float(stdtrit(max(1.0, math.floor(dof)), tail))


def interval_of_sd(sd: float, dof: float) -> tuple[float, float]:
    """Return the 95 % interval of a standard deviation estimated from normal values.

    Parameters
    ----------
    sd : float
    dof : float
        Degrees of freedom it was estimated with.

    Notes
    -----
    (n - 1) s^2 / sigma^2 follows chi-square.
    """
    from scipy.special import chdtri  # noqa: PLC0415  0.15 s that --help need not pay

    tail = 0.5 * (1.0 - LEVEL)
    low, high = (sd * math.sqrt(dof / float(chdtri(dof, beyond))) for beyond in (tail, 1.0 - tail))
    return low, high
