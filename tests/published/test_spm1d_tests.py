"""Welch's and the paired t test on small published data.

Source: the data sets with expected results in the PyPI package spm1d (T. C. Pataky), ``data/uv0d``: two
samples of unequal scatter (t = 3.454842, 9.83928 degrees of freedom) and paired weights before and after (t =
6.6896995).
"""

import pytest
from spm1d import data

from tameshi.comparison import difference
from tests.comparison.simulated import values_as_trials

A = (34, 52, 17, 45, 5, 29, 31, 6, 52, 64)
B = (12, 8, 6, 16, 12, 14, 10, 18, 4, 11)


def test_welch():
    gap = difference(values_as_trials(A, key="a"), values_as_trials(B, key="b")).value
    assert gap.value / gap.u == pytest.approx(3.454842, abs=5e-7)
    assert gap.dof == pytest.approx(9.83928, abs=5e-6)


def test_paired():
    before, after = data.uv0d.tpaired.RSWeightClinic().get_data()
    sides = [
        [
            one
            for who, value in enumerate(side)
            for one in values_as_trials([value], athlete=f"S{who}", key=key)
        ]
        for key, side in (("a", before), ("b", after))
    ]
    gap = difference(*sides).value
    assert abs(gap.value / gap.u) == pytest.approx(6.6896995, abs=5e-8)
    assert gap.dof == pytest.approx(len(before) - 1)
