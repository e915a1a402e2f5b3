"""From a comparison to the rows of its tables and the remarks below them."""

from __future__ import annotations

from collections.abc import Iterator

from tameshi.comparison import Compared, Comparison, Group
from tameshi.quantity import LEVEL, Quantity
from tameshi.report.comparison.parts import GroupRow, PairRow, PlanRow
from tameshi.report.notation import Notation

_LEAST_P = 0.001
_LEAST_SHARE = 0.001


def group_row(group: Group, notation: Notation) -> GroupRow:
    """Return one group for itself."""
    sample = group.sample
    unit, mean = sample.mean.unit, sample.mean.value
    counts = ", ".join(
        counted_in_words(count, one)
        for count, one in (
            (len(sample.trials), "strike"),
            (sample.athletes, "athlete"),
            (sample.sessions, "session"),
        )
    )
    sd = None
    if sample.sd is not None and sample.sd_interval is not None:
        sd = notation.entry(Quantity(float(f"{sample.sd:.4g}"), unit).with_interval(*sample.sd_interval))
    return GroupRow(
        name=group.name,
        counts=counts,
        mean=notation.entry(sample.mean),
        typical=notation.entry(Quantity(sample.median, unit)),
        least=notation.entry(Quantity(sample.least, unit)),
        best=notation.entry(Quantity(sample.greatest, unit)),
        sd=sd,
        cv="–" if sample.cv is None else share_in_words(sample.cv),
        human="–" if sample.human_sd is None or not mean else share_in_words(sample.human_sd / mean),
        measuring=share_in_words(sample.measurement_u / mean) if mean else "–",
    )


def pair_row(pair: Compared, notation: Notation) -> PairRow:
    """Return two groups against each other."""
    name, found = f"{pair.one} less {pair.other}", pair.difference
    claim = pair.claim(lambda quantity: str(notation.entry(quantity)))
    if found is None:
        return PairRow(name=name, claim=claim, difference=None)
    effect, exceeding, bootstrap = found.hedges_g, found.exceeding, "–"
    if found.bootstrap is not None:
        shown = notation.entry(found.value.with_interval(*found.bootstrap)).shown[0]
        bootstrap = f"{shown.low} to {shown.high}\u00a0{shown.unit}"
    return PairRow(
        name=name,
        claim=claim,
        difference=notation.entry(found.value),
        relative=f"{100.0 * found.relative:+.1f}\u00a0%",
        p=p_in_words(found.p),
        p_of_several="–" if pair.p_of_several is None else p_in_words(pair.p_of_several),
        effect="–" if effect is None else f"{effect.value:.2f} ({effect.low:.2f} to {effect.high:.2f})",
        exceeding="–"
        if exceeding is None
        else "{:.0f}\u00a0% ({:.0f} to {:.0f}\u00a0%)".format(
            *(100.0 * share for share in (exceeding.value, exceeding.low, exceeding.high))
        ),
        bootstrap=bootstrap,
    )


def plan_rows(comparison: Comparison, notation: Notation) -> Iterator[PlanRow]:
    """Return how many it takes to see the wanted difference of each pair."""
    for pair in comparison.pairs:
        plan = pair.plan
        if plan is None:
            continue
        strikes = width = "more than could be struck"
        if plan.strikes is not None:
            span = "" if plan.strikes_range is None else " ({} to {})".format(*plan.strikes_range)
            strikes, width = f"{plan.strikes.by_power}{span}", str(plan.strikes.by_width)
        athletes = "not known"
        if plan.athletes is not None:
            athletes = (
                f"{plan.athletes.by_power} ({plan.athletes.by_width} by width), {plan.each} strikes each"
            )
        gap = Quantity(float(f"{plan.gap:.4g}"), plan.unit)
        yield PlanRow(
            name=f"{pair.one} and {pair.other}",
            gap=notation.entry(gap),
            strikes=strikes,
            by_width=width,
            athletes=athletes,
        )


def remarks_of(comparison: Comparison, figure: str, notation: Notation) -> Iterator[str]:
    """Return what means hold for, what stands out, trends, reliability, and what strikes differ by."""
    for reach in dict.fromkeys(group.sample.reach for group in comparison.groups):
        named = [group.name for group in comparison.groups if group.sample.reach == reach]
        which = "" if len(named) == len(comparison.groups) else f" of {', '.join(named)}"
        yield f"Means{which} hold for {reach}."
    for group in comparison.groups:
        for place in group.sample.outliers:
            trial = group.sample.trials[place]
            yield (
                f"{group.name}: {trial.label} stands out with {notation.entry(trial.value)}. It is kept in "
                "every figure; look at its recording."
            )
    for group in comparison.groups:
        yield from _course(group)
        yield from _sessions(group)
        yield from _reliability(group, notation)
    found = comparison.components
    if found is not None:
        overall = sum(found.means.values()) / len(found.means)
        parts = [("athletes", found.athlete_sd), ("sessions", found.session_sd), ("strikes", found.strike_sd)]
        told = ", ".join(f"{name} {share_in_words(sd / overall)}" for name, sd in parts if sd is not None)
        yield f"What {figure} differs by, techniques allowed for (mixed model, standard deviations): {told}."


def _course(group: Group) -> Iterator[str]:
    trend, p = group.trend, group.trend_p
    if trend is None or p is None:
        return
    low, high = (f"{100.0 * end:+.0f}" for end in trend.over_interval)
    span = f"{100.0 * trend.over_session:+.0f}\u00a0% ({low} to {high}\u00a0%) over a session, {trend.reach}"
    name = group.name[:1].upper() + group.name[1:]
    if p < 1.0 - LEVEL:
        yield f"{name} {'rises' if trend.over_session > 0.0 else 'falls'}: {span}."
    else:
        chance = trend.p < 1.0 - LEVEL
        said = "a trend that may be chance among so many groups" if chance else "no clear trend"
        yield f"{name}: {said}, {span}."


def _sessions(group: Group) -> Iterator[str]:
    found = group.sessions
    if found is None:
        return
    differ = "differ by more than strikes scatter" if found.p < 1.0 - LEVEL else "do not clearly differ"
    name = group.name[:1].upper() + group.name[1:]
    yield f"{name}: its {group.sample.sessions} sessions {differ} (F {found.f:.2f}, p {p_in_words(found.p)})."


def _reliability(group: Group, notation: Notation) -> Iterator[str]:
    found = group.reliability
    if found is None:
        return
    unit = group.sample.mean.unit
    sem, change = (
        notation.entry(Quantity(float(f"{value:.3g}"), unit))
        for value in (found.sem_agreement, found.smallest_change)
    )
    one, other = found.agreement, found.consistency
    yield (
        f"{group.name}, session means of {found.subjects} athletes in {found.occasions} sessions: ICC(2,1) "
        f"{one.value:.2f} ({one.low:.2f} to {one.high:.2f}), ICC(3,1) {other.value:.2f} ({other.low:.2f} to "
        f"{other.high:.2f}); standard error of measurement {sem}; a change of one athlete is more than "
        f"chance from {change} on."
    )


def counted_in_words(count: int, one: str) -> str:
    """Return a count with its noun."""
    return f"{count} {one}{'' if count == 1 else 's'}"


def share_in_words(share: float) -> str:
    """Return a share in percent."""
    return f"{100.0 * share:.1f}\u00a0%" if abs(share) >= _LEAST_SHARE else "under 0.1\u00a0%"


def p_in_words(p: float) -> str:
    """Return a probability with three decimals."""
    return "<\u00a00.001" if p < _LEAST_P else f"{p:.3f}"
