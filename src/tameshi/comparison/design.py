"""Which comparison the trials allow: what is paired with what, and how far the result reaches.

Strikes of one athlete are alike, and strikes of one evening are more so. Where both techniques were struck
by the same athletes (or in the same sessions) each is its own control, and the unit is the athlete (the
session): what athletes differ by cancels. With fewer such units than tell their scatter, strikes are the
unit, and the result holds for these athletes and sessions only.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from tameshi.comparison.trial import Key, Trial, by_athlete, by_session, groups_of
from tameshi.reference import row

Unit = Literal["athlete", "session", "strike"]
Cell = tuple[list[Trial], list[Trial]]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Design:
    """What is compared with what.

    Parameters
    ----------
    unit : str
        What is drawn anew when the comparison is repeated: ``"athlete"``, ``"session"`` or ``"strike"``.
    is_paired : bool
        Whether each unit struck both ways (of strikes: whether they are compared within athlete or session).
    cells : tuple of (list of Trial, list of Trial)
        The trials of either side in each unit; one of all trials where nothing pairs them. With unpaired
        units one side of each is empty.
    left_out : int
        Trials of units that struck one way only.
    reach : str
        What the result holds for, in words.
    """

    unit: Unit
    is_paired: bool
    cells: tuple[Cell, ...]
    left_out: int
    reach: str


def design_of(one: Sequence[Trial], other: Sequence[Trial]) -> Design:
    """Return the comparison that two sets of trials allow, the farthest-reaching first.

    Parameters
    ----------
    one, other : sequence of Trial, at least one each
    """
    fewest = int(row("comparison_limits", "fewest units")["limit"])
    athletes = _cells(one, other, by_athlete)
    both = [cell for cell in athletes if all(cell)]
    if len(both) >= fewest:
        reach = f"athletes like these {len(both)}"
        return _design("athlete", both, athletes, reach, paired=True)
    apart = not both and all(sum(bool(cell[side]) for cell in athletes) >= fewest for side in (0, 1))
    if apart:
        reach = "athletes like these, each of whom struck one way only"
        return _design("athlete", athletes, athletes, reach, paired=False)
    sessions = _cells(one, other, by_session)
    both_sessions = [cell for cell in sessions if all(cell)]
    if len(athletes) == 1 and len(both_sessions) >= fewest:
        reach = f"sessions like these {len(both_sessions)} of this one athlete"
        return _design("session", both_sessions, sessions, reach, paired=True)
    return _by_strike(one, other, both_sessions, both, sessions)


def _by_strike(
    one: Sequence[Trial],
    other: Sequence[Trial],
    by_sessions: Sequence[Cell],
    by_athletes: Sequence[Cell],
    every: Sequence[Cell],
) -> Design:
    people = len(groups_of((*one, *other), by_athlete))
    who = "this one athlete" if people == 1 else f"these {people} athletes"
    for cells in (by_sessions, by_athletes):
        if cells and _has_scatter(cells):
            days = "" if cells is by_sessions else "; sessions, which may differ too, were not the same"
            return _design("strike", cells, every, f"strikes of {who} only{days}", paired=True)
    alone = "; athlete and technique were changed together" if people > 1 else ""
    whole: Cell = (list(one), list(other))
    return Design(
        unit="strike", is_paired=False, cells=(whole,), left_out=0, reach=f"strikes of {who} only{alone}"
    )


def _has_scatter(cells: Sequence[Cell]) -> bool:
    """Return whether some cell of either side has two strikes, so that their scatter shows."""
    return all(any(len(cell[side]) > 1 for cell in cells) for side in (0, 1))


def _design(unit: Unit, cells: Sequence[Cell], every: Sequence[Cell], reach: str, *, paired: bool) -> Design:
    total = sum(len(side) for cell in every for side in cell)
    used = sum(len(side) for cell in cells for side in cell)
    return Design(unit=unit, is_paired=paired, cells=tuple(cells), left_out=total - used, reach=reach)


def _cells(one: Sequence[Trial], other: Sequence[Trial], key: Key) -> list[Cell]:
    first, second = groups_of(one, key), groups_of(other, key)
    return [(first.get(name, []), second.get(name, [])) for name in dict.fromkeys((*first, *second))]
