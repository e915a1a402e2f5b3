"""What a comparison shows, in words, with its strength, and what it does not say."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from tameshi.comparison.difference import Difference
from tameshi.quantity import LEVEL, Quantity, show

CLEAR, HERE, CHANCE, OPEN, NONE = (
    "clear",
    "clear for these strikes only",
    "may be chance",
    "no clear difference",
    "not compared",
)
_LIMIT = 1.0 - LEVEL

Write = Callable[[Quantity], str]
"""How a quantity is put into words."""

_MOST_PERCENT = 1000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """What two groups show.

    Parameters
    ----------
    strength : str
        ``"clear"`` (the interval leaves zero out, all pairs allowed for, and the result reaches beyond the
        people or sessions measured), ``"clear for these strikes only"``, ``"may be chance"`` (clear alone,
        not among so many), ``"no clear difference"`` or ``"not compared"``.
    words : str
        Never more than they show.
    limits : tuple of str
        What they do not say.
    """

    strength: str
    words: str
    limits: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What a claim is about: two groups, the figure compared, what the groups differ by on purpose.

    Parameters
    ----------
    one, other, figure, by : str
    trends : tuple of str
        What either does over a session, in words, where that is clear.
    """

    one: str
    other: str
    figure: str
    by: str
    trends: tuple[str, ...] = ()


def in_si(quantity: Quantity) -> str:
    """Return a quantity with its interval in SI units."""
    return str(show(quantity))


def claim_of(told: Told, found: Difference, p_of_several: float, write: Write = in_si) -> Claim:
    """Return what two groups show.

    Parameters
    ----------
    told : Told
    found : Difference
    p_of_several : float
        p with all pairs of the comparison allowed for.
    write : callable
        Puts a quantity into words.
    """
    value, design = found.value, found.design
    more = "greater" if value.value > 0.0 else "smaller"
    size = (
        f"{told.figure} of {told.one} is {more} than that of {told.other} by {write(_without_sign(found))}"
        f"{_percent(found.relative)}"
    )
    size = size[:1].upper() + size[1:]
    if not found.is_clear:
        words = (
            f"No clear difference: {told.one} less {told.other} is {write(value)}, and the interval "
            "holds zero. That is not a sign that they are alike: any difference inside the interval is "
            "possible."
        )
        return Claim(strength=OPEN, words=words, limits=_limits(told, found))
    if p_of_several >= _LIMIT:
        words = f"{size}; among so many comparisons that may be chance."
        return Claim(strength=CHANCE, words=words, limits=_limits(told, found))
    strength = HERE if design.unit == "strike" or design.doubt else CLEAR
    return Claim(strength=strength, words=f"{size}.", limits=_limits(told, found))


def _limits(told: Told, found: Difference) -> tuple[str, ...]:
    design = found.design
    limits = [f"It holds for {design.reach}."]
    if design.doubt:
        limits.append(f"What made the difference is open: {design.doubt}.")
    elif design.unit == "strike" and told.by in ("technique", "side"):
        limits.append("Which was struck first is not allowed for: warming up or tiring may be part of it.")
    limits += [f"{course}: the difference hangs on when they were struck." for course in told.trends]
    if found.scatter_ratio_p < _LIMIT:
        limits.append("The two scatter unlike each other; g takes one scatter for both.")
    if design.left_out:
        limits.append(f"{design.left_out} strikes of those who struck one way only were left out.")
    if told.by == "pad":
        limits.append("It compares pads, not what a strike would do to a body.")
    return tuple(limits)


def _without_sign(found: Difference) -> Quantity:
    return found.value if found.value.value > 0.0 else -found.value


def _percent(share: float) -> str:
    percent = 100.0 * abs(share)
    return f" ({percent:.1f} %)" if percent < _MOST_PERCENT else ""
