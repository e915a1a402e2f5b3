"""Bootstrap intervals of a variance.

Source: B. Efron, R. J. Tibshirani, An Introduction to the Bootstrap (1993), table 14.1 and 14.2: spatial test
A of 26 children, plug-in variance; BCa interval at 90 %: 115.8 to 259.6 with 2000 resamples (as quoted; 99
999 resamples of an independent implementation give 115.6 to 261.6).
"""

import numpy as np
import pytest

from tameshi.comparison import bca_interval

TEST_A = (48, 36, 20, 29, 42, 42, 20, 42, 22, 41, 45, 14, 6, 0, 33, 28, 34, 4, 32, 24, 47, 41, 24, 26, 30, 41)


def test_bca_of_the_variance():
    assert np.var(TEST_A) == pytest.approx(171.534023668639)
    low, high = bca_interval([TEST_A], np.var, level=0.90, resamples=99_999)
    # the book's own resampling noise: its interval and the longer run differ by 0.2 and 2.0
    assert low == pytest.approx(115.8, abs=1.0)
    assert high == pytest.approx(259.6, abs=4.0)
