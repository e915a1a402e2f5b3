"""What a report says of published tolerance: what is set beside the strikes, and what is not."""

from __future__ import annotations

from collections.abc import Sequence

from tameshi.report.carried import Carried
from tameshi.report.parts import Fact, ToleranceRow
from tameshi.report.parts_modelled import TolerancePart
from tameshi.report.techniques import Group
from tameshi.report.tolerance_cases import TechniqueCases, cases_of
from tameshi.report.tolerance_drawing import drawings_of
from tameshi.report.tolerance_lines import Line, lines_for, not_compared
from tameshi.report.tolerance_modelled import modelled_parts, reached
from tameshi.tolerance import cautions_for, gaps_for, published_values, unbroken_surfaces, written_range

_STUDIES = (
    "Published values were measured on cadavers, volunteers and machines, each in its own way. A strike is "
    "set beside those of the same kind of quantity only: the force of a contact beside the force of a "
    "contact, pressure beside pressure of the same kind. Of a part that is struck, a fixed plate tells from "
    "one side only."
)
_WORDS = (
    "“Below”, “inside” and “above” tell where a figure lies between the lowest and the highest published "
    "value, with the probability where that is in doubt. They tell nothing about a person."
)
_GENERAL = ("injury", "no-verdict", "qualified")  # they stand in the report already


def tolerance_part(groups: Sequence[Group], carried: Sequence[Carried] = ()) -> TolerancePart | None:
    """Return what is said of published tolerance; None where nothing was struck.

    Parameters
    ----------
    groups : sequence of Group
    carried : sequence of Carried
        What of them was carried over to parts of the body, for values that need a model.
    """
    techniques = tuple(one for one in cases_of(groups, carried) if one.cases)
    if not techniques:
        return None
    rows = published_values()
    modelled, by_model = modelled_parts(techniques, rows), reached(techniques, rows)
    lines = lines_for([case for one in techniques for case in one.cases], rows, fold=True)
    return TolerancePart(
        opening=(_STUDIES, _WORDS),
        techniques=tuple(one.name for one in techniques),
        rows=tuple(_row(line, techniques) for line in lines),
        drawings=drawings_of(techniques, lines),
        unpadded=all(case.is_bare for one in techniques for case in one.cases),
        not_compared=tuple(
            Fact(one.title, f"{one.values} {'value' if one.values == 1 else 'values'}. {one.why}")
            for one in not_compared([row for row in rows if row.key not in by_model])
        ),
        gaps=(*gaps_for(), *_unbroken(techniques)),
        cautions=tuple((one.lead, one.words) for one in cautions_for() if one.key not in _GENERAL),
        sources=tuple(
            dict.fromkeys(
                (
                    *(row.source for line in lines for row in line.rows),
                    *(row.source for part in modelled for kind in part.kinds for row in kind.rows),
                )
            )
        ),
        modelled=modelled,
    )


def _unbroken(techniques: Sequence[TechniqueCases]) -> tuple[str, ...]:
    told = {
        f"No force that breaks the striker's own {surface} ({one.name}) was found."
        for one in techniques
        for surface in unbroken_surfaces(one.cases[0].surfaces)
    }
    return tuple(sorted(told))


def _row(line: Line, techniques: Sequence[TechniqueCases]) -> ToleranceRow:
    return ToleranceRow(
        title=line.title,
        kind=line.kind.value,
        is_own=bool(line.surfaces),
        ranges=(written_range(line.kind, line.spread, "si"), written_range(line.kind, line.spread, "us")),
        values=len(line.rows),
        from_memory=line.from_memory,
        handed_down=line.handed_down,
        places=tuple(_places(line, one) for one in techniques),
        matches=tuple(line.matched(one.typical or one.greatest) for one in techniques),
        sources=tuple(dict.fromkeys(row.source for row in line.rows)),
    )


def _places(line: Line, technique: TechniqueCases) -> tuple[str, str]:
    return line.told(technique.typical), line.told(technique.greatest)
