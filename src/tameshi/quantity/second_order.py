"""Propagate uncertainty with the terms of second order: for models that bend within the uncertainty.

Where sensitivities vanish at the estimate (a product of two deviations from nought, a square at nought) the
first order sees nothing or too little. The terms of the next order tell how much, in one budget line.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from tameshi.quantity.number import Quantity, combine
from tameshi.quantity.source import Source

NAME = "second order"
_STEP = 0.1  # of a standard deviation: step of the differences


def combine_second_order(
    function: Callable[..., float], *arguments: Quantity, unit: str, key: str
) -> Quantity:
    """Propagate uncertainty through a smooth function, with the terms of second order.

    Parameters
    ----------
    function : callable
        Takes the values of the arguments, returns one value.
    *arguments : Quantity
        Inputs; shared sources are followed.
    unit : str
        Coherent SI unit of the result.
    key : str
        Identity of the added part.

    Returns
    -------
    Quantity
        That of :func:`combine`, with a part "second order" beside its others.

    Notes
    -----
    Valid for sources that are normal, or nearly so. The estimate stays that of the function: what bending
    does to the mean is left out, as in the source. Where the terms would lessen the uncertainty nothing is
    added. Source: JCGM 100:2008, 5.1.2, note; derivatives by differences.
    """
    first = combine(function, *arguments, unit=unit)
    sources = sorted({source for one in arguments for source in one.parts}, key=lambda source: source.key)

    def at(*moves: tuple[int, float]) -> float:
        values = [one.value for one in arguments]
        for place, by in moves:
            for index, one in enumerate(arguments):
                values[index] += by * one.parts.get(sources[place], 0.0)
        return function(*values)

    square, h = 0.0, _STEP
    for k in range(len(sources)):
        ahead, behind = at((k, h)), at((k, -h))
        slope = 0.5 * (ahead - behind) / h
        for j in range(len(sources)):
            up = [at((k, h), (j, by)) for by in (-h, h)]
            down = [at((k, -h), (j, by)) for by in (-h, h)]
            mixed = 0.25 * (up[1] - up[0] - down[1] + down[0]) / h**2
            third = 0.5 * (sum(up) - 2.0 * ahead - sum(down) + 2.0 * behind) / h**3
            square += 0.5 * mixed**2 + slope * third
    if square <= 0.0:
        return first
    return first.with_part(Source(f"{key}:{NAME}", NAME), math.sqrt(square))
