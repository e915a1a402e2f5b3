"""Do two means differ: mileage of cars of two countries.

Source: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.3, two-sample t-test, data set AUTO83B: means,
standard deviations and counts as printed; Welch's t and degrees of freedom as printed there. The single cars
are not needed: any samples of these means and standard deviations give the same.
"""

import numpy as np
import pytest

from tameshi.comparison import difference, small_sample_factor
from tests.comparison.simulated import values_as_trials
from tests.published.as_printed import as_printed

FIRST, SECOND = (20.14458, 6.41470, 249), (30.48101, 6.10771, 79)


def sample(mean, sd, count, key):
    shape = np.random.default_rng(count).normal(size=count)
    shape = (shape - shape.mean()) / shape.std(ddof=1)
    return values_as_trials(mean + sd * shape, key=key)


def found():
    return difference(sample(*FIRST, "a"), sample(*SECOND, "b"))


def test_welch_as_printed():
    gap = found().value
    # the printed means and standard deviations carry seven and six digits
    assert gap.value / gap.u == as_printed("-12.94627", slack=3e-5)
    assert gap.dof == as_printed("136.8750", slack=2e-3)


def test_hedges_g():
    # derived from the same figures with the exact factor
    effect = found().hedges_g
    assert effect is not None
    assert effect.value == pytest.approx(-1.625930, abs=1e-5)


def test_small_example_and_factor():
    # derived: 1..5 against 3..7; J(10) = 0.922745608
    effect = difference(
        values_as_trials([3, 4, 5, 6, 7], key="a"), values_as_trials([1, 2, 3, 4, 5], key="b")
    )
    assert effect.hedges_g is not None
    assert effect.hedges_g.value == as_printed("1.141839")
    assert small_sample_factor(10) == as_printed("0.922745608")
