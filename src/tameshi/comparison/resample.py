"""Bootstrap intervals, bias-corrected and accelerated."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from scipy.stats import bootstrap

from tameshi.quantity import LEVEL
from tameshi.reference import row

_SEED = 20  # any: the same trials give the same interval

Statistic = Callable[..., np.ndarray]


def mean_difference(*samples: np.ndarray, axis: int = -1) -> np.ndarray:
    """Return the mean of one sample, or what the first of two is greater by."""
    means = [np.mean(one, axis=axis) for one in samples]
    return np.asarray(means[0] if len(means) == 1 else means[0] - means[1])


def bca_interval(
    samples: Sequence[Sequence[float]],
    statistic: Statistic = mean_difference,
    *,
    level: float = LEVEL,
    resamples: int | None = None,
) -> tuple[float, float]:
    """Return the BCa interval of a figure of one sample or two.

    Parameters
    ----------
    samples : sequence of one or two sequences of float
    statistic : callable
        Takes as many arrays and an axis.
    level : float
        Coverage probability.
    resamples : int or None
        None: as the table says.

    Notes
    -----
    Source: B. Efron, R. J. Tibshirani, An Introduction to the Bootstrap (1993), 14.3; by SciPy.
    """
    found = bootstrap(
        [np.asarray(one, np.float64) for one in samples],
        statistic,
        n_resamples=resamples or int(row("comparison_limits", "resamples")["limit"]),
        confidence_level=level,
        method="BCa",
        vectorized=True,
        batch=999,
        rng=np.random.default_rng(_SEED),
    )
    interval = found.confidence_interval
    return float(interval.low), float(interval.high)
