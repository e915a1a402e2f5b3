"""Groups of trials against each other: each for itself, all pairs, what strikes differ by."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from tameshi.comparison.difference import Difference, difference
from tameshi.comparison.mixed import Components, components_of
from tameshi.comparison.plan import Plan, plan_strikes
from tameshi.comparison.reliability import Reliability, reliability, table_of
from tameshi.comparison.sample import Sample, sample_of
from tameshi.comparison.several import holm
from tameshi.comparison.trend import Trend, trend
from tameshi.comparison.trial import Trial
from tameshi.errors import TameshiError, UnmeasurableError


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Group:
    """Trials that belong together, for themselves.

    Parameters
    ----------
    name : str
    sample : Sample
    trend : Trend or None
        None where no session is long enough.
    reliability : Reliability or None
        None where athletes have not two sessions.
    """

    name: str
    sample: Sample
    trend: Trend | None
    reliability: Reliability | None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Compared:
    """Two groups against each other.

    Parameters
    ----------
    one, other : str
    difference : Difference or None
    p_of_several : float or None
        p with all pairs of the comparison allowed for.
    why : str
        Why there is no difference; empty where there is one.
    """

    one: str
    other: str
    difference: Difference | None
    p_of_several: float | None = None
    why: str = ""

    @property
    def words(self) -> str:
        """What this pair shows, in a sentence, never more than it can."""
        found = self.difference
        if found is None:
            return f"{self.one} and {self.other} were not compared: {self.why}"
        more = "more" if found.value.value > 0.0 else "less"
        size = f"{self.one} gives {abs(found.relative):.1%} {more} than {self.other}"
        share = f" for {found.design.reach}"
        if not found.is_clear:
            return f"No clear difference{share}: {size}, and the interval holds zero."
        if self.p_of_several is not None and self.p_of_several >= 0.05:  # noqa: PLR2004
            return f"{size}{share}, but among so many comparisons that may be chance."
        return f"{size}{share}."


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
    plan : Plan or None
        How many strikes tell the wanted difference, where one was named.
    """

    groups: tuple[Group, ...]
    pairs: tuple[Compared, ...]
    components: Components | None
    why_no_components: str
    plan: Plan | None


def compare(
    groups: Mapping[str, Sequence[Trial]],
    *,
    apart: Mapping[tuple[str, str], str] | None = None,
    gap: float | None = None,
    with_components: bool = True,
) -> Comparison:
    """Return groups of trials for themselves and against each other.

    Parameters
    ----------
    groups : mapping of str to sequence of Trial
        Techniques, say.
    apart : mapping of (str, str) to str
        Pairs that may not be compared, with the reason: struck on different pads, say.
    gap : float or None
        A difference that is to be seen, for planning: share of the mean of all.
    with_components : bool
        Whether the mixed model is fitted, which loads a large library.
    """
    shown = tuple(_group(name, trials) for name, trials in groups.items() if trials)
    pairs = _with_holm(
        [
            _pair(one, other, groups, (apart or {}).get((one, other), ""))
            for one, other in combinations((group.name for group in shown), 2)
        ]
    )
    components, why = None, "not asked for"
    if with_components:
        try:
            components, why = components_of(groups), ""
        except TameshiError as error:
            why = error.message
    return Comparison(
        groups=shown,
        pairs=tuple(pairs),
        components=components,
        why_no_components=why,
        plan=None if gap is None else _plan(shown, gap),
    )


def _group(name: str, trials: Sequence[Trial]) -> Group:
    return Group(
        name=name,
        sample=sample_of(trials),
        trend=_trend(trials),
        reliability=_reliability(trials),
    )


def _trend(trials: Sequence[Trial]) -> Trend | None:
    try:
        return trend(trials)
    except UnmeasurableError:
        return None


def _reliability(trials: Sequence[Trial]) -> Reliability | None:
    table, left_out = table_of(trials)
    try:
        return replace(reliability(table), left_out=left_out)
    except UnmeasurableError:
        return None


def _pair(one: str, other: str, groups: Mapping[str, Sequence[Trial]], why: str) -> Compared:
    if why:
        return Compared(one=one, other=other, difference=None, why=why)
    try:
        return Compared(one=one, other=other, difference=difference(groups[one], groups[other]))
    except TameshiError as error:
        return Compared(one=one, other=other, difference=None, why=error.message)


def _with_holm(pairs: Sequence[Compared]) -> list[Compared]:
    adjusted = iter(holm([pair.difference.p for pair in pairs if pair.difference is not None]))
    return [pair if pair.difference is None else replace(pair, p_of_several=next(adjusted)) for pair in pairs]


def _plan(groups: Sequence[Group], gap: float) -> Plan | None:
    """Return how many strikes tell a difference, from the scatter that these groups have."""
    spreads = [(group.sample.sd**2, len(group.sample.trials) - 1) for group in groups if group.sample.sd]
    if not spreads:
        return None
    pooled = sum(square * dof for square, dof in spreads) / sum(dof for _, dof in spreads)
    count = sum(len(group.sample.trials) for group in groups)
    mean = sum(group.sample.mean.value * len(group.sample.trials) for group in groups) / count
    return plan_strikes(gap * abs(mean), pooled**0.5)
