"""Show published tolerance and strikes beside it, for a person and for a program."""

from __future__ import annotations

import textwrap
from collections import Counter
from collections.abc import Iterable, Sequence
from typing import Any

from tameshi.cli.shown import both_units, print_table, say
from tameshi.cli.tolerance_modelled import (
    cautions_of_models,
    share_in_words,
    show_assumptions,
    show_modelled,
)
from tameshi.quantity import System
from tameshi.report.provenance import citation
from tameshi.report.tolerance_lines import not_compared
from tameshi.tolerance import (
    SCHEMA,
    Case,
    Comparability,
    Comparison,
    Published,
    Status,
    case_as_dict,
    cautions_for,
    compare,
    comparison_as_dict,
    gaps_for,
    kind_facts,
    matched,
    published_as_dict,
    skull_at,
    spread_of,
    together,
    unbroken_surfaces,
    written_range,
)

_WIDTH = 118
_UNREACHED = (Comparability.MODEL, Comparability.NEVER)
_REACHED = ("measured", "band")
_OTHER: dict[System, System] = {"si": "us", "us": "si"}


def tolerance_as_dict(study: str | None, cases: Sequence[Case], rows: Sequence[Published]) -> dict[str, Any]:
    """Return strikes beside published values as the object that --json prints."""
    compared = [(case, compare(case, with_own_area(case, rows))) for case in cases]
    extra = {one.published.key: one.published for _, found in compared for one in found}
    values = {**{row.key: row for row in rows}, **extra}
    regions = {row.region for row in rows}
    return {
        "schema": SCHEMA,
        "study": study,
        "cases": [
            {**case_as_dict(case), "comparisons": [comparison_as_dict(one) for one in found]}
            for case, found in compared
        ],
        "values": [published_as_dict(row) for row in values.values()],
        "cautions": [
            *({"key": one.key, "lead": one.lead, "text": one.words} for one in cautions_for(regions)),
            *(cautions_of_models(cases)),
        ],
        "gaps": list(gaps_for(regions)),
    }


def with_own_area(case: Case, rows: Sequence[Published]) -> tuple[Published, ...]:
    """Return the rows, with the skull's fracture force at the area of this contact where that is known."""
    on_skull = any(row.key in {"sk-01", "sk-02"} for row in rows)
    if case.area is None or not on_skull:
        return tuple(rows)
    row = skull_at(case.area.value)
    return tuple(rows) if row is None else (*rows, row)


def show_values(rows: Sequence[Published], system: System, *, narrowed: bool) -> None:
    """Print what is published; an overview by region where nothing narrows it."""
    if not narrowed:
        _overview_of(rows)
    else:
        headings = ("place", "outcome", "kind", "published", "what it is", "on a plate", "known by")
        print_table(f"{len(rows)} published values", headings, [_value_row(row, system) for row in rows])
        _notes((row.key, _about(row)) for row in rows)
    _close(rows)


def show_cases(cases: Sequence[Case], rows: Sequence[Published], system: System, *, one_by_one: bool) -> None:
    """Print strikes beside published values, each row alone or put together by region and outcome."""
    if not cases:
        say("The study holds no strike of which a peak force is known.")
    for case in cases:
        found = compare(case, with_own_area(case, rows))
        _show_case(case, system)
        measured = [one for one in found if not one.is_modelled]
        if one_by_one:
            _one_by_one(case, measured, system)
        else:
            _put_together(case, measured, system)
        show_modelled(case, [one for one in found if one.is_modelled], system)
        _unbroken(case)
    if cases:
        show_assumptions(cases)
        reached = {one.published.key for case in cases for one in compare(case, rows) if one.is_modelled}
        _not_compared([row for row in rows if row.key not in reached])
    if one_by_one:
        _notes((row.key, _about(row)) for row in rows if kind_facts(row.kind).reach in _REACHED)
    if not one_by_one:
        say("", "Give --region or --endpoint to see every published value with its source and conditions.")
    _close(rows)


def _unbroken(case: Case) -> None:
    for surface in unbroken_surfaces(case.surfaces):
        _wrapped(f"No force that breaks the striker's own {surface} was found.")


def _overview_of(rows: Sequence[Published]) -> None:
    tally: dict[str, Counter[str]] = {}
    for row in rows:
        tally.setdefault(row.region, Counter())[row.endpoint] += 1
    table = [
        (region, str(sum(counts.values())), ", ".join(f"{name} {count}" for name, count in counts.items()))
        for region, counts in tally.items()
    ]
    print_table(f"{len(rows)} published values", ("region", "values", "outcomes"), table)
    say("List one with --region, or set a strike beside them with --force.")


def _value_row(row: Published, system: System) -> tuple[str, ...]:
    spread = spread_of(row)
    return (
        row.place,
        row.outcome,
        row.kind,
        f"{written_range(row.kind, spread, system)} [{row.key}]",
        spread.words,
        "no" if kind_facts(row.kind).reach == "never" else row.way,
        _known(row),
    )


def _known(row: Published) -> str:
    return "seen" if row.status is Status.VERIFIED else row.status.value


