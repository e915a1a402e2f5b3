"""Intraclass correlations of six targets by four judges.

Source: P. E. Shrout, J. L. Fleiss, "Intraclass correlations: uses in assessing rater reliability", Psychol.
Bull. 86 (1979) 420-428, tables 2 and 4, as carried by the documentation of the R package psych, with
intervals to more digits from there.
"""

import pytest

from tameshi.comparison import reliability
from tests.published.as_printed import as_printed

TABLE = [[9, 2, 5, 8], [6, 1, 3, 2], [8, 4, 6, 8], [7, 1, 2, 6], [10, 5, 6, 9], [6, 2, 4, 7]]


def test_both_correlations_as_printed():
    found = reliability(TABLE)
    assert found.agreement.value == as_printed("0.29")
    assert found.consistency.value == as_printed("0.71")


def test_their_intervals():
    found = reliability(TABLE)
    assert (found.agreement.low, found.agreement.high) == pytest.approx((0.018786513, 0.761084370), abs=1e-8)
    assert (found.consistency.low, found.consistency.high) == pytest.approx(
        (0.342464765, 0.945858260), abs=1e-8
    )


def test_standard_error_and_smallest_change():
    # derived from the mean squares of the same table
    found = reliability(TABLE)
    assert found.sem_agreement == as_printed("2.502776")
    assert found.smallest_change == as_printed("6.937214")
    assert found.sem_consistency == as_printed("1.009675")
    assert found.smallest_consistent == as_printed("2.798626")
