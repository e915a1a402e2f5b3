"""From a comparison to the drawing of its distributions."""

from __future__ import annotations

from collections.abc import Sequence

from tameshi.comparison import Group
from tameshi.quantity import Quantity
from tameshi.report.comparison.drawings import Distributions, Spread
from tameshi.report.curves import axes_of
from tameshi.report.drawing import Point, Words
from tameshi.report.notation import Notation


def distributions(
    groups: Sequence[Group], figure: str, notation: Notation, *, key: str = "distributions"
) -> Distributions | None:
    """Return the drawing of one figure of every strike, group under group; None where there is none.

    Parameters
    ----------
    groups : sequence of Group
    figure : str
        In words: ``"peak force"``.
    notation : Notation
    key : str
        Tells it from the other drawings of a report.
    """
    if not groups:
        return None
    unit = groups[0].sample.mean.unit
    spreads = tuple(_spread(group) for group in groups)
    told = "; ".join(
        f"{group.name}: {len(group.sample.trials)} strikes, mean {notation.entry(group.sample.mean)}"
        for group in groups
    )
    words = Words(
        key=key,
        title=f"{figure.capitalize()}: how strikes are spread",
        alternative=f"Every strike is a point, group under group. {told}.",
        caption=_caption(spreads),
    )
    return Distributions(words=words, axes=axes_of(figure, unit, notation), groups=spreads)


def _spread(group: Group) -> Spread:
    sample = group.sample
    return Spread(
        label=group.name,
        points=tuple(point_of(trial.value) for trial in sample.trials),
        whose=tuple(trial.athlete for trial in sample.trials),
        outliers=sample.outliers,
        mean=point_of(sample.mean) if len(sample.trials) > 1 else None,
        median=sample.median,
        sd=sample.sd,
    )


def point_of(quantity: Quantity) -> Point:
    """Return a quantity as a point with its interval."""
    return Point(quantity.value, quantity.low, quantity.high)


def _caption(spreads: Sequence[Spread]) -> str:
    told = [
        "Every point is a strike; a line through it, where it shows, is the 95 % interval of its measurement."
    ]
    if any(spread.mean for spread in spreads):
        told.append(
            "Diamond and thick line below: the mean with its 95 % interval. Thin line with ends: one "
            "standard deviation from strike to strike to either side. Upright stroke: the median."
        )
    if any(spread.outliers for spread in spreads):
        told.append("Ringed: stands out from the others, and is kept in every figure.")
    if len({who for spread in spreads for who in spread.whose}) > 1:
        told.append("Shapes tell athletes apart.")
    return " ".join(told)
