"""Groups of trials against each other: each for itself, all pairs, what strikes differ by."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import combinations

from tameshi.comparison.claim import NONE, Claim, Told, Write, claim_of, in_si
from tameshi.comparison.difference import Difference, difference
from tameshi.comparison.mixed import Components, components_of
from tameshi.comparison.one_way import OneWay, one_way
from tameshi.comparison.planned import Planned, Wanted, planned
from tameshi.comparison.reliability import Reliability, reliability, table_of
from tameshi.comparison.sample import Sample, sample_of
from tameshi.comparison.several import holm
from tameshi.comparison.trend import Trend, trend
from tameshi.comparison.trial import Trial, by_athlete, by_session, groups_of
from tameshi.errors import TameshiError, UnmeasurableError
from tameshi.quantity import LEVEL

Groups = Mapping[str, Sequence[Trial]]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Asked:
    """How groups are to be compared.

    Parameters
    ----------
    figure, by : str
        What is compared, and what the groups differ by on purpose; for the words.
    families : mapping of str to str
        Groups of different families are not set against each other: athletes only within one technique.
        Empty: all pairs.
    apart : mapping of (str, str) to str
        Pairs that may not be compared, with the reason: struck on different pads, say.
    fixed : mapping of str to sequence of Trial or None
        The same trials by technique, for the mixed model; None: the groups are these.
    wanted : Wanted or None
        A difference that is to be seen, for planning.
    with_components : bool
        Whether the mixed model is fitted, which loads a large library.
    """

    figure: str = "figure"
    by: str = "technique"
    families: Mapping[str, str] = field(default_factory=dict)
    apart: Mapping[tuple[str, str], str] = field(default_factory=dict)
    fixed: Groups | None = None
    wanted: Wanted | None = None
    with_components: bool = True


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Group:
    """Trials that belong together, for themselves.

    Parameters
    ----------
    name : str
    sample : Sample
    trend : Trend or None
        None where no session is long enough.
    trend_p : float or None
        p of the trend with all groups of the comparison allowed for.
    reliability : Reliability or None
        None where athletes have not two sessions.
    sessions : OneWay or None
        Whether the sessions of its one athlete differ by more than strikes scatter; None where there are
        several athletes, or not two sessions.
    """

    name: str
    sample: Sample
    trend: Trend | None
    trend_p: float | None
    reliability: Reliability | None
    sessions: OneWay | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Compared:
    """Two groups against each other.

    Parameters
    ----------
    told : Told
    difference : Difference or None
    p_of_several : float or None
        p with all pairs of the comparison allowed for.
    plan : Planned or None
        How many would tell the wanted difference, where one was named.
    why : str
        Why there is no difference; empty where there is one.
    """

    told: Told
    difference: Difference | None
    p_of_several: float | None = None
    plan: Planned | None = None
    why: str = ""

    @property
    def one(self) -> str:
        """Name of the first group."""
        return self.told.one

    @property
    def other(self) -> str:
        """Name of the second group."""
        return self.told.other

    def claim(self, write: Write = in_si) -> Claim:
        """Return what this pair shows, never more than it can."""
        if self.difference is None or self.p_of_several is None:
            words = f"{self.one} and {self.other} were not compared: {self.why}"
            return Claim(strength=NONE, words=words)
        return claim_of(self.told, self.difference, self.p_of_several, write)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Comparison:
    """Groups of trials against each other.

    Parameters
    ----------
    groups : tuple of Group
    pairs : tuple of Compared
    components : Components or None
        What strikes differ by; None where there are too few athletes.
    why_no_components : str
    wanted : Wanted or None
        What was planned for.
    """

    groups: tuple[Group, ...]
    pairs: tuple[Compared, ...]
    components: Components | None
    why_no_components: str
    wanted: Wanted | None


def compare(groups: Groups, asked: Asked | None = None) -> Comparison:
    """Return groups of trials for themselves and against each other.

    Parameters
    ----------
    groups : mapping of str to sequence of Trial
        Techniques, say.
    asked : Asked or None
        None: all pairs, as techniques.
    """
    asked = asked or Asked()
    shown = _with_trend_p([_group(name, trials) for name, trials in groups.items() if trials])
    pairs = [
        _pair(one, other, groups, asked)
        for one, other in combinations(shown, 2)
        if asked.families.get(one.name) == asked.families.get(other.name)
    ]
    components, why = None, "not asked for"
    if asked.with_components:
        try:
            components, why = components_of(asked.fixed or groups), ""
        except TameshiError as error:
            why = error.message
    return Comparison(
        groups=shown,
        pairs=tuple(_with_holm(pairs)),
        components=components,
        why_no_components=why,
        wanted=asked.wanted,
    )


def _group(name: str, trials: Sequence[Trial]) -> Group:
    return Group(
        name=name,
        sample=sample_of(trials),
        trend=_trend(trials),
        trend_p=None,
        reliability=_reliability(trials),
        sessions=_between_sessions(trials),
    )


def _trend(trials: Sequence[Trial]) -> Trend | None:
    try:
        return trend(trials)
    except UnmeasurableError:
        return None


def _between_sessions(trials: Sequence[Trial]) -> OneWay | None:
    """Return whether the sessions of one athlete differ by more than strikes scatter."""
    if len(groups_of(trials, by_athlete)) > 1:
        return None  # what athletes and sessions differ by is then for the mixed model
    values = [[trial.value.value for trial in own] for own in groups_of(trials, by_session).values()]
    try:
        return one_way(values)
    except UnmeasurableError:
        return None


def _with_trend_p(groups: Sequence[Group]) -> tuple[Group, ...]:
    adjusted = iter(holm([group.trend.p for group in groups if group.trend is not None]))
    return tuple(group if group.trend is None else replace(group, trend_p=next(adjusted)) for group in groups)


def _reliability(trials: Sequence[Trial]) -> Reliability | None:
    table, left_out = table_of(trials)
    try:
        return replace(reliability(table), left_out=left_out)
    except UnmeasurableError:
        return None


def _pair(one: Group, other: Group, groups: Groups, asked: Asked) -> Compared:
    trends = tuple(filter(None, map(_course, (one, other))))
    told = Told(one=one.name, other=other.name, figure=asked.figure, by=asked.by, trends=trends)
    why = asked.apart.get((one.name, other.name), "")
    if why:
        return Compared(told=told, difference=None, why=why)
    found, why = None, ""
    try:
        found = difference(groups[one.name], groups[other.name], by=asked.by)
    except TameshiError as error:
        why = error.message
    plan = planned(one.sample, other.sample, found, asked.wanted) if asked.wanted else None
    return Compared(told=told, difference=found, plan=plan, why=why)


def _course(group: Group) -> str:
    """Return what a group does over a session in words; nothing where that is not clear."""
    if group.trend is None or group.trend_p is None or group.trend_p >= 1.0 - LEVEL:
        return ""
    change = group.trend.over_session
    name = group.name[:1].upper() + group.name[1:]
    return f"{name} {'rises' if change > 0.0 else 'falls'} by {100.0 * abs(change):.0f} % over a session"


def _with_holm(pairs: Sequence[Compared]) -> list[Compared]:
    adjusted = iter(holm([pair.difference.p for pair in pairs if pair.difference is not None]))
    return [pair if pair.difference is None else replace(pair, p_of_several=next(adjusted)) for pair in pairs]
