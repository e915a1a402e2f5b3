"""A modelled reading in words, in the unit that published values of its kind are written in."""

from __future__ import annotations

from tameshi.quantity import System, parse_unit, written_unit
from tameshi.tolerance import Reading, rounded, unit_for

_FIGURES = 3
_GRAVITY = "g0"


def reading_in_words(reading: Reading, system: System) -> str:
    """Return a modelled reading: a median with its band, two bounds, or a lower bound."""
    symbol = unit_for(reading.kind, system)
    factor = parse_unit(symbol).factor

    def told(value: float) -> str:
        return rounded(value / factor, _FIGURES)

    unit = _unit(symbol)
    if reading.at_least is not None:
        return f"at least {told(reading.at_least)}{unit}"
    ends = f"{told(reading.least.low)} to {told(reading.most.high)}"
    return f"{ends}{unit}" if reading.is_band else f"{told(reading.least.value)}{unit} ({ends})"


def _unit(symbol: str) -> str:
    unit = "g" if symbol == _GRAVITY else written_unit(symbol)
    return f"\u00a0{unit}" if unit else ""
