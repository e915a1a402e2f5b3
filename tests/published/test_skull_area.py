"""Fracture force of the side of the skull grows with about the 0.39th power of the contact area.

Source: Allsop et al. (1991), SAE 912907, abstract: 5 cm2 round plate 5.0 kN, 52 cm2 oblong plate 12.5 kN,
fixed heads. The power between the two means is derived.
"""

import math

import pytest

from tameshi.reference import row
from tameshi.tolerance import fracture_force_at, published_values
from tests.published.as_printed import as_printed

ROWS = {one.key: one for one in published_values()}
SMALL, LARGE = ROWS["sk-01"], ROWS["sk-02"]


def test_the_exponent_is_that_of_the_two_plates() -> None:
    assert SMALL.value is not None
    assert LARGE.value is not None
    assert SMALL.area is not None
    assert LARGE.area is not None
    exponent = math.log(LARGE.value / SMALL.value) / math.log(LARGE.area / SMALL.area)
    assert exponent == as_printed("0.39")
    assert row("tolerance_relations", "area exponent")["exponent"] == as_printed("0.39")


@pytest.mark.parametrize(("area", "kn"), [(5e-4, "5.0"), (52e-4, "12.5")])
def test_both_plates_come_back(area: float, kn: str) -> None:
    force = fracture_force_at(area)
    assert force is not None
    assert 1e-3 * force == as_printed(kn)


@pytest.mark.parametrize(("key", "n_cm2"), [("sk-01", "1000"), ("sk-02", "240")])
def test_neither_force_nor_pressure_alone_is_the_measure(key: str, n_cm2: str) -> None:
    found = ROWS[key]
    assert found.value is not None
    assert found.area is not None
    assert found.value / found.area / 1e4 == as_printed(n_cm2)


def test_below_the_smallest_plate_nothing_is_said() -> None:
    assert fracture_force_at(4.9e-4) is None
    assert fracture_force_at(53e-4) is None
