"""How a report writes its quantities: one unit for each kind and system, from its first page to its last.

``quantity.show`` picks a unit for each value by its size; in a table that would mix kPa and MPa. Here
the finest unit that any value of a kind was given is taken for all of them. Digits are those that
``show`` chose: the point is moved, nothing is rounded again.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import ROUND_FLOOR, Decimal

from tameshi.quantity import Measured, Missing, Quantity, Shown, System, parse_unit, show, written_unit
from tameshi.quantity import display_unit as unit_by_size

FIGURES_OF_BOUND = 3

OTHER: Mapping[System, System] = {"si": "us", "us": "si"}


@dataclass(frozen=True, slots=True)
class Entry:
    """A measured quantity with the words a report shows it in.

    Parameters
    ----------
    measured : Quantity or Missing
    shown : tuple of Shown
        In the study's units first, then in the other ones; alike where both systems agree, empty
        where the quantity is missing.
    bound : tuple of Shown
        The same of the lower bound of a missing quantity, empty where none is known.
    """

    measured: Measured
    shown: tuple[Shown, ...] = ()
    bound: tuple[Shown, ...] = ()

    @property
    def why(self) -> str:
        """Why there is no value; empty where there is one."""
        return self.measured.why if isinstance(self.measured, Missing) else ""

    @property
    def same_in_both(self) -> bool:
        """Whether the two systems write it alike."""
        return len({one.unit for one in (*self.shown, *self.bound)}) == 1

    def __str__(self) -> str:
        if not self.shown:
            return f"at least {_unbroken(self.bound[0])}" if self.bound else "not given"
        first, second = self.shown
        other = "" if self.same_in_both else f", {second.value}\u00a0{second.unit}"
        return f"{_unbroken(first)}{other}"


@dataclass(frozen=True, slots=True)
class Notation:
    """The units of one report.

    Parameters
    ----------
    first : "si" or "us"
        Which system comes first.
    symbols : mapping of (str, System) to str
        Unit expression for each coherent unit and system.
    """

    first: System
    symbols: Mapping[tuple[str, System], str]

    @property
    def systems(self) -> tuple[System, System]:
        """Both systems in the order of the study."""
        return self.first, OTHER[self.first]

    def entry(self, measured: Measured) -> Entry:
        """Return a quantity with its words."""
        if isinstance(measured, Quantity):
            return Entry(measured, self._shown(measured))
        if measured.at_least is None:
            return Entry(measured)
        return Entry(measured, bound=self._bounds(measured.at_least, measured.unit))

    def units(self, unit: str) -> tuple[str, str]:
        """Return the units a coherent unit is written in, for the head of a column."""
        first, second = (written_unit(self._symbol(unit, system)) for system in self.systems)
        return first, second

    def in_units(self, value: float, unit: str) -> tuple[float, float]:
        """Return a value in coherent SI in the units of the two systems, for drawing."""
        first, second = (value / parse_unit(self._symbol(unit, system)).factor for system in self.systems)
        return first, second

    def _shown(self, quantity: Quantity) -> tuple[Shown, ...]:
        return tuple(_moved(quantity, system, self._symbol(quantity.unit, system)) for system in self.systems)

    def _bounds(self, value: float, unit: str) -> tuple[Shown, ...]:
        symbols = (self._symbol(unit, system) for system in self.systems)
        return tuple(_rounded_down(value, symbol) for symbol in symbols)

    def _symbol(self, unit: str, system: System) -> str:
        return self.symbols.get((unit, system)) or unit_by_size(Quantity(0.0, unit), system)


def notation_for(first: System, quantities: Iterable[Measured]) -> Notation:
    """Return the units in which all these quantities can be written side by side.

    Parameters
    ----------
    first : "si" or "us"
    quantities : iterable of Quantity or Missing
    """
    symbols: dict[tuple[str, System], str] = {}
    for measured in quantities:
        quantity = _of_same_size(measured)
        if quantity is None:
            continue
        for system in OTHER:
            symbol = unit_by_size(quantity, system)
            known = symbols.setdefault((quantity.unit, system), symbol)
            if parse_unit(symbol).factor < parse_unit(known).factor:
                symbols[quantity.unit, system] = symbol
    return Notation(first, symbols)


def two_figures(number: float) -> str:
    """Return a number rounded to two figures, for sentences and shares."""
    return f"{Decimal(f'{number:.1e}'):f}"


def _unbroken(shown: Shown) -> str:
    """Return a quantity in words whose unit stays on its line."""
    return "\u00a0".join(str(shown).rsplit(" ", 1))


def _of_same_size(measured: Measured) -> Quantity | None:
    if isinstance(measured, Quantity):
        return measured
    return None if measured.at_least is None else Quantity(measured.at_least, measured.unit)


def _rounded_down(value: float, symbol: str) -> Shown:
    """Return a lower bound in words; rounded to nearest, half of them would claim too much."""
    number = Decimal(value / parse_unit(symbol).factor)
    place = Decimal(1).scaleb(number.adjusted() + 1 - FIGURES_OF_BOUND)
    digits = f"{number.quantize(place, rounding=ROUND_FLOOR):f}"
    return Shown(digits, digits, digits, written_unit(symbol))


def _moved(quantity: Quantity, system: System, symbol: str) -> Shown:
    """Return a quantity as ``show`` writes it, its decimal point moved to another unit."""
    written = show(quantity, system)
    places = round(math.log10(parse_unit(unit_by_size(quantity, system)).factor / parse_unit(symbol).factor))
    if places == 0:
        return written
    value, low, high = (
        f"{Decimal(digits).scaleb(places):f}" for digits in (written.value, written.low, written.high)
    )
    return Shown(value, low, high, written_unit(symbol))
