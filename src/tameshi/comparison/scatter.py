"""How much strikes scatter within an athlete's session, and what are the units of a mean of them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tameshi.comparison.trial import Trial, by_athlete, by_session, groups_of, mean_of
from tameshi.reference import row


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Units:
    """What would be drawn anew, were a mean taken again.

    Parameters
    ----------
    kind : str
        ``"athlete"``, ``"session"`` or ``"strike"``.
    units : tuple of list of Trial
    u : float
        Standard uncertainty of the mean of the units from their scatter; nought of a single strike.
    dof : float
    reach : str
        What the mean holds for, in words.
    """

    kind: str
    units: tuple[list[Trial], ...]
    u: float
    dof: float
    reach: str


def spread_within(groups: Sequence[Sequence[Trial]]) -> tuple[float, int]:
    """Return the standard deviation within groups, pooled, and its degrees of freedom; nought of none."""
    dof = sum(len(group) - 1 for group in groups)
    if dof == 0:
        return 0.0, 0
    squares = sum(float(np.var([trial.value.value for trial in group]) * len(group)) for group in groups)
    return math.sqrt(squares / dof), dof


def units_of(trials: Sequence[Trial]) -> Units:
    """Return the units of the mean of some trials: athletes, sessions, strikes, the farthest-reaching first.

    Parameters
    ----------
    trials : sequence of Trial, at least one
    """
    fewest = int(row("comparison_limits", "fewest units")["limit"])
    athletes, sessions = (list(groups_of(trials, key).values()) for key in (by_athlete, by_session))
    if len(athletes) >= fewest:
        return _drawn("athlete", athletes, f"athletes like these {len(athletes)}")
    if len(athletes) == 1 and len(sessions) >= fewest:
        return _drawn("session", sessions, f"sessions like these {len(sessions)} of this one athlete")
    sd, dof = spread_within(sessions)
    if dof == 0 and len(trials) > 1:  # one strike a session: their scatter together is all there is
        sd, dof = spread_within([trials])
    strikes = tuple([trial] for trial in trials)
    reach = f"strikes {people_and_days(trials)} only"
    return Units(
        kind="strike", units=strikes, u=sd / math.sqrt(len(trials)), dof=max(1.0, float(dof)), reach=reach
    )


def people_and_days(trials: Sequence[Trial]) -> str:
    """Return whose strikes these are, and of how many sessions, in words."""
    people, days = len(groups_of(trials, by_athlete)), len({trial.session for trial in trials})
    who = "this one athlete" if people == 1 else f"these {people} athletes"
    return f"of {who} in {'this one session' if days == 1 else f'these {days} sessions'}"


def _drawn(kind: str, units: Sequence[list[Trial]], reach: str) -> Units:
    means = [mean_of(unit) for unit in units]
    u = float(np.std(means, ddof=1)) / math.sqrt(len(means))
    return Units(kind=kind, units=tuple(units), u=u, dof=len(means) - 1.0, reach=reach)
