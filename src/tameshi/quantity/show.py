"""Show a quantity to a person: sensible digits, SI and US customary units side by side.

The uncertainty is rounded to two significant figures and the value to the same place (JCGM
100:2008, 7.2.6). Which unit suits which magnitude is in the reference table ``kinds``.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from tameshi.quantity.number import Measured, Missing, Quantity
from tameshi.quantity.parse import kind_of_unit
from tameshi.quantity.unit import parse_unit
from tameshi.reference import row

System = Literal["si", "us"]
DEGREE = "°"
FIGURES_OF_U = 2
FIGURES_WITHOUT_U = 4
_ROUNDING = 1e-9  # what binary fractions may lack of a whole step


@dataclass(frozen=True, slots=True)
class Shown:
    """A quantity in words.

    Parameters
    ----------
    value, low, high : str
        Best estimate and ends of the 95 % interval, rounded alike, without unit.
    unit : str
        Unit as a person writes it: ``"cm²"``, ``"lbf·s"``.
    """

    value: str
    low: str
    high: str
    unit: str

    def __str__(self) -> str:
        interval = "" if self.low == self.high else f" ({self.low} to {self.high})"
        space = "" if self.unit == DEGREE else " "  # written close up (ISO 80000-1, 7.1.4)
        return f"{self.value}{interval}{space}{self.unit}".strip()


def show(quantity: Quantity, system: System = "si") -> Shown:
    """Return a quantity rounded and in the units people of one system read."""
    symbol = display_unit(quantity, system)
    factor = parse_unit(symbol).factor
    decimals = _decimals(quantity.u / factor, quantity.value / factor)
    value, low, high = (
        _rounded(number / factor, decimals) for number in (quantity.value, quantity.low, quantity.high)
    )
    if quantity.u == 0.0 and quantity.interval is None:
        low = high = value
    return Shown(value, low, high, written_unit(symbol))


def show_both(measured: Measured, first: System = "si") -> str:
    """Return one line: the quantity in one system and, in brackets, the other's value.

    A missing quantity is shown as its reason.
    """
    if isinstance(measured, Missing):
        bound = "" if measured.at_least is None else f"at least {show_bound(measured, first)}; "
        return f"not given: {bound}{measured.why}"
    second: System = "us" if first == "si" else "si"
    one, other = show(measured, first), show(measured, second)
    if one.unit == other.unit:
        return str(one)
    return f"{one} [{other.value} {other.unit}]"


def show_bound(missing: Missing, system: System = "si") -> str:
    """Return the lower bound of a missing quantity, rounded down: no more may be claimed."""
    quantity = Quantity(missing.at_least or 0.0, missing.unit)
    symbol = display_unit(quantity, system)
    value = quantity.value / parse_unit(symbol).factor
    decimals = _decimals(0.0, value)
    step = 10.0**-decimals
    return f"{_rounded(math.floor(value / step + _ROUNDING) * step, decimals)} {written_unit(symbol)}".strip()


def display_unit(quantity: Quantity, system: System) -> str:
    """Return the unit expression that suits a quantity's kind and magnitude."""
    kind = kind_of_unit(quantity.unit)
    if kind is None:
        return quantity.unit
    size = abs(quantity.value)
    choices = row("kinds", kind)[system]
    return str(next(choice["unit"] for choice in choices if size >= choice["from"]))


def written_unit(symbol: str) -> str:
    """Return a unit expression as a person writes it."""
    if symbol == "1":
        return ""
    if symbol == "deg":
        return DEGREE
    raised = symbol.replace("m2", "m²").replace("in2", "in²").replace("m3", "m³").replace("s2", "s²")
    return raised.replace(" ", "·")


def _decimals(u: float, value: float) -> int:
    """Return how many decimals to print; negative rounds to tens, hundreds."""
    if u > 0.0:
        # 0.0996 rounds to 0.10, one place shorter than its first figure suggests
        place = math.floor(math.log10(float(f"{u:.{FIGURES_OF_U - 1}e}")))
        return FIGURES_OF_U - 1 - place
    if value == 0.0:
        return 0
    return FIGURES_WITHOUT_U - 1 - math.floor(math.log10(abs(value)))


def _rounded(number: float, decimals: int) -> str:
    text = f"{round(number, decimals):.{max(0, decimals)}f}"
    return "0" if float(text) == 0.0 and decimals <= 0 else text
