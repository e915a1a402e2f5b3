"""One measured value of one strike, and who struck it when."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from tameshi.errors import UnitError, UnmeasurableError
from tameshi.quantity import Quantity


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Trial:
    """One measured value.

    Parameters
    ----------
    value : Quantity
    athlete, session : str
        Codes; empty where they are not known.
    order : float
        Place within its session: a number or a time, rising.
    label : str
        What people know it by: ``"evening.csv:3"``.
    recording : str
        What its recording is known by; times within one recording are of one clock.
    at : float or None
        Time in that recording. [s]
    """

    value: Quantity
    athlete: str = ""
    session: str = ""
    order: float = 0.0
    label: str = ""
    recording: str = ""
    at: float | None = None


Key = Callable[[Trial], object]


def by_athlete(trial: Trial) -> str:
    """Return what trials of one athlete share."""
    return trial.athlete


def by_session(trial: Trial) -> tuple[str, str]:
    """Return what trials of one session of one athlete share."""
    return trial.athlete, trial.session


def groups_of(trials: Iterable[Trial], key: Key) -> dict[object, list[Trial]]:
    """Return the trials by a key, in order of appearance."""
    found: dict[object, list[Trial]] = {}
    for trial in trials:
        name = key(trial)
        own = found.get(name)
        if own is None:
            found[name] = [trial]
        else:
            own.append(trial)
    return found


def mean_of(trials: Sequence[Trial]) -> float:
    """Return the plain mean of the values."""
    return math.fsum(trial.value.value for trial in trials) / len(trials)


def require(trials: Sequence[Trial], fewest: int, what: str) -> None:
    """Refuse too few trials, or trials of different units.

    Raises
    ------
    UnmeasurableError
        ``too-few-trials``.
    UnitError
        ``wrong-unit``.
    """
    if len(trials) < fewest:
        raise UnmeasurableError(
            "too-few-trials",
            f"{what} takes {fewest} trials, and there {'is' if len(trials) == 1 else 'are'} {len(trials)}.",
            hint="Strike more.",
        )
    units = {trial.value.unit for trial in trials}
    if len(units) > 1:
        raise UnitError("wrong-unit", f"Trials in {' and '.join(sorted(units))} cannot be compared.")
