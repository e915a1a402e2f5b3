"""Compare with numbers as they are printed: half a unit of the last digit is all the tolerance there is."""

from __future__ import annotations

from decimal import Decimal

import pytest


def as_printed(printed: str, *, slack: float = 0.0) -> object:
    """Return a value that equals whatever rounds to what is printed.

    Parameters
    ----------
    printed : str
        The number with the digits the publication gives.
    slack : float
        What the printed precision of the *inputs* adds, stated where it is used.
    """
    number = Decimal(printed)
    exponent = number.as_tuple().exponent
    assert isinstance(exponent, int)
    half_unit = 0.5 * 10.0**exponent
    return pytest.approx(float(number), abs=half_unit * (1.0 + 1e-9) + slack, rel=0.0)
