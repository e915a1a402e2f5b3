"""Two sets of limits for machines beside people: older recommendations and the standard after them.

Sources: BG/BGIA recommendations 2009/2011, as printed in Buxbaum and Sen, Pflegeroboter (2018), table
1.4; ISO/TS 15066:2016, table A.2, as texts quote it. Forces for slow contact agree within a tenth;
pressures do not, which is why those of the older set, whose definition is not told, are compared with
nothing.
"""

import pytest

from tameshi.tolerance import Kind, Rate, Way, kind_facts, published_values

ROWS = {one.key: one for one in published_values()}
PAIRS = [
    ("bg-1.1c", "iso-f01"),
    ("bg-1.2c", "iso-f02"),
    ("bg-1.3c", "iso-f03"),
    ("bg-2.1c", "iso-f04"),
    ("bg-2.2c", "iso-f05"),
    ("bg-2.3c", "iso-f06"),
    ("bg-2.4c", "iso-f07"),
    ("bg-3.1c", "iso-f08"),
    ("bg-3.2c", "iso-f09"),
    ("bg-3.3c", "iso-f10"),
    ("bg-4.1c", "iso-f11"),
    ("bg-4.2c", "iso-f12"),
]


def value(key: str) -> float:
    found = ROWS[key].value
    assert found is not None
    return found


@pytest.mark.parametrize(("older", "newer"), PAIRS)
def test_slow_forces_agree(older: str, newer: str) -> None:
    assert ROWS[older].rate is ROWS[newer].rate is Rate.SLOW
    assert value(older) == pytest.approx(value(newer), rel=0.10)


@pytest.mark.parametrize("key", [older for older, _ in PAIRS])
def test_impact_is_allowed_more_than_clamping_but_not_twice(key: str) -> None:
    assert 1.0 < value(key[:-1] + "i") / value(key) < 2.0


@pytest.mark.parametrize(
    ("older", "newer"), [("bg-1.1p", "iso-p01"), ("bg-1.2p", "iso-p03"), ("bg-2.3p", "iso-p10")]
)
def test_pressures_are_of_another_definition(older: str, newer: str) -> None:
    assert 3.0 < value(newer) / value(older) < 6.0
    assert ROWS[older].kind is Kind.SURFACE_PRESSURE
    assert ROWS[older].way is Way.NEVER
    assert kind_facts(Kind.SURFACE_PRESSURE).reach == "never"


def test_the_larynx_bears_least() -> None:
    clamped = {key: value(key) for key in ROWS if key.startswith("bg-") and key.endswith("c")}
    assert min(clamped, key=lambda key: clamped[key]) == "bg-1.4c"
