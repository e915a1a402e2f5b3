"""One-way analysis of variance on certified data.

Source: NIST Statistical Reference Datasets, analysis of variance: SiRstv (lower), AtmWtAg (average), SmLs01
to SmLs09 (lower to higher level of difficulty), as they travel in SciPy's installed tests.
"""

from __future__ import annotations

from importlib.resources import files

import pytest

from tameshi.comparison import one_way


def certified(name: str) -> tuple[float, list[list[float]]]:
    lines = (files("scipy.stats.tests.data.nist_anova") / f"{name}.dat").read_text().splitlines()
    f = next(float(line.split()[-1]) for line in lines if line.startswith("Between"))
    groups: dict[str, list[float]] = {}
    for line in lines[60:]:
        treatment, value = line.split()
        groups.setdefault(treatment, []).append(float(value))
    return f, list(groups.values())


@pytest.mark.parametrize(
    ("name", "digits"),
    [
        ("SiRstv", 1e-9),
        ("AtmWtAg", 1e-8),
        ("SmLs01", 1e-12),
        ("SmLs04", 1e-8),
        ("SmLs07", 1e-2),  # 13 leading digits are constant: double precision holds two or three of the others
    ],
)
def test_f_statistic(name, digits):
    f, groups = certified(name)
    assert one_way(groups).f == pytest.approx(f, rel=digits)
