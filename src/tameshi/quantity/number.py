"""A measured quantity: value, unit, standard uncertainty, degrees of freedom and budget.

A quantity remembers which sources of error it is made of and how much of each it carries, signed.
Arithmetic keeps that memory, to first order: the same calibration in two strikes cancels in their
ratio, and a budget can be printed for any result. Two quantities are correlated exactly where they
share a source (JCGM 100:2008, 5.2 and its note on common effects, F.1.2.3).
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType

from tameshi.errors import UnitError, WrongUseError
from tameshi.quantity.coverage import LEVEL, coverage_factor, effective_dof
from tameshi.quantity.source import Source
from tameshi.quantity.unit import Dimension, coherent_unit, parse_unit

Parts = Mapping[Source, float]


@dataclass(frozen=True, slots=True, eq=False)
class Quantity:
    """A measured value in coherent SI units, with everything that is known about its error.

    Parameters
    ----------
    value : float
        Best estimate.
    unit : str
        Coherent SI unit: ``"N"``, ``"s"``, ``"Pa"``, ``"1"``.
    parts : mapping of Source to float
        Signed contribution of each source to the standard uncertainty, in the same unit.
    interval : (float, float) or None
        95 % coverage interval where it is not the symmetric one that u and dof imply.

    Raises
    ------
    WrongUseError
        If the value or a part is not a finite number.
    """

    value: float
    unit: str
    parts: Parts = field(default_factory=dict)
    interval: tuple[float, float] | None = None

    def __post_init__(self) -> None:
        parts = {source: float(part) for source, part in self.parts.items() if part != 0.0}
        if not all(map(math.isfinite, (self.value, *parts.values()))):
            raise WrongUseError("not-finite", f"A quantity in {self.unit} came out as {self.value!r}.")
        object.__setattr__(self, "value", float(self.value))
        object.__setattr__(self, "parts", MappingProxyType(parts))

    @property
    def u(self) -> float:
        """Combined standard uncertainty."""
        return math.hypot(*self.parts.values())

    @property
    def dof(self) -> float:
        """Effective degrees of freedom (Welch-Satterthwaite over groups of sources)."""
        variance: dict[str, float] = defaultdict(float)
        dof: dict[str, float] = {}
        for source, part in self.parts.items():
            group = source.group or source.key
            variance[group] += part * part
            dof[group] = min(dof.get(group, math.inf), source.dof)
        return effective_dof((math.sqrt(variance[group]), dof[group]) for group in variance)

    @property
    def low(self) -> float:
        """Lower end of the 95 % coverage interval."""
        return self.interval[0] if self.interval else self.value - self.expanded()

    @property
    def high(self) -> float:
        """Upper end of the 95 % coverage interval."""
        return self.interval[1] if self.interval else self.value + self.expanded()

    @property
    def budget(self) -> dict[str, float]:
        """Contribution of each named source to u, greatest first."""
        squares: dict[str, float] = defaultdict(float)
        for source, part in self.parts.items():
            squares[source.name] += part * part
        ranked = sorted(squares.items(), key=lambda item: (-item[1], item[0]))
        return {name: math.sqrt(square) for name, square in ranked}

    def expanded(self, level: float = LEVEL) -> float:
        """Return the expanded uncertainty k u for a coverage probability."""
        return coverage_factor(self.dof, level) * self.u if self.parts else 0.0

    def with_part(self, source: Source, part: float) -> Quantity:
        """Return the same quantity with one more contribution to its uncertainty."""
        combined = self.parts.get(source, 0.0) + part
        return replace(self, parts={**self.parts, source: combined}, interval=None)

    def with_interval(self, low: float, high: float) -> Quantity:
        """Return the same quantity with a coverage interval worked out another way."""
        return replace(self, interval=(float(low), float(high)))

    def __reduce__(self) -> tuple[type[Quantity], tuple[object, ...]]:
        # a read-only mapping cannot be pickled as it is
        return Quantity, (self.value, self.unit, dict(self.parts), self.interval)

    def __add__(self, other: Quantity | float) -> Quantity:
        right = _same_unit(self, other)
        return _linear(self.value + right.value, self.unit, (1.0, self), (1.0, right))

    def __sub__(self, other: Quantity | float) -> Quantity:
        right = _same_unit(self, other)
        return _linear(self.value - right.value, self.unit, (1.0, self), (-1.0, right))

    def __mul__(self, other: Quantity | float) -> Quantity:
        right = _as_quantity(other)
        unit = _product_unit(self.unit, right.unit, 1)
        return _linear(self.value * right.value, unit, (right.value, self), (self.value, right))

    def __truediv__(self, other: Quantity | float) -> Quantity:
        right = _as_quantity(other)
        if right.value == 0.0:
            raise WrongUseError("division-by-zero", f"A quantity in {self.unit} was divided by zero.")
        unit = _product_unit(self.unit, right.unit, -1)
        ratio = self.value / right.value
        return _linear(ratio, unit, (1.0 / right.value, self), (-ratio / right.value, right))

    def __rmul__(self, other: float) -> Quantity:
        return self * other

    def __rtruediv__(self, other: float) -> Quantity:
        return _as_quantity(other) / self

    def __neg__(self) -> Quantity:
        return _linear(-self.value, self.unit, (-1.0, self))


@dataclass(frozen=True, slots=True)
class Missing:
    """A quantity that the recording or the rig cannot support, and why.

    Parameters
    ----------
    unit : str
        Coherent SI unit it would have had.
    why : str
        The reason, in a sentence.
    at_least : float or None
        A lower bound, where one is known (a clipped peak).
    """

    unit: str
    why: str
    at_least: float | None = None


Measured = Quantity | Missing


def exact(value: float, unit: str = "1") -> Quantity:
    """Return a quantity without uncertainty: a count, a defined constant."""
    return Quantity(value, unit)


def combine(
    function: Callable[..., float], *arguments: Quantity, unit: str, relative_step: float = 1e-6
) -> Quantity:
    """Propagate uncertainty through any smooth function, to first order.

    Parameters
    ----------
    function : callable
        Takes the values of the arguments, returns one value.
    *arguments : Quantity
        Inputs; shared sources are followed.
    unit : str
        Coherent SI unit of the result.
    relative_step : float
        Step of the central differences, as a share of each argument (of its u where it is zero).

    Returns
    -------
    Quantity
        Result with parts from every argument.

    Notes
    -----
    Source: JCGM 100:2008, 5.1.2 and the numerical derivatives of 5.1.3 note 2.
    """
    values = [argument.value for argument in arguments]
    terms = []
    for index, argument in enumerate(arguments):
        step = relative_step * (abs(argument.value) or argument.u or 1.0)
        below, above = list(values), list(values)
        below[index] -= step
        above[index] += step
        slope = (function(*above) - function(*below)) / (above[index] - below[index])
        terms.append((slope, argument))
    return _linear(function(*values), unit, *terms)


def correlation(one: Quantity, other: Quantity) -> float:
    """Return the correlation coefficient that two quantities get from the sources they share."""
    if one.u == 0.0 or other.u == 0.0:
        return 0.0
    shared = math.fsum(part * other.parts.get(source, 0.0) for source, part in one.parts.items())
    return shared / (one.u * other.u)


def _linear(value: float, unit: str, *terms: tuple[float, Quantity]) -> Quantity:
    """Return value with the parts of its arguments, each times its sensitivity."""
    parts: dict[Source, float] = defaultdict(float)
    for sensitivity, argument in terms:
        for source, part in argument.parts.items():
            parts[source] += sensitivity * part
    return Quantity(value, unit, parts)


def _as_quantity(number: Quantity | float) -> Quantity:
    return number if isinstance(number, Quantity) else Quantity(float(number), "1")


def _same_unit(left: Quantity, right: Quantity | float) -> Quantity:
    quantity = _as_quantity(right)
    if _dimension(quantity.unit) != _dimension(left.unit):
        raise UnitError("wrong-unit", f"{left.unit} and {quantity.unit} cannot be added.")
    return quantity


def _product_unit(left: str, right: str, power: int) -> str:
    mass, length, time, current = (
        a + power * b for a, b in zip(_dimension(left), _dimension(right), strict=True)
    )
    return coherent_unit((mass, length, time, current))


def _dimension(unit: str) -> Dimension:
    return parse_unit(unit).dimension


def total(quantities: Iterable[Quantity]) -> Quantity:
    """Return the sum of quantities of one kind.

    Raises
    ------
    WrongUseError
        If there are none.
    """
    first, *rest = quantities
    for quantity in rest:
        first = first + quantity
    return first
