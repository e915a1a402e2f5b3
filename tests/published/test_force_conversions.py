"""Published forces in pounds-force or kilograms-force, against the rows of the table in newtons.

Sources: abstracts of Hodgson et al. 1970 (950 to 1650, 700 to 1600 lbf), Patrick, Kroell and Mertz 1965
(2640, 4350, 1850, 1970 lbf), Kramer et al. 1973 (250 kp); Nahum 1975 (25 to 75 lbf, value from memory);
round values proposed by Schneider and Nahum 1972 (150, 200, 400 lbf, value from memory); reviews of
emergency medicine (20 to 50 kgf); experiments on thyroid horns (2.6 and 3.3 kg). Factors: NIST SP 811.
"""

import pytest

from tameshi.quantity import parse_unit
from tameshi.tolerance import published_values

ROWS = {one.key: one for one in published_values()}
LBF, KGF = parse_unit("lbf").factor, parse_unit("kgf").factor


@pytest.mark.parametrize(
    ("key", "which", "pounds"),
    [
        ("sk-09", "low", 950.0),
        ("sk-09", "high", 1650.0),
        ("sk-10", "low", 700.0),
        ("sk-10", "high", 1600.0),
        ("sk-11", "value", 2640.0),
        ("sk-12", "value", 4350.0),
        ("ch-10", "value", 1850.0),
        ("lb-19", "value", 1970.0),
        ("fm-21", "low", 25.0),
        ("fm-21", "high", 75.0),
        ("fm-01", "value", 200.0),
        ("fm-03", "value", 150.0),
        ("fm-04", "value", 400.0),
    ],
)
def test_pounds(key: str, which: str, pounds: float) -> None:
    step = 10.0 if key == "fm-04" else 1.0  # as those who compiled them rounded
    assert getattr(ROWS[key], which) == pytest.approx(pounds * LBF, abs=0.5 * step)


@pytest.mark.parametrize(
    ("key", "which", "kilograms"),
    [
        ("lb-15", "value", 250.0),
        ("ch-12", "value", 250.0),
        ("ts-01", "low", 20.0),
        ("ts-01", "high", 50.0),
        ("nk-01", "low", 2.6),
        ("nk-01", "high", 3.3),
    ],
)
def test_kilograms(key: str, which: str, kilograms: float) -> None:
    assert getattr(ROWS[key], which) == pytest.approx(kilograms * KGF, rel=0.002)
