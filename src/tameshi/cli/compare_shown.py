"""Show a comparison to a person: each group, all pairs with what they show, what would show more."""

from __future__ import annotations

from tameshi.cli.shown import both_units, print_table, say
from tameshi.comparison import Compared, Comparison, Group, Planned
from tameshi.quantity import Quantity, System, show
from tameshi.study import Trials

_LIMIT = 0.05


def show_comparison(comparison: Comparison, trials: Trials, system: System) -> None:
    """Print a comparison for a person."""
    figure = trials.figure.replace("_", " ")
    if not comparison.groups:
        say(f"No strike of this study has a {figure}.")
    else:
        _show_groups(comparison, trials, figure, system)
        _show_pairs(comparison, trials.by, system)
        _show_components(comparison, figure)
        _show_plans(comparison, system)
    for note in trials.notes:
        say(f"  - {note}")
    for missing in trials.without:
        say(f"  - left out, {missing}")
    if comparison.groups:
        say("  A larger figure is no better strike: none of this says what a strike may be used for.")


def _show_groups(comparison: Comparison, trials: Trials, figure: str, system: System) -> None:
    by = trials.by
    headings = (by, "n", "athletes", "sessions", "mean (95 %)", "also", "typical", "least", trials.greatest)
    print_table(figure, headings, [_typical_row(group, system) for group in comparison.groups])
    scatter = (by, "SD (95 %)", "CV", "of it human", "of it measuring", "SD of all together")
    print_table(
        "scatter from strike to strike, within an athlete's session",
        scatter,
        [_scatter_row(group, system) for group in comparison.groups],
    )
    for reach in dict.fromkeys(group.sample.reach for group in comparison.groups):
        named = [group.name for group in comparison.groups if group.sample.reach == reach]
        which = "" if len(named) == len(comparison.groups) else f" of {', '.join(named)}"
        say(f"  Means{which} hold for {reach}.")
    for group in comparison.groups:
        _show_apart(group, system)


def _typical_row(group: Group, system: System) -> tuple[str, ...]:
    sample = group.sample
    counts = (str(len(sample.trials)), str(sample.athletes), str(sample.sessions))
    ends = (
        plain(value, sample.mean.unit, system) for value in (sample.median, sample.least, sample.greatest)
    )
    return group.name, *counts, *both_units(sample.mean, system), *ends


def _scatter_row(group: Group, system: System) -> tuple[str, ...]:
    sample = group.sample
    unit = sample.mean.unit
    sd = "-"
    if sample.sd is not None and sample.sd_interval is not None:
        sd = str(show(_rounded(sample.sd, unit).with_interval(*sample.sd_interval), system))
    return (
        group.name,
        sd,
        "-" if sample.cv is None else f"{sample.cv:.1%}",
        plain(sample.human_sd, unit, system),
        plain(sample.measurement_u, unit, system),
        plain(sample.total_sd, unit, system),
    )


def plain(value: float | None, unit: str, system: System) -> str:
    """Return a figure without interval, in the units of a system."""
    if value is None:
        return "-"
    shown = show(_rounded(value, unit), system)
    return f"{shown.value} {shown.unit}"


def _rounded(value: float, unit: str) -> Quantity:
    return Quantity(float(f"{value:.4g}"), unit)


def _show_apart(group: Group, system: System) -> None:
    sample, found, repeated = group.sample, group.trend, group.reliability
    for place in sample.outliers:
        trial = sample.trials[place]
        say(
            f"  ! {group.name}: {trial.label} ({plain(trial.value.value, trial.value.unit, system)}) "
            "stands out; it was kept in every figure."
        )
    if found is not None:
        low, high = found.over_interval
        span = f"{found.over_session:+.1%} ({low:+.1%} to {high:+.1%}) over a session, for {found.reach}"
        if group.trend_p is not None and group.trend_p < _LIMIT:
            say(f"  ! {group.name} {'rises' if found.over_session > 0.0 else 'falls'}: {span}.")
        elif found.p < _LIMIT:
            say(f"  {group.name}: a trend that may be chance among so many groups, {span}.")
        else:
            say(f"  {group.name}: no clear trend, {span}.")
    if group.sessions is not None:
        differ = (
            "differ by more than strikes scatter" if group.sessions.p < _LIMIT else "do not clearly differ"
        )
        test = f"F {group.sessions.f:.2f}, p {_p(group.sessions.p)}"
        say(f"  {group.name}: its {sample.sessions} sessions {differ} ({test}).")
    if repeated is not None:
        one, other = repeated.agreement, repeated.consistency
        say(
            f"  {group.name}, means of {repeated.subjects} athletes in {repeated.occasions} sessions: "
            f"ICC(2,1) {one.value:.2f} ({one.low:.2f} to {one.high:.2f}), ICC(3,1) {other.value:.2f} "
            f"({other.low:.2f} to {other.high:.2f}); standard error of measurement "
            f"{plain(repeated.sem_agreement, sample.mean.unit, system)}, smallest change of one athlete that "
            f"is more than chance {plain(repeated.smallest_change, sample.mean.unit, system)} "
            f"({repeated.smallest_change / sample.mean.value:.1%})"
            f"{f'; {repeated.left_out} sessions left out' if repeated.left_out else ''}."
        )


