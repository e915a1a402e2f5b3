"""From measured quantities to drawings of what limits them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tameshi.quantity import Measured, Quantity
from tameshi.reference import table
from tameshi.report.drawing import Bars, Budget, Words
from tameshi.report.notation import two_figures
from tameshi.report.parts import Link

_MOST_LINES = 7  # of a budget; what is left is summed up
_WORTH_A_LINE = 0.01  # of the variance
_NAMED_IN_WORDS = 3


def budget(named: Sequence[tuple[str, Measured | None]], place: Link) -> Budget | None:
    """Return the drawing of the budgets of some quantities, None where none of them has one.

    Parameters
    ----------
    named : sequence of (str, Quantity, Missing or None)
    place : Link
        What they belong to.
    """
    panels = [
        _bars(name, measured)
        for name, measured in named
        if isinstance(measured, Quantity) and measured.u > 0.0
    ]
    if not panels:
        return None
    words = Words(
        key=f"budget-{place.anchor}",
        title=f"Uncertainty budget, {place.words}",
        alternative=" ".join(_told(panel) for panel in panels),
        caption="What limits the result: shares of the squared standard uncertainty.",
    )
    return Budget(words=words, panels=tuple(panels))


def budget_lines(quantities: Iterable[Measured]) -> dict[str, str]:
    """Return what each line of these quantities' budgets stands for, in the order of the table."""
    used = {name for one in quantities if isinstance(one, Quantity) for name in one.budget}
    known = table("budget_lines").rows
    meanings = {name: str(row["meaning"]) for name, row in known.items() if name in used}
    return meanings | dict.fromkeys(sorted(used - set(known)), "")


def _bars(name: str, quantity: Quantity) -> Bars:
    variance = quantity.u**2
    shares = [(line, part * part / variance) for line, part in quantity.budget.items()]
    kept = [one for one in shares[:_MOST_LINES] if one[1] >= _WORTH_A_LINE]
    rest = len(shares) - len(kept)
    if rest:
        left = max(0.0, 1.0 - sum(share for _, share in kept))
        kept.append((f"{rest} more" if rest > 1 else shares[-1][0], left))
    if quantity.value == 0.0:
        return Bars(name, tuple(kept))
    relative = two_figures(100.0 * quantity.u / abs(quantity.value))
    return Bars(f"{name}: u = {relative} %", tuple(kept))


def _told(panel: Bars) -> str:
    named = [one for one in panel.shares[:_NAMED_IN_WORDS] if one[1] >= _WORTH_A_LINE]
    greatest = (f"{line} {100.0 * share:.0f} %" for line, share in named)
    return f"{panel.title}, of which {', '.join(greatest)}."
