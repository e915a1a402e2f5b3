"""Colours and ranks of stored values, against plain numpy."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as arrays

from tameshi.footprint.picture.arrays import Pixels
from tameshi.footprint.picture.channels import highest, lowest, median_where, quantiles

SMALL = st.tuples(st.integers(1, 12), st.integers(1, 12))


@given(arrays.arrays(np.uint8, st.tuples(st.integers(1, 12), st.integers(1, 12), st.just(3))))
def test_darkest_and_brightest_colour(picture: Pixels) -> None:
    assert np.array_equal(lowest(picture), picture.min(axis=2))
    assert np.array_equal(highest(picture), picture.max(axis=2))


@given(arrays.arrays(np.uint8, SMALL), st.lists(st.floats(0.0, 1.0), min_size=1, max_size=4))
def test_quantiles_are_those_of_numpy(values: Pixels, shares: list[float]) -> None:
    assert np.allclose(quantiles(values, tuple(shares)), np.quantile(values, shares), rtol=0.0, atol=1e-9)


@given(arrays.arrays(np.uint8, (7, 9)), st.integers(0, 62))
def test_only_what_lies_within_counts(values: Pixels, last: int) -> None:
    within = (np.arange(63) <= last).astype(np.uint8).reshape(7, 9)
    assert quantiles(values, (0.5,), within)[0] == np.median(values.ravel()[: last + 1])


def test_the_median_of_many_is_that_of_some() -> None:
    values = np.random.default_rng(2).normal(0.5, 0.1, (900, 800)).astype(np.float32)
    where = values > 0.45
    assert median_where(values, where) == pytest.approx(float(np.median(values[where])), abs=0.002)


def test_the_median_of_few_is_exact() -> None:
    values = np.random.default_rng(2).normal(0.5, 0.1, (90, 80)).astype(np.float32)
    where = values > 0.45
    assert median_where(values, where) == float(np.median(values[where]))
