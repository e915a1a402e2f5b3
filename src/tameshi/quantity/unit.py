"""Units: what a person types or reads, turned into coherent SI and back.

A unit expression is a product of symbols with whole exponents: ``kN``, ``N/cm2``, ``lbf s``,
``mV/V``, ``in^2``, ``mm²``. A space, ``*`` or ``·`` multiplies, ``/`` divides what follows it.
Nothing a person types is evaluated as code. Factors come from the reference table ``units``.
"""

import re
from dataclasses import dataclass
from functools import cache

from tameshi.errors import UnitError
from tameshi.reference import table

Dimension = tuple[int, int, int, int]
"""Exponents of kg, m, s and A."""

LONGEST_EXPRESSION = 40

_PREFIX = {"n": 1e-9, "µ": 1e-6, "m": 1e-3, "c": 1e-2, "h": 1e2, "k": 1e3, "M": 1e6, "G": 1e9}
_FACTOR_OF = re.compile(r"([^\d\s*·/^²³.-]+|1)(?:\^?(-?[1-9])|([²³]))?$")
_COHERENT = (
    *("1", "N", "s", "N s", "N/s", "m", "m2", "Pa", "Pa s", "Hz", "m/s", "kg", "J"),
    *("V", "N/V", "A", "ohm"),
)
_BASE = ("kg", "m", "s", "A")


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit of measurement.

    Parameters
    ----------
    symbol : str
        As typed, spaces tidied.
    factor : float
        How many coherent SI units one of it is.
    dimension : tuple of int
        Exponents of kg, m, s and A.
    """

    symbol: str
    factor: float
    dimension: Dimension


@cache
def parse_unit(text: str) -> Unit:
    """Return the unit an expression such as ``"kN/V"`` or ``"in2"`` stands for.

    Raises
    ------
    UnitError
        If a symbol is unknown; the message names it.
    """
    symbol = " ".join(text.replace("μ", "µ").split())
    if not symbol or len(symbol) > LONGEST_EXPRESSION:
        raise UnitError("unknown-unit", f"{text[:LONGEST_EXPRESSION]!r} is not a unit.", hint=_ADVICE)
    factor, dimension = 1.0, [0, 0, 0, 0]
    for position, divided_part in enumerate(symbol.split("/")):
        pieces = [piece for piece in re.split(r"[ *·]", divided_part) if piece]
        if not pieces:
            raise UnitError("unknown-unit", f"{symbol!r} is not a unit.", hint=_ADVICE)
        for index, piece in enumerate(pieces):
            # only the first symbol after a stroke is divided: "N/m s" reads as (N/m) s
            sign = -1 if position > 0 and index == 0 else 1
            one, exponent = _symbol_with_exponent(piece, symbol)
            factor *= one.factor ** (sign * exponent)
            dimension = [a + sign * exponent * b for a, b in zip(dimension, one.dimension, strict=True)]
    return Unit(symbol=symbol, factor=factor, dimension=_as_dimension(dimension))


def coherent_unit(dimension: Dimension) -> str:
    """Return the name of the coherent SI unit of this dimension."""
    named = _coherent_names()
    if dimension in named:
        return named[dimension]
    pieces = zip(_BASE, dimension, strict=True)
    return " ".join(name if power == 1 else f"{name}{power}" for name, power in pieces if power)


_ADVICE = "Write a number and a unit, for example 3 kN, 250 lbf, 5 ms, 0.34 in2 or 2 mV/V."


@cache
def _coherent_names() -> dict[Dimension, str]:
    return {parse_unit(name).dimension: name for name in _COHERENT}


def _symbol_with_exponent(piece: str, whole: str) -> tuple[Unit, int]:
    if piece in table("units").rows:  # "g0" and "1" hold digits that are no exponent
        return _named_unit(piece, whole), 1
    match = _FACTOR_OF.match(piece)
    if match is None:
        raise UnitError("unknown-unit", f"{piece!r} in {whole!r} is not a unit.", hint=_ADVICE)
    name, digits, superscript = match.groups()
    exponent = int(digits) if digits else {"²": 2, "³": 3}.get(superscript or "", 1)
    return _named_unit(name, whole), exponent


def _named_unit(name: str, whole: str) -> Unit:
    rows = table("units").rows
    if name in rows:
        entry = rows[name]
        return Unit(name, float(entry["factor"]), _as_dimension(entry["dimension"]))
    prefix, rest = name[:1].replace("u", "µ"), name[1:]
    if rest in rows and prefix in rows[rest].get("prefixes", "").split():
        entry = rows[rest]
        return Unit(name, _PREFIX[prefix] * float(entry["factor"]), _as_dimension(entry["dimension"]))
    same_but_for_case = [key for key in rows if key.lower() == name.lower()]
    hint = f"Did you mean {same_but_for_case[0]!r}?" if same_but_for_case else _ADVICE
    raise UnitError("unknown-unit", f"{name!r} in {whole!r} is not a unit known here.", hint=hint)


def _as_dimension(exponents: list[int]) -> Dimension:
    mass, length, time, current = exponents
    return (mass, length, time, current)
