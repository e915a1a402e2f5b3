"""Whether strikes change within a session: warming up, tiring."""

from __future__ import annotations

import hashlib
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import stdtr

from tameshi.comparison.sample import digest
from tameshi.comparison.trial import Trial, by_session, groups_of
from tameshi.errors import UnmeasurableError
from tameshi.quantity import Quantity, Source

_FEWEST = 4  # strikes in one session


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Trend:
    """Change within a session.

    Parameters
    ----------
    per_strike : Quantity
        Mean change from one strike to the next, in the unit of the trials.
    over_session : float
        What that adds up to over a session of mean length, over the mean.
    p : float
        Two-sided, were there no change.
    strikes, sessions : int
    """

    per_strike: Quantity
    over_session: float
    p: float
    strikes: int
    sessions: int


def trend(trials: Sequence[Trial]) -> Trend:
    """Return how a figure changes from strike to strike within sessions.

    Parameters
    ----------
    trials : sequence of Trial
        In each session they are counted in their order.

    Raises
    ------
    UnmeasurableError
        ``too-few-trials`` where no session has four strikes.

    Notes
    -----
    One straight line for all sessions, each about its own mean (least squares). Errors that the trials of a
    session share change its level and not its slope; the rest is in the scatter.
    """
    sessions = [one for one in groups_of(trials, by_session).values() if len(one) >= _FEWEST]
    if not sessions:
        raise UnmeasurableError(
            "too-few-trials", f"A trend takes {_FEWEST} strikes in one session.", hint="Strike more."
        )
    x, y = [], []
    for one in sessions:
        ordered = sorted(one, key=lambda trial: trial.order)
        places = np.arange(len(ordered)) - 0.5 * (len(ordered) - 1)
        values = np.array([trial.value.value for trial in ordered])
        x.append(places)
        y.append(values - values.mean())
    place, value = np.concatenate(x), np.concatenate(y)
    spread = float(place @ place)
    slope = float(place @ value) / spread
    dof = len(place) - len(sessions) - 1.0
    rest = value - slope * place
    u = math.sqrt(float(rest @ rest) / dof / spread)
    used = [trial for one in sessions for trial in one]
    key = hashlib.sha256(digest(used).encode()).hexdigest()[:16]
    unit = used[0].value.unit
    found = Quantity(slope, unit, {Source(f"trend:{key}", "scatter of strikes", dof): u})
    mean = float(np.mean([trial.value.value for trial in used]))
    length = float(np.mean([len(one) for one in sessions])) - 1.0
    return Trend(
        per_strike=found,
        over_session=slope * length / mean if mean else math.nan,
        p=float(2.0 * stdtr(dof, -abs(slope) / u)) if u > 0.0 else float(slope == 0.0),
        strikes=len(used),
        sessions=len(sessions),
    )
