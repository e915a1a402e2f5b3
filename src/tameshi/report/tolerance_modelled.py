"""What a report says of modelled bands beside published values that need a model."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tameshi.report.drawing import BesidePublished, Borne, Point, Struck, Words
from tameshi.report.modelled_words import reading_in_words
from tameshi.report.parts_modelled import ModelledKind, ModelledPart, ModelledRow
from tameshi.report.tolerance_cases import TechniqueCases
from tameshi.report.tolerance_drawing import axis_of
from tameshi.tolerance import (
    Case,
    Comparison,
    Kind,
    Published,
    Reading,
    Status,
    compare,
    spread_of,
    told_of,
    unit_for,
    written_range,
)

_FEWEST = 4
_CAPTION = (
    "Thick lines: 95 % bands of a model, with their medians; nothing of it was measured on a body. Open "
    "triangles: the median of the greatest strike. Bars: published ranges, a tick for each mean or median. "
    "Diamonds: one value. No range is a limit to aim for."
)


def modelled_parts(
    techniques: Sequence[TechniqueCases], rows: Sequence[Published]
) -> tuple[ModelledPart, ...]:
    """Return modelled bands beside the values that need a model, a part for each model.

    Parameters
    ----------
    techniques : sequence of TechniqueCases
    rows : sequence of Published
    """
    models = dict.fromkeys(
        one.model for technique in techniques for case in technique.cases for one in case.modelled
    )
    made = (_part(model, techniques, rows) for model in models)
    return tuple(part for part in made if part.kinds or part.refused)


def reached(techniques: Sequence[TechniqueCases], rows: Sequence[Published]) -> frozenset[str]:
    """Return the keys of the values that some model reaches."""
    cases = [case for technique in techniques for case in technique.cases if case.modelled]
    return frozenset(one.published.key for case in cases for one in compare(case, rows) if one.is_modelled)


def _part(model: str, techniques: Sequence[TechniqueCases], rows: Sequence[Published]) -> ModelledPart:
    own = [one for one in techniques if any(m.model == model for case in one.cases for m in case.modelled)]
    holding = [one for one in own if any(_holds(case, model) for case in one.cases)]
    found = [(_by_key(one.typical, model, rows), _by_key(one.greatest, model, rows)) for one in holding]
    keys = {key for pair in found for side in pair for key in side}
    shown = [row for row in rows if row.key in keys]
    kinds = tuple(dict.fromkeys(row.kind for row in shown))
    names = tuple(one.name for one in holding)
    return ModelledPart(
        model=model,
        techniques=names,
        kinds=tuple(_kind(kind, [row for row in shown if row.kind is kind], found) for kind in kinds),
        conditions=_conditions(found, len(keys)),
        refused=_refused(model, own),
        drawings=tuple(
            drawing
            for kind in kinds
            if (drawing := _drawing(kind, model, names, [row for row in shown if row.kind is kind], found))
        ),
    )


def _holds(case: Case, model: str) -> bool:
    return any(one.model == model and not one.refused for one in case.modelled)


def _refused(model: str, techniques: Sequence[TechniqueCases]) -> tuple[str, ...]:
    """Return which strikes a model does not hold for, and why, each once."""
    told = (
        f"{case.label}: {one.refused}"
        for technique in techniques
        for case in technique.cases
        for one in case.modelled
        if one.model == model and one.refused
    )
    return tuple(dict.fromkeys(told))


_Sides = tuple[dict[str, Comparison], dict[str, Comparison]]


def _by_key(case: Case | None, model: str, rows: Sequence[Published]) -> dict[str, Comparison]:
    if case is None:
        return {}
    return {
        one.published.key: one
        for one in compare(case, rows)
        if one.reading is not None and one.reading.model == model
    }


def _kind(kind: Kind, rows: Sequence[Published], found: Sequence[_Sides]) -> ModelledKind:
    return ModelledKind(
        kind=kind.value,
        bands=tuple((_band(sides[0], rows), _band(sides[1], rows)) for sides in found),
        rows=tuple(
            ModelledRow(
                title=f"{row.place}: {row.outcome}",
                key=row.key,
                ranges=(
                    written_range(kind, spread_of(row), "si"),
                    written_range(kind, spread_of(row), "us") if _has_two(kind) else "",
                ),
                words=spread_of(row).words,
                from_memory=row.status is Status.MEMORY,
                places=tuple((_told(sides[0].get(row.key)), _told(sides[1].get(row.key))) for sides in found),
                source=row.source,
            )
            for row in rows
        ),
    )


def _has_two(kind: Kind) -> bool:
    return unit_for(kind, "si") != unit_for(kind, "us")


def _reading(side: dict[str, Comparison], rows: Iterable[Published]) -> Reading | None:
    """Return the reading that the rows of one kind share."""
    return next((side[row.key].reading for row in rows if row.key in side), None)


def _band(side: dict[str, Comparison], rows: Iterable[Published]) -> str:
    reading = _reading(side, rows)
    return "" if reading is None else reading_in_words(reading, "si")


def _told(one: Comparison | None) -> str:
    if one is None or one.placing is None or one.reading is None:
        return ""
    return told_of(one.placing, one.reading)


def _conditions(found: Sequence[_Sides], count: int) -> tuple[str, ...]:
    """Return how conditions match in the typical strikes, each sentence once with what it is about."""
    told: dict[str, dict[str, None]] = {}
    for typical, greatest in found:
        for key, one in (typical or greatest).items():
            for sentence in one.conditions:
                told.setdefault(sentence, {})[key] = None
    return tuple(
        sentence if len(keys) == count else f"{sentence} ({', '.join(keys)})"
        for sentence, keys in told.items()
    )


def _drawing(
    kind: Kind, model: str, names: Sequence[str], rows: Sequence[Published], found: Sequence[_Sides]
) -> BesidePublished | None:
    if len(rows) < _FEWEST:
        return None
    struck = tuple(
        _struck(name, _reading(sides[0], rows), _reading(sides[1], rows))
        for name, sides in zip(names, found, strict=True)
    )
    borne = tuple(_borne(row) for row in rows)
    key = "-".join((*kind.split(), *model.replace(",", "").split()))
    words = Words(
        key=f"modelled-{key}",
        title=f"{kind.capitalize()}, modelled, beside published values",
        alternative=(
            f"Modelled bands ({model}): {', '.join(names)}. Published values on the same logarithmic scale: "
            f"{'; '.join(one.label for one in borne)}. The numbers stand in the table."
        ),
        caption=_CAPTION,
    )
    return BesidePublished(
        words=words,
        axes=(axis_of(kind, "si"), axis_of(kind, "us")),
        struck=struck,
        borne=borne,
        modelled=True,
    )


def _struck(name: str, typical: Reading | None, greatest: Reading | None) -> Struck:
    shown = typical or greatest
    high = None if typical is None or greatest is None or greatest.is_band else greatest.least.value
    if shown is None:
        return Struck(name, None, None)
    if shown.at_least is not None:
        return Struck(name, None, shown.at_least)
    ends = (shown.least.low, shown.most.high)
    if shown.is_band:
        return Struck(name, Point(ends[0], *ends, is_bound=True), high)
    return Struck(name, Point(shown.least.value, *ends), high)


def _borne(row: Published) -> Borne:
    spread = spread_of(row)
    middles = () if row.value is None else (row.value,)
    label = f"{row.outcome}, {spread.words}" if row.risk else f"{row.place}: {row.outcome}"
    return Borne(label, spread.low, spread.high, middles, is_one_sided=True)
