"""Strength of clear wood at another moisture content.

Source: Forest Products Laboratory, Wood Handbook, equation 5-3 with its example: white ash, 103 000 kPa at 12
%, 66 000 kPa green, intersection at 24 %: 119 500 kPa at 8 % (printed to the hundred; the table row of the
same species prints 106 000). Eastern white pine at 8 and 6 %: derived from the equation (59 and 34 MPa).
"""

from __future__ import annotations

import pytest

from tameshi.reference import row
from tameshi.target.breaking import at_moisture
from tests.published.as_printed import as_printed


def test_the_printed_example() -> None:
    assert row("wood_moisture", "white ash")["percent"] == "24"
    assert at_moisture(103_000.0, 66_000.0, 8.0, "white ash") == pytest.approx(119_500.0, abs=50.0)


def test_eastern_white_pine() -> None:
    assert at_moisture(59.0, 34.0, 8.0) == as_printed("69.90")
    assert at_moisture(59.0, 34.0, 6.0) == as_printed("76.09")


def test_at_twelve_per_cent_and_in_green_wood_the_table_is_met() -> None:
    assert at_moisture(59.0, 34.0, 12.0) == pytest.approx(59.0)
    assert at_moisture(59.0, 34.0, 25.0) == pytest.approx(34.0)
    assert at_moisture(59.0, 34.0, 60.0) == pytest.approx(34.0)
