"""Published ranges in words, in both systems of units where the kind has both."""

from __future__ import annotations

import math

from tameshi.quantity import System, parse_unit, written_unit
from tameshi.tolerance.kind import Kind, kind_facts
from tameshi.tolerance.spread import Spread

_PRINTED, _MADE = 4, 3  # figures: of what was printed, of what was worked out or converted
_UNITS: dict[str, dict[System, str]] = {
    "N": {"si": "N", "us": "lbf"},
    "Pa": {"si": "MPa", "us": "psi"},
    "N m": {"si": "N m", "us": "ft lbf"},
}


def unit_for(kind: Kind, system: System) -> str:
    """Return the unit expression that values of a kind are written in."""
    facts = kind_facts(kind)
    return _UNITS.get(facts.si, {}).get(system, facts.unit)


def written_range(kind: Kind, spread: Spread, system: System = "si") -> str:
    """Return a published range in words: ``2670 to 8850 N``, ``5000 N``."""
    symbol = unit_for(kind, system)
    factor = parse_unit(symbol).factor
    unit = _PLAIN.get(symbol, written_unit(symbol))
    figures = _PRINTED if system == "si" and spread.is_printed else _MADE
    low, high = rounded(spread.low / factor, figures), rounded(spread.high / factor, figures)
    ends = low if low == high else f"{low} to {high}"
    return f"{ends}\u00a0{unit}".rstrip("\u00a0")


def rounded(number: float, figures: int) -> str:
    """Return a number rounded to so many figures, without a power of ten."""
    if number == 0.0:
        return "0"
    decimals = figures - 1 - math.floor(math.log10(abs(number)))
    text = f"{round(number, decimals):.{max(0, decimals)}f}"
    return text.rstrip("0").rstrip(".") if decimals > 0 else text


_PLAIN = {"g0": "g"}
