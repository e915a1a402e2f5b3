"""What limits a result, and what would make it surer.

A line that comes from repetition falls as more is taken, and its degrees of freedom grow: both are
worked out. Of any other line only this is known: were it gone, the standard uncertainty would be less by so
much.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from tameshi.quantity import Quantity, Source
from tameshi.reference import row, table

_WORTH_NAMING = 0.05  # of the variance
_HALF = 0.5


@dataclass(frozen=True, slots=True)
class Repeated:
    """A line of a budget that comes from repetition.

    Parameters
    ----------
    count : int
        Prints or strikes so far.
    ahead : bool
        True where it stands for one more draw, s sqrt(1 + 1/n): the scatter itself stays, however many are
        taken. False for a mean, s / sqrt(n).
    """

    count: int
    ahead: bool

    def falls_to(self, count: int) -> float:
        """Return its standard uncertainty with so many, over that with those so far."""
        if self.ahead:
            return float(((1.0 + 1.0 / count) / (1.0 + 1.0 / self.count)) ** 0.5)
        return float((self.count / count) ** 0.5)


@dataclass(frozen=True, slots=True, kw_only=True)
class Improvement:
    """One line of a budget and what can be done about it.

    Parameters
    ----------
    line : str
        Name in the budget.
    share : float
        Of the squared standard uncertainty.
    remedy : str
        What to do; empty where nothing is known.
    without : float
        Standard uncertainty were the line gone, over what it is.
    more : int or None
        How many further prints or strikes are thought of.
    of_what : str
        ``"prints"`` or ``"strikes"``; empty for any other line.
    narrows_to : float or None
        Half width with those, over what it is.
    """

    line: str
    share: float
    remedy: str
    without: float
    more: int | None = None
    of_what: str = ""
    narrows_to: float | None = None

    @property
    def words(self) -> str:
        """The same as a sentence."""
        lead = f"{self.line}, {self.share:.0%} of the squared uncertainty: "
        gone = f"without it the uncertainty would be {1.0 - self.without:.0%} less."
        if self.more is None or self.narrows_to is None:
            return f"{lead}{self.remedy}; {gone}" if self.remedy else f"{lead}{gone}"
        many = f"{self.more} more {self.of_what if self.more > 1 else self.of_what.rstrip('s')}"
        if self.narrows_to <= _HALF:
            return f"{lead}{many} would halve the interval, if they scatter alike."
        told = f"{many} would narrow the interval by {1.0 - self.narrows_to:.0%}"
        return f"{lead}{self.remedy}; {told}, if they scatter alike."


def improvements(
    quantity: Quantity, repeated: Mapping[str, Repeated] | None = None, *, most: int = 3
) -> tuple[Improvement, ...]:
    """Return what limits a quantity, greatest share first, with what would make it surer.

    Parameters
    ----------
    quantity : Quantity
        A pressure, say.
    repeated : mapping of str to Repeated
        The lines of its budget that come from repetition.
    most : int
        How many lines are named.

    Notes
    -----
    Half widths are k u with effective degrees of freedom (JCGM 100:2008, G.4). The scatter of those to
    come is taken to be that of those there are.
    """
    variance = quantity.u**2
    if variance == 0.0:
        return ()
    shares = [(line, part * part / variance) for line, part in quantity.budget.items()]
    worth = [(line, share) for line, share in shares if share >= _WORTH_NAMING][:most]
    return tuple(_improvement(quantity, line, share, (repeated or {}).get(line)) for line, share in worth)


def _improvement(quantity: Quantity, line: str, share: float, repeated: Repeated | None) -> Improvement:
    known = table("improvements").rows.get(line, {})
    found = Improvement(
        line=line, share=share, remedy=str(known.get("remedy", "")), without=math.sqrt(max(0.0, 1.0 - share))
    )
    if repeated is None:
        return found
    most = int(row("pressure_limits", "most prints")["limit"])
    reached = 1.0
    for more in range(1, most + 1):
        before, reached = reached, _narrowed(quantity, line, repeated, more)
        # the first that halves it; else where one more is worth less than a hundredth
        if reached <= _HALF or (more > 1 and before - reached < 0.01):  # noqa: PLR2004
            break
    return replace(found, more=more, of_what=str(known.get("repeat", "prints")), narrows_to=reached)


def _narrowed(quantity: Quantity, line: str, repeated: Repeated, more: int) -> float:
    return _scaled(quantity, line, repeated.falls_to(repeated.count + more), more)


def _scaled(quantity: Quantity, line: str, factor: float, more_dof: int) -> float:
    """Return the half width with a line scaled and its degrees of freedom raised, over the present one."""
    parts: dict[Source, float] = {}
    for source, part in quantity.parts.items():
        if source.name == line:
            parts[replace(source, dof=source.dof + more_dof)] = factor * part
        else:
            parts[source] = part
    return (
        Quantity(quantity.value, quantity.unit, parts).expanded()
        / Quantity(quantity.value, quantity.unit, quantity.parts).expanded()
    )
