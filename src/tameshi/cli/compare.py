"""tameshi compare: techniques, athletes, sessions, hands and pads against each other."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tameshi.cli import options as given
from tameshi.cli.outcome import print_json
from tameshi.cli.shown import both_units, print_table, say, system_of
from tameshi.errors import WrongUseError

if TYPE_CHECKING:
    from tameshi.comparison import Compared, Comparison, Group
    from tameshi.quantity import System
    from tameshi.study import Trials

_PERCENT = 100.0


def compare(
    folder: Annotated[Path, typer.Argument(help="Folder of the study.")],
    figure: Annotated[
        str, typer.Option("--figure", help="What is compared: peak_force, impulse, mean_pressure, ...")
    ] = "peak_force",
    by: Annotated[
        str, typer.Option("--by", help="Put strikes together by technique, athlete, session, side or pad.")
    ] = "technique",
    see: Annotated[
        float | None,
        typer.Option("--see", help="A difference to be seen, in percent: how many strikes does it take?"),
    ] = None,
    mixed: Annotated[
        bool, typer.Option("--mixed/--no-mixed", help="Fit what strikes differ by with a mixed model.")
    ] = True,
    units: given.Units = "si",
    as_json: given.Json = False,
) -> None:
    """Compare the strikes of a study: which differences are real, and which are scatter."""
    from tameshi.cli.study_work import look_at
    from tameshi.comparison import SCHEMA, comparison_as_dict
    from tameshi.comparison import compare as compare_groups
    from tameshi.study import trials_of

    system = system_of(units)
    if see is not None and not 0.0 < see < 1000.0:  # noqa: PLR2004
        raise WrongUseError("out-of-range", f"{see:g} % is no difference to look for.", hint="Try 10.")
    seen = look_at(folder)
    trials = trials_of(seen.strikes, seen.joined, figure=figure, by=by)
    comparison = compare_groups(
        trials.groups,
        apart=trials.apart,
        gap=None if see is None else see / _PERCENT,
        with_components=mixed,
    )
    if as_json:
        head = {"schema": SCHEMA, "study": seen.name, "figure": figure, "by": by}
        tail = {"without": list(trials.without), "notes": list(trials.notes)}
        print_json({**head, **comparison_as_dict(comparison), **tail})
    else:
        show_comparison(comparison, trials, system)


def show_comparison(comparison: Comparison, trials: Trials, system: System) -> None:
    """Print a comparison for a person."""
    figure = trials.figure.replace("_", " ")
    if not comparison.groups:
        say(f"No strike of this study has a {figure}.")
        return
    headings = (trials.by, "n", f"mean {figure} (95 %)", "scatter", "of it human", "least", "greatest")
    print_table(figure, headings, [_group_row(group, system) for group in comparison.groups])
    _show_apart(comparison)
    if comparison.pairs:
        headings = ("pair", "difference (95 %)", "of the second", "p", "p of all", "g", "one exceeds other")
        print_table("differences", headings, [_pair_row(pair, system) for pair in comparison.pairs])
        say(*(f"  {pair.words}" for pair in comparison.pairs))
    _show_components(comparison, trials)
    if comparison.plan is not None:
        say(f"  {comparison.plan.words}")
    for note in trials.notes:
        say(f"  - {note}")
    for missing in trials.without:
        say(f"  - left out, {missing}")
    say("  A larger figure is no better strike: none of this says what a strike may be used for.")


def _group_row(group: Group, system: System) -> tuple[str, ...]:
    from tameshi.quantity import Quantity, show

    sample = group.sample
    unit = sample.mean.unit

    def plain(value: float | None) -> str:
        if value is None:
            return "-"
        shown = show(Quantity(value, unit), system)
        return f"{shown.value} {shown.unit}"

    scatter = "-" if sample.cv is None else f"{sample.cv:.1%}"
    mean = both_units(sample.mean, system)[0]
    count = str(len(sample.trials))
    return (
        group.name,
        count,
        mean,
        scatter,
        plain(sample.human_sd),
        plain(sample.least),
        plain(sample.greatest),
    )


def _show_apart(comparison: Comparison) -> None:
    for group in comparison.groups:
        sample = group.sample
        for place in sample.outliers:
            say(f"  ! {group.name}: {sample.trials[place].label} stands out; it was kept.")
        found = group.trend
        if found is not None and found.p < 0.05:  # noqa: PLR2004
            way = "rises" if found.per_strike.value > 0.0 else "falls"
            say(f"  ! {group.name} {way} by {abs(found.over_session):.1%} over a session ({found.reach}).")
        repeated = group.reliability
        if repeated is not None:
            icc = repeated.agreement
            say(
                f"  {group.name}: from session to session ICC(2,1) {icc.value:.2f} ({icc.low:.2f} to "
                f"{icc.high:.2f}), {repeated.subjects} athletes, {repeated.occasions} sessions; a change of "
                f"one athlete shows from {repeated.smallest_change / sample.mean.value:.1%} on."
            )


def _pair_row(pair: Compared, system: System) -> tuple[str, ...]:
    name, found = f"{pair.one} - {pair.other}", pair.difference
    if found is None:
        return name, f"not compared: {pair.why}", "", "", "", "", ""
    effect, exceeding = found.hedges_g, found.exceeding
    return (
        name,
        both_units(found.value, system)[0],
        f"{found.relative:+.1%}",
        _p(found.p),
        "-" if pair.p_of_several is None else _p(pair.p_of_several),
        "-" if effect is None else f"{effect.value:.2f} ({effect.low:.2f} to {effect.high:.2f})",
        "-" if exceeding is None else f"{exceeding.value:.0%} ({exceeding.low:.0%} to {exceeding.high:.0%})",
    )


def _p(p: float) -> str:
    return "< 0.001" if p < 1e-3 else f"{p:.3f}"  # noqa: PLR2004


def _show_components(comparison: Comparison, trials: Trials) -> None:
    found = comparison.components
    if found is None:
        say(f"  No mixed model: {comparison.why_no_components}")
        return
    overall = sum(found.means.values()) / len(found.means)
    parts = [f"athletes {found.athlete_sd / overall:.1%}"]
    if found.session_sd is not None:
        parts.append(f"sessions {found.session_sd / overall:.1%}")
    parts.append(f"strikes {found.strike_sd / overall:.1%}")
    say(f"  What {trials.figure.replace('_', ' ')} differs by (standard deviations): {', '.join(parts)}.")
