"""Fast loading takes about twice the force of slow loading to break the vault of the skull.

Source: Yoganandan et al. (1995), J Neurotrauma 12:659-668, abstract: 6.4 kN at 2.5 mm/s, 11.9 kN at 7.1
to 8.0 m/s, all tests between 4.5 and 14.1 kN.
"""

from tameshi.reference import row
from tameshi.tolerance import Rate, published_values
from tests.published.as_printed import as_printed

ROWS = {one.key: one for one in published_values()}


def test_fast_over_slow() -> None:
    slow, fast = ROWS["sk-03"], ROWS["sk-04"]
    assert (slow.rate, fast.rate) == (Rate.SLOW, Rate.IMPACT)
    assert slow.value is not None
    assert fast.value is not None
    assert fast.value / slow.value == as_printed("1.9")
    assert row("tolerance_relations", "fast over slow")["factor"] == as_printed("1.9")
    assert all(4500.0 < force < 14100.0 for force in (slow.value, fast.value))