def _show_pairs(comparison: Comparison, by: str, system: System) -> None:
    if not comparison.pairs:
        if len(comparison.groups) > 1:
            say(f"  Nothing to set against each other: no technique has two {by}s.")
        return
    headings = ("pair", "difference (95 %)", "also", "relative", "p", "p of all")
    print_table("differences", headings, [_pair_row(pair, system) for pair in comparison.pairs])
    found = [pair for pair in comparison.pairs if pair.difference is not None]
    if found:
        ways = ("pair", "BCa (95 %)", "Hedges g (95 %)", "a strike of the first exceeds one of the second")
        print_table("the same, otherwise", ways, [_other_row(pair, system) for pair in found])
    for pair in comparison.pairs:
        claim = pair.claim(lambda quantity: str(show(quantity, system)))
        say(f"  [{claim.strength}] {claim.words}", *(f"      {limit}" for limit in claim.limits))


def _pair_row(pair: Compared, system: System) -> tuple[str, ...]:
    name, found = f"{pair.one} - {pair.other}", pair.difference
    if found is None:
        return name, f"not compared: {pair.why}", "", "", "", ""
    return (
        name,
        *both_units(found.value, system),
        f"{found.relative:+.1%}",
        _p(found.p),
        "-" if pair.p_of_several is None else _p(pair.p_of_several),
    )


def _other_row(pair: Compared, system: System) -> tuple[str, ...]:
    found = pair.difference
    if found is None:
        return (f"{pair.one} - {pair.other}",)
    effect, exceeding, bootstrap = found.hedges_g, found.exceeding, "too few, or too many"
    if found.bootstrap is not None:
        shown = show(found.value.with_interval(*found.bootstrap), system)
        bootstrap = f"{shown.low} to {shown.high} {shown.unit}"
    return (
        f"{pair.one} - {pair.other}",
        bootstrap,
        "-" if effect is None else f"{effect.value:.2f} ({effect.low:.2f} to {effect.high:.2f})",
        "-" if exceeding is None else f"{exceeding.value:.0%} ({exceeding.low:.0%} to {exceeding.high:.0%})",
    )


def _p(p: float) -> str:
    return "< 0.001" if p < 1e-3 else f"{p:.3f}"  # noqa: PLR2004


def _show_components(comparison: Comparison, figure: str) -> None:
    found = comparison.components
    if found is None:
        say(f"  No mixed model: {comparison.why_no_components}")
        return
    overall = sum(found.means.values()) / len(found.means)
    parts = [f"athletes {found.athlete_sd / overall:.1%}"]
    if found.session_sd is not None:
        parts.append(f"sessions {found.session_sd / overall:.1%}")
    parts.append(f"strikes {found.strike_sd / overall:.1%}")
    say(
        f"  What {figure} differs by, techniques allowed for (standard deviations by a mixed model of "
        f"{found.athletes} athletes and {found.sessions} sessions): {', '.join(parts)}."
    )


def _show_plans(comparison: Comparison, system: System) -> None:
    wanted = comparison.wanted
    planned = [pair for pair in comparison.pairs if pair.plan is not None]
    if wanted is None or not planned:
        return
    headings = (
        "to see",
        "a difference of",
        "strikes by power",
        "were the scatter",
        "by width",
        "athletes by power",
        "by width",
    )
    rows = [_plan_row(pair, pair.plan, system) for pair in planned if pair.plan is not None]
    print_table(
        f"how many it takes to see {wanted.share:.1%} of the second, in {wanted.power:.0%} of comparisons",
        headings,
        rows,
    )
    say(
        "  Strikes: of each technique, by one athlete in one session. By power: the difference is found. "
        "By width: the interval is narrower than the difference to either side."
    )
    for why in dict.fromkeys(pair.plan.why for pair in planned if pair.plan is not None and pair.plan.why):
        say(f"  {why}")


def _plan_row(pair: Compared, plan: Planned, system: System) -> tuple[str, ...]:
    strikes, athletes, span = plan.strikes, plan.athletes, plan.strikes_range
    return (
        f"{pair.one} - {pair.other}",
        plain(plan.gap, plan.unit, system),
        "-" if strikes is None else str(strikes.by_power),
        "-" if span is None else f"{span[0]} to {span[1]}",
        "-" if strikes is None else str(strikes.by_width),
        "-" if athletes is None else f"{athletes.by_power} x {plan.each} strikes",
        "-" if athletes is None else str(athletes.by_width),
    )
