"""Bootstrap intervals, bias-corrected and accelerated."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from scipy.stats import bootstrap

from tameshi.quantity import LEVEL
from tameshi.reference import row

_SEED = 20  # any: the same trials give the same interval


def bca_interval(samples: Sequence[Sequence[float]]) -> tuple[float, float]:
    """Return the 95 % BCa interval of a mean, or of the difference of two means.

    Parameters
    ----------
    samples : sequence of one or two sequences of float

    Notes
    -----
    Source: B. Efron, R. J. Tibshirani, An Introduction to the Bootstrap (1993), 14.3; by SciPy.
    """

    def statistic(*drawn: np.ndarray, axis: int = -1) -> np.ndarray:
        means = [np.mean(one, axis=axis) for one in drawn]
        return np.asarray(means[0] if len(means) == 1 else means[0] - means[1])

    found = bootstrap(
        [np.asarray(one, np.float64) for one in samples],
        statistic,
        n_resamples=int(row("comparison_limits", "resamples")["limit"]),
        confidence_level=LEVEL,
        method="BCa",
        vectorized=True,
        rng=np.random.default_rng(_SEED),
    )
    interval = found.confidence_interval
    return float(interval.low), float(interval.high)
