"""Published values as a report shows them beside strikes: one line for a region and an outcome."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from tameshi.reference import table
from tameshi.tolerance import (
    Case,
    Comparability,
    Kind,
    Published,
    Spread,
    Status,
    comparability_of,
    kind_facts,
    matched,
    place,
    spread_of,
)

_FLOOR, _ALL = "slight injury", "limits for machines, any region"
_KINDS = (Kind.CONTACT_FORCE, Kind.MEAN_PRESSURE, Kind.LOCAL_PRESSURE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """Published values of one kind, region and outcome.

    Parameters
    ----------
    kind : Kind
    title : str
    comparability : Comparability
        ``COMPARABLE`` or ``ONE_SIDE``.
    surfaces : frozenset of str
        Striking surfaces it is the striker's own limb for; empty for a part that is struck.
    rows : tuple of Published
    spread : Spread
        From the lowest to the highest of their ranges. [coherent SI]
    """

    kind: Kind
    title: str
    comparability: Comparability
    surfaces: frozenset[str]
    rows: tuple[Published, ...]
    spread: Spread

    @property
    def from_memory(self) -> int:
        """How many of its values are recalled without the page."""
        return sum(row.status is Status.MEMORY for row in self.rows)

    @property
    def handed_down(self) -> int:
        """How many of its values nobody has looked up again."""
        return sum(row.status is Status.HANDED_DOWN for row in self.rows)

    @property
    def middles(self) -> tuple[float, ...]:
        """Means, medians and single numbers. [coherent SI]"""
        return tuple(row.value for row in self.rows if row.value is not None)

    def told(self, case: Case | None) -> str:
        """Return where a strike lies beside it, in words; empty where it has no such quantity."""
        if case is None or (self.surfaces and not self.surfaces & set(case.surfaces)):
            return ""
        reading = case.readings.get(self.kind)
        return "" if reading is None else place(reading, self.kind, self.spread).told

    def matched(self, case: Case | None) -> str:
        """Return in how many of its values contact area and duration match a strike, in words."""
        if case is None or not self.told(case):
            return ""
        areas, durations = (
            Counter(words) for words in zip(*(matched(case, row) for row in self.rows), strict=True)
        )
        return f"area {_counted(areas)}; duration {_counted(durations)}"


@dataclass(frozen=True, slots=True)
class LeftOut:
    """Published values that no strike on a plate is set beside, for one reason.

    Parameters
    ----------
    comparability : Comparability
        ``MODEL`` or ``NEVER``.
    kinds : tuple of Kind
    values : int
        How many there are.
    why : str
    """

    comparability: Comparability
    kinds: tuple[Kind, ...]
    values: int
    why: str

    @property
    def title(self) -> str:
        """Kinds and how they stand, in words."""
        return f"{', '.join(self.kinds)}: {self.comparability}"


def lines_for(cases: Sequence[Case], rows: Iterable[Published], *, fold: bool = False) -> tuple[Line, ...]:
    """Return the lines that these strikes may be set beside.

    Those about the striker's own limb come first, and only for surfaces that are known to strike; then
    parts that are struck, by outcome and from head to foot.

    Parameters
    ----------
    cases : sequence of Case
    rows : iterable of Published
    fold : bool
        Whether limits of slight injury, which nearly every strike exceeds, make one line for all regions.
    """
    struck_with = {surface for case in cases for surface in case.surfaces}
    nobody = Case(label="")
    groups: dict[tuple[Kind, bool, str, str], list[Published]] = {}
    for row in rows:
        own = bool(struck_with & set(row.surfaces))
        if own and comparability_of(_lands_with(row), row)[0] is Comparability.COMPARABLE:
            groups.setdefault((row.kind, True, row.region, row.endpoint), []).append(row)
        if comparability_of(nobody, row)[0] is Comparability.ONE_SIDE:
            region = _ALL if fold and row.endpoint == _FLOOR else row.region
            groups.setdefault((row.kind, False, region, row.endpoint), []).append(row)
    lines = [_line(*key, found, struck_with) for key, found in groups.items()]
    return tuple(sorted(lines, key=_order))


def not_compared(rows: Iterable[Published]) -> tuple[LeftOut, ...]:
    """Return what no strike on a plate is set beside, those first that a model could reach."""
    nobody = Case(label="")
    found: dict[tuple[Comparability, str], list[Kind]] = {}
    for row in rows:
        comparability, _ = comparability_of(nobody, row)
        if comparability in {Comparability.MODEL, Comparability.NEVER}:
            found.setdefault((comparability, _why(comparability, row.kind)), []).append(row.kind)
    left = [LeftOut(how, tuple(dict.fromkeys(kinds)), len(kinds), why) for (how, why), kinds in found.items()]
    order = list(Comparability)
    return tuple(sorted(left, key=lambda one: order.index(one.comparability)))


def _counted(words: Counter[str]) -> str:
    if len(words) == 1:
        return next(iter(words))
    return ", ".join(f"{word} {count}" for word, count in words.most_common())


def _why(how: Comparability, kind: Kind) -> str:
    facts = kind_facts(kind)
    if how is Comparability.NEVER and facts.reach != "never":
        return "Tests too far from a strike on a plate: padded, pooled, with guided masses or on dummies."
    if how is Comparability.MODEL and facts.reach == "measured":
        return "Parts that give way with their own mass and stiffness: a model of the body is needed."
    return facts.why


def _lands_with(row: Published) -> Case:
    return Case(label="", surfaces=row.surfaces)


def _line(
    kind: Kind,
    own: bool,  # noqa: FBT001
    region: str,
    endpoint: str,
    rows: list[Published],
    struck_with: set[str],
) -> Line:
    spreads = [spread_of(row) for row in rows]
    low, high = min(one.low for one in spreads), max(one.high for one in spreads)
    named = frozenset(surface for row in rows for surface in row.surfaces) & struck_with
    surfaces = named if own else frozenset()
    who = f"{' or '.join(sorted(surfaces))}, own {region}" if own else region
    return Line(
        kind=kind,
        title=f"{who}: {endpoint}",
        comparability=Comparability.COMPARABLE if own else Comparability.ONE_SIDE,
        surfaces=surfaces,
        rows=tuple(rows),
        spread=Spread(
            low, high, None, f"lowest to highest of {len(rows)}", all(one.is_printed for one in spreads)
        ),
    )


def _order(line: Line) -> tuple[int, bool, int, int]:
    regions = list(table("tolerance_regions").rows)
    outcomes = ("fracture", "organ injury", "skin injury", "slight injury", "pain")
    endpoint = line.rows[0].endpoint
    rank = outcomes.index(endpoint) if endpoint in outcomes else len(outcomes)
    return _KINDS.index(line.kind), not line.surfaces, rank, regions.index(line.rows[0].region)
