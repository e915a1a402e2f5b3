"""The line where Gadd's severity index reaches 1000, for square pulses.

Source: C. W. Gadd (1966), SAE 660793, index = integral of a^2.5, limit 1000; definitions seen in Chou and
Nyquist (1974), SAE 740082. The five points are computed from it and rounded.
"""

import pytest

from tameshi.quantity import parse_unit
from tameshi.tolerance import Kind, published_values, severity_line
from tests.published.as_printed import as_printed

POINTS = [(2.5, "174"), (5.0, "132"), (10.0, "100"), (20.0, "76"), (50.0, "53")]
ROWS = {one.pulse[0]: one for one in published_values() if one.source == "gadd-1966"}


@pytest.mark.parametrize(("ms", "printed"), POINTS)
def test_the_line_gives_its_points(ms: float, printed: str) -> None:
    g = severity_line(1e-3 * ms)
    assert g == as_printed(printed)
    assert g is not None
    assert g**2.5 * 1e-3 * ms == pytest.approx(1000.0)


@pytest.mark.parametrize(("ms", "printed"), POINTS)
def test_the_rows_of_the_table_lie_on_it(ms: float, printed: str) -> None:
    row = next(one for pulse, one in ROWS.items() if pulse == pytest.approx(1e-3 * ms))
    assert row.kind is Kind.HEAD_MEAN_ACCELERATION
    assert row.value is not None
    assert row.value / parse_unit("g0").factor == as_printed(printed)
    assert row.pulse[0] == row.pulse[1]


@pytest.mark.parametrize("ms", [1.0, 2.0, 60.0])
def test_outside_its_durations_there_is_no_line(ms: float) -> None:
    assert severity_line(1e-3 * ms) is None
