"""What is typical of a technique: means of its strikes and prints, with the interval of a mean.

A mean carries how much its members differ besides what they may all be wrong by. Errors that its members
share (one calibration, one printed sheet) do not average out and are kept whole; errors of their own are in
the scatter already and are not counted again, unless the members scatter by less.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence

import numpy as np

from tameshi.pressure import repeat_prints
from tameshi.quantity import Quantity, Source, ratio, total

_PAIR = 2


def typical(quantities: Sequence[Quantity], line: str) -> Quantity | None:
    """Return the mean of a quantity over strikes or prints, None where there are none.

    Parameters
    ----------
    quantities : sequence of Quantity
        All of one kind.
    line : str
        Line of the budget that their scatter is counted under.

    Returns
    -------
    Quantity
        With s/sqrt(n) on n - 1 degrees of freedom for the scatter, their own errors in it; where those
        explain more than the scatter, they stand in its place. Of a single one only what its measurement may
        be wrong by, as nothing is known of its scatter.

    Notes
    -----
    Source: JCGM 100:2008, 4.2.3 (type A evaluation).
    """
    if not quantities:
        return None
    count = len(quantities)
    mean = total(quantities) * (1.0 / count)
    if count < _PAIR:
        return quantities[0]
    variance = float(np.var([one.value for one in quantities], ddof=1))
    times = Counter(source for one in quantities for source in one.parts)
    own = math.fsum(part**2 for one in quantities for source, part in one.parts.items() if times[source] == 1)
    if own / count >= variance:
        return mean
    shared = Quantity(
        mean.value, mean.unit, {source: part for source, part in mean.parts.items() if times[source] > 1}
    )
    return shared.with_part(Source(f"typical:{line}", line, count - 1), math.sqrt(variance / count))


def typical_contact(areas: Sequence[Quantity]) -> Quantity | None:
    """Return the mean contact area of a technique, as :func:`tameshi.pressure.repeat_prints` has it."""
    return repeat_prints(areas).mean if areas else None


def typical_pressure(force: Quantity | None, area: Quantity | None) -> Quantity | None:
    """Return typical force over typical area; None where the area is too uncertain to divide by."""
    if force is None or area is None or area.low <= 0.0:
        return None
    return ratio(force, area)