def _show_case(case: Case, system: System) -> None:
    rows = [("peak force", *both_units(case.force, system))]
    if case.area is not None:
        rows.append(("contact area", *both_units(case.area, system)))
        rows.append(("mean pressure", *both_units(case.pressure, system)))
    if case.duration is not None:
        rows.append(("contact duration", *both_units(case.duration, system)))
    rows.append(("pad", case.pad or "not known", ""))
    rows.append(("lands with", " or ".join(case.surfaces) or "not known", ""))
    print_table(case.label, ("figure", "value (95 % interval)", "also"), rows)


def _put_together(case: Case, found: Sequence[Comparison], system: System) -> None:
    rows = [
        (
            group.title,
            group.kind,
            str(len(group.comparisons)),
            written_range(group.kind, group.spread, system),
            written_range(group.kind, group.spread, _OTHER[system]),
            group.placing.told,
        )
        for group in together(found)
    ]
    headings = ("published for", "kind", "values", "lowest to highest", "also", "this strike is")
    print_table(f"{case.label}, beside what was published", headings, rows)
    _reasons(found)
    _match(case, found)


def _match(case: Case, found: Sequence[Comparison]) -> None:
    """Print with how many of the values contact area and duration of a strike match."""
    shown = [matched(case, one.published) for one in found if one.placing is not None]
    for what, words in zip(("Contact area", "Contact duration"), zip(*shown, strict=True), strict=False):
        counts = ", ".join(f"{word} {count}" for word, count in Counter(words).most_common())
        _wrapped(f"{what} beside those of the {len(shown)} values: {counts}.")


def _one_by_one(case: Case, found: Sequence[Comparison], system: System) -> None:
    shown = [one for one in found if one.placing is not None]
    rows = [
        (
            f"{_own(one)}{one.published.place}: {one.published.outcome}",
            one.published.kind,
            written_range(one.published.kind, one.spread, system),
            written_range(one.published.kind, one.spread, _OTHER[system]),
            one.placing.told if one.placing else "",
            share_in_words(one),
            f"{_known(one.published)} [{one.published.key}]",
        )
        for one in shown
    ]
    if not rows:
        say(f"  {case.label}: nothing that is published here may be set beside it, or it lacks the quantity.")
        _rest(case, found, system)
        return
    headings = ("published for", "kind", "range", "also", "this strike is", "published below it", "known by")
    print_table(f"{case.label}, beside what was published", headings, rows)
    _reasons(found)
    _conditions(shown)
    _rest(case, found, system)


def _own(one: Comparison) -> str:
    return "striker's own " if one.comparability is Comparability.COMPARABLE else ""


def _rest(case: Case, found: Sequence[Comparison], system: System) -> None:
    """Print the values that nothing was set beside, each with the reason."""
    left = [one for one in found if one.placing is None]
    rows = [
        (
            f"{one.published.place}: {one.published.outcome}",
            one.published.kind,
            written_range(one.published.kind, one.spread, system),
            one.comparability,
            f"{_known(one.published)} [{one.published.key}]",
        )
        for one in left
    ]
    if not rows:
        return
    headings = ("published for", "kind", "published", "is", "known by")
    print_table(f"{case.label}, set beside none of these", headings, rows)
    told: dict[str, list[str]] = {}
    for one in left:
        reason = one.reason if one.comparability in _UNREACHED else "This strike has no such quantity."
        told.setdefault(f"{one.comparability.capitalize()}: {reason}", []).append(one.published.key)
    for sentence, keys in told.items():
        _wrapped(f"{sentence} [{', '.join(keys)}]")


def _conditions(shown: Sequence[Comparison]) -> None:
    """Print how area and duration match, each sentence once with the values it is about."""
    told: dict[str, list[str]] = {}
    for one in shown:
        for sentence in one.conditions:
            told.setdefault(sentence, []).append(one.published.key)
    for sentence, keys in told.items():
        about = "all of them" if len(keys) == len(shown) else ", ".join(keys)
        _wrapped(f"{sentence} [{about}]")


def _about(row: Published) -> str:
    """Return what a published value is, in sentences."""
    words = spread_of(row).words
    return f"{words[:1].upper()}{words[1:]}. {row.note} Source: {citation(row.source)}."


def _reasons(found: Sequence[Comparison]) -> None:
    """Print why those that were compared may be, each reason once."""
    reasons = dict.fromkeys((one.comparability, one.reason) for one in found if one.placing is not None)
    for comparability, reason in reasons:
        _wrapped(f"{comparability.capitalize()}: {reason}")


def _not_compared(rows: Sequence[Published]) -> None:
    left = not_compared(rows)
    if left:
        say("", "Not set beside a strike on a plate:")
    for one in left:
        _wrapped(f"{one.values} x {one.title}. {one.why}")


def _notes(notes: Iterable[tuple[str, str]]) -> None:
    for key, words in notes:
        _wrapped(f"[{key}] {words}")


def _close(rows: Sequence[Published]) -> None:
    regions = {row.region for row in rows}
    say("", "No number was found for:")
    for words in gaps_for(regions):
        _wrapped(words)
    say("", "Cautions:")
    for caution in cautions_for(regions):
        _wrapped(f"{caution.lead} {caution.words}")


def _wrapped(words: str) -> None:
    say(*textwrap.wrap(words, _WIDTH, initial_indent="  ", subsequent_indent="    "))
