"""What sampling alone does to the peak of a short pulse.

A half-sine stands for the strike; n is the number of samples in its duration. Between two samples
the true peak goes unseen, worst when it falls half-way. Derived from the cosine near its top.
"""

import math


def worst_under_read(samples: float) -> float:
    """Return the greatest relative shortfall of the highest of ``samples`` samples a pulse."""
    return 1.0 - math.cos(math.pi / (2.0 * samples)) if samples > 1.0 else 1.0


def mean_under_read(samples: float) -> float:
    """Return the mean relative shortfall, the phase of sampling being random."""
    if samples <= 1.0:
        return 1.0
    return 1.0 - 2.0 * samples / math.pi * math.sin(math.pi / (2.0 * samples))


def samples_needed(under_read: float) -> float:
    """Return how many samples a pulse keep the worst shortfall to ``under_read``."""
    return math.pi / (2.0 * math.acos(1.0 - under_read))


def chance_of_no_sample(rate: float, duration: float) -> float:
    """Return the chance that a pulse falls between two samples altogether."""
    return max(0.0, 1.0 - rate * duration)
