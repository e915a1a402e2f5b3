"""The section of a report on strikes against each other."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tameshi.comparison import Asked, Comparison, Wanted, compare
from tameshi.report.comparison.courses import timelines
from tameshi.report.comparison.parts import ComparedPart, ComparisonPart
from tameshi.report.comparison.plane import force_area, paired
from tameshi.report.comparison.rows import group_row, pair_row, plan_rows, remarks_of
from tameshi.report.comparison.spreads import distributions
from tameshi.report.notation import Notation
from tameshi.study import Joined, Measurement, Recording, Trials, trials_of

_WANTED = Wanted(share=0.10)
_OTHERS = (
    ("mean_pressure", "technique"),
    ("impulse", "technique"),
    ("peak_force", "athlete"),
    ("peak_force", "session"),
    ("peak_force", "side"),
    ("peak_force", "pad"),
)
_REACH = (
    "Techniques struck by the same people are compared within each person, and a result reaches as far as "
    "its design does: to athletes like these where three and more struck both ways, else to these strikes "
    "only. Errors that strikes share, such as the calibration, cancel in a difference as far as shared."
)
_CLEAR = (
    "“Clear” means that the 95 % interval of the difference leaves zero out, all pairs of the table allowed "
    "for (Holm). “No clear difference” does not mean that two are alike."
)
_NO_VERDICT = (
    "A larger figure is no better strike: force on a plate is not effect on a body, and nothing here says "
    "what a strike may be used for."
)
_NOT_SAID = (
    _NO_VERDICT,
    "Strikes were not drawn by lot: order, tiredness, and who chose what to strike are in every difference.",
    "What differs between plates, pads and rigs is no difference between people.",
)

Strikes = Sequence[tuple[Recording, Measurement]]


def comparison_part(strikes: Strikes, joined: Sequence[Joined], notation: Notation) -> ComparisonPart | None:
    """Return what is said of strikes against each other; None where no two can be compared.

    Parameters
    ----------
    strikes
        As :func:`tameshi.study.measure_all` gives them.
    joined
        As :func:`tameshi.study.join_study` gives them.
    notation : Notation
    """
    forces = trials_of(strikes, joined)
    if sum(map(len, forces.groups.values())) < 2:  # noqa: PLR2004
        return None
    first = _compared(forces, with_components=True)
    areas = trials_of(strikes, joined, figure="contact_area")
    pairs = paired(areas.groups, forces.groups)
    outliers = frozenset(
        group.sample.trials[place].label for group in first.groups for place in group.sample.outliers
    )
    names = {recording.original.sha256: recording.original.name for recording, _ in strikes}
    return ComparisonPart(
        opening=(_REACH, _CLEAR),
        compared=(_part(1, forces, first, notation), *_others(strikes, joined, notation)),
        plane=force_area(pairs, notation, without=len(joined) - sum(len(one) for one, _ in pairs.values())),
        timelines=timelines(forces.groups, "peak force", notation, outliers=outliers, names=names),
        not_said=_NOT_SAID,
    )


def _others(strikes: Strikes, joined: Sequence[Joined], notation: Notation) -> Iterator[ComparedPart]:
    number = 2
    for figure, by in _OTHERS:
        trials = trials_of(strikes, joined, figure=figure, by=by)
        found = _compared(trials, with_components=False)
        # techniques are told for themselves too; other ways only where there is something to compare
        if found.groups and (by == "technique" or any(pair.difference for pair in found.pairs)):
            yield _part(number, trials, found, notation)
            number += 1


def _compared(trials: Trials, *, with_components: bool) -> Comparison:
    return compare(
        trials.groups,
        Asked(
            figure=trials.figure.replace("_", " "),
            by=trials.by,
            families=trials.families,
            apart=trials.apart,
            wanted=_WANTED,
            with_components=with_components,
        ),
    )


def _part(number: int, trials: Trials, found: Comparison, notation: Notation) -> ComparedPart:
    figure = trials.figure.replace("_", " ")
    left = [f"Left out: {one}." for one in trials.without]
    return ComparedPart(
        anchor=f"compared-{number}",
        title=f"{figure.capitalize()} by {trials.by}",
        figure=figure,
        unit=found.groups[0].sample.mean.unit,
        by=trials.by,
        greatest=trials.greatest,
        groups=tuple(group_row(group, notation) for group in found.groups),
        pairs=tuple(pair_row(pair, notation) for pair in found.pairs),
        drawing=distributions(found.groups, figure, notation, key=f"distributions-{number}"),
        remarks=(*remarks_of(found, figure, notation), *trials.notes, *left),
        plans=tuple(plan_rows(found, notation)),
        wanted=_wanted(),
    )


def _wanted() -> str:
    share, power = (f"{100.0 * each:.0f}\u00a0%" for each in (_WANTED.share, _WANTED.power))
    return f"{share} of the second, found in {power} of comparisons"
