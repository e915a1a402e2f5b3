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

from tameshi.comparison.scatter import people_and_days
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
    doubt : str
        What was changed together with what is compared, in words; empty where nothing was.
    """

    unit: Unit
    is_paired: bool
    cells: tuple[Cell, ...]
    left_out: int
    reach: str
    doubt: str = ""


def design_of(one: Sequence[Trial], other: Sequence[Trial], *, by: str = "technique") -> Design:
    """Return the comparison that two sets of trials allow, the farthest-reaching first.

    Parameters
    ----------
    one, other : sequence of Trial, at least one each
    by : str
        What they differ by on purpose: ``"athlete"`` and ``"session"`` are then no doubt about the result.
    """
    fewest = int(row("comparison_limits", "fewest units")["limit"])
    athletes, sessions = _cells(one, other, by_athlete), _cells(one, other, by_session)
    both = [cell for cell in athletes if all(cell)]
    if len(both) >= fewest:
        reach = f"athletes like these {len(both)}"
        return _design("athlete", both, athletes, reach, paired=True, doubt=_days(both, by))
    if not both and _enough(athletes, fewest):
        reach = "athletes like these, each of whom struck one way only"
        return _design("athlete", athletes, athletes, reach, paired=False)
    both_sessions = [cell for cell in sessions if all(cell)]
    if len(athletes) == 1 and len(both_sessions) >= fewest:
        reach = f"sessions like these {len(both_sessions)} of this one athlete"
        return _design("session", both_sessions, sessions, reach, paired=True)
    alone = all(sum(bool(cell[side]) for cell in athletes) == 1 for side in (0, 1))
    if not both_sessions and alone and _enough(sessions, fewest):
        who = "this one athlete" if len(athletes) == 1 else "these 2 athletes"
        doubt = f"athlete and {by} were changed together" if len(athletes) > 1 and by != "athlete" else ""
        reach = f"sessions like these of {who}, in each of which one way was struck"
        return _design("session", sessions, sessions, reach, paired=False, doubt=doubt)
    return _by_strike((one, other), both_sessions, both, sessions, by=by)


def _enough(cells: Sequence[Cell], fewest: int) -> bool:
    return all(sum(bool(cell[side]) for cell in cells) >= fewest for side in (0, 1))


def _by_strike(
    sides: tuple[Sequence[Trial], Sequence[Trial]],
    by_sessions: Sequence[Cell],
    by_athletes: Sequence[Cell],
    every: Sequence[Cell],
    *,
    by: str,
) -> Design:
    for cells in (by_sessions, by_athletes):
        if cells and _has_scatter(cells):
            used = [trial for cell in cells for side in cell for trial in side]
            doubt = (
                "" if cells is by_sessions or by == "session" else "they were struck in different sessions"
            )
            reach = f"strikes {people_and_days(used)} only"
            return _design("strike", cells, every, reach, paired=True, doubt=doubt)
    one, other = sides
    return Design(
        unit="strike",
        is_paired=False,
        cells=((list(one), list(other)),),
        left_out=0,
        reach=f"strikes {people_and_days([*one, *other])} only",
        doubt=_together(one, other, by),
    )


def _days(cells: Sequence[Cell], by: str) -> str:
    """Return that nobody struck both ways in one session, in words; nothing where somebody did."""
    same = any({one.session for one in cell[0]} & {one.session for one in cell[1]} for cell in cells)
    return "" if same or by == "session" else "they were struck in different sessions"


def _together(one: Sequence[Trial], other: Sequence[Trial], by: str) -> str:
    """Return what else than the wanted difference lies between two sets of trials, in words."""
    if by == "athlete":
        return "" if _session_names(one) & _session_names(other) else "they were struck in different sessions"
    if not set(groups_of(one, by_athlete)) & set(groups_of(other, by_athlete)):
        return f"athlete and {by} were changed together"
    if by != "session" and not set(groups_of(one, by_session)) & set(groups_of(other, by_session)):
        return "they were struck in different sessions"
    return ""


def _session_names(trials: Sequence[Trial]) -> set[str]:
    """Return the names of the sessions of some trials, whoever struck."""
    return {trial.session for trial in trials}


def _has_scatter(cells: Sequence[Cell]) -> bool:
    """Return whether some cell of either side has two strikes, so that their scatter shows."""
    return all(any(len(cell[side]) > 1 for cell in cells) for side in (0, 1))


def _design(
    unit: Unit, cells: Sequence[Cell], every: Sequence[Cell], reach: str, *, paired: bool, doubt: str = ""
) -> Design:
    total = sum(len(side) for cell in every for side in cell)
    used = sum(len(side) for cell in cells for side in cell)
    return Design(
        unit=unit,
        is_paired=paired,
        cells=tuple(cells),
        left_out=total - used,
        reach=reach,
        doubt=doubt,
    )


def _cells(one: Sequence[Trial], other: Sequence[Trial], key: Key) -> list[Cell]:
    first, second = groups_of(one, key), groups_of(other, key)
    return [(first.get(name, []), second.get(name, [])) for name in dict.fromkeys((*first, *second))]
