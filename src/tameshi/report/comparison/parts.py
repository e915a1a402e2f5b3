"""What a report says of strikes against each other: records without a word about how they are set."""

from __future__ import annotations

from dataclasses import dataclass

from tameshi.comparison import Claim
from tameshi.report.comparison.drawings import Distributions, ForceArea, Timeline
from tameshi.report.notation import Entry


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class GroupRow:
    """One group for itself.

    Parameters
    ----------
    name, counts : str
        Counts of strikes, athletes and sessions in words.
    mean, typical, least, best : Entry
        Typical is the median.
    sd : Entry or None
        From strike to strike within an athlete's session; None where none has two.
    cv, human, measuring : str
        Shares of the mean in words: of all scatter, of what is human of it, of what measuring makes of it.
    """

    name: str
    counts: str
    mean: Entry
    typical: Entry
    least: Entry
    best: Entry
    sd: Entry | None
    cv: str
    human: str
    measuring: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PairRow:
    """Two groups against each other.

    Parameters
    ----------
    name : str
    claim : Claim
    difference : Entry or None
        None where they were not compared.
    relative, p, p_of_several, effect, exceeding, bootstrap : str
        In words; a dash where there is none.
    """

    name: str
    claim: Claim
    difference: Entry | None
    relative: str = "–"
    p: str = "–"
    p_of_several: str = "–"
    effect: str = "–"
    exceeding: str = "–"
    bootstrap: str = "–"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PlanRow:
    """How many it takes to see a difference between two groups, in words."""

    name: str
    gap: Entry
    strikes: str
    by_width: str
    athletes: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ComparedPart:
    """One figure of strikes, put together in one way.

    Parameters
    ----------
    anchor, title, figure, unit, by : str
    greatest : str
        What the greatest value is called.
    groups : tuple of GroupRow
    pairs : tuple of PairRow
    drawing : Distributions or None
    remarks : tuple of str
        What means hold for, trends, what stands out, reliability, what strikes differ by, what was left out.
    plans : tuple of PlanRow
    wanted : str
        What was planned for, in words.
    """

    anchor: str
    title: str
    figure: str
    unit: str
    by: str
    greatest: str
    groups: tuple[GroupRow, ...]
    pairs: tuple[PairRow, ...]
    drawing: Distributions | None
    remarks: tuple[str, ...]
    plans: tuple[PlanRow, ...]
    wanted: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ComparisonPart:
    """Strikes against each other.

    Parameters
    ----------
    opening : tuple of str
    compared : tuple of ComparedPart
        The first is shown open.
    plane : ForceArea or None
    timelines : tuple of Timeline
    not_said : tuple of str
        What no comparison here says.
    """

    opening: tuple[str, ...]
    compared: tuple[ComparedPart, ...]
    plane: ForceArea | None
    timelines: tuple[Timeline, ...]
    not_said: tuple[str, ...]
