"""What a test takes for measured has to be measured."""

from tameshi.pressure import Range
from tameshi.quantity import Measured, Quantity


def known(measured: Measured | Range | None) -> Quantity:
    """The quantity, where there is one; the test fails with the reason where there is none."""
    assert isinstance(measured, Quantity), measured
    return measured


def bounds(measured: Measured | Range) -> Range:
    """The bounds, where there are only those."""
    assert isinstance(measured, Range), measured
    return measured
