"""Read a quantity that a person typed: a number and a unit, never a bare number."""

import math
import re
from functools import cache

from tameshi.errors import UnitError
from tameshi.quantity.unit import Unit, parse_unit
from tameshi.reference import row, table

_TYPED = re.compile(r"\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d{1,3})?)\s*(.*?)\s*$")
_COMMA_IN_NUMBER = re.compile(r"\s*[+-]?\d+,\d")


def parse_quantity(text: str, kind: str) -> float:
    """Return a typed quantity in the coherent SI unit of its kind.

    Parameters
    ----------
    text : str
        A number and a unit: ``"3 kN"``, ``"250 lbf"``, ``"0.34 in2"``.
    kind : str
        A key of the reference table ``kinds``: ``"force"``, ``"time"``, ``"area"``, ...

    Returns
    -------
    float
        The value in coherent SI units.

    Raises
    ------
    UnitError
        If the number or the unit is missing, unknown, or of another kind; the hint lists the
        units that fit.
    """
    number, expression = split_quantity(text, kind)
    if not expression:
        raise UnitError(
            "unit-missing", f"{text.strip()!r} has no unit, and a {kind} needs one.", hint=_that_fit(kind)
        )
    unit = parse_unit(expression)
    if unit.dimension != unit_of_kind(kind).dimension:
        raise UnitError("wrong-unit", f"{text.strip()!r} is not a {kind}.", hint=_that_fit(kind))
    return number * unit.factor


def split_quantity(text: str, kind: str) -> tuple[float, str]:
    """Return the number and the unit expression of a typed quantity.

    Raises
    ------
    UnitError
        If it does not start with a finite number.
    """
    if _COMMA_IN_NUMBER.match(text):
        raise UnitError(
            "not-a-number", f"{text.strip()!r} has a comma in its number.", hint="Write 3.5 kN or 1200 N."
        )
    match = _TYPED.match(text)
    number = float(match.group(1)) if match else math.nan
    if match is None or not math.isfinite(number):
        raise UnitError("not-a-number", f"{text.strip()!r} is not a {kind}.", hint=_that_fit(kind))
    return number, match.group(2)


@cache
def unit_of_kind(kind: str) -> Unit:
    """Return the coherent SI unit of a kind of quantity."""
    return parse_unit(row("kinds", kind)["unit"])


@cache
def kind_of_unit(unit: str) -> str | None:
    """Return the kind of quantity a unit measures, None where no kind is listed for it."""
    dimension = parse_unit(unit).dimension
    kinds = [key for key in table("kinds").rows if unit_of_kind(key).dimension == dimension]
    # an angle has the dimension of a ratio: the one that is named by this very unit goes first
    return min(kinds, key=lambda key: row("kinds", key)["unit"] != unit, default=None)


def _that_fit(kind: str) -> str:
    return f"Units that fit: {', '.join(row('kinds', kind)['fit'])}."
