"""Show what a model reaches of published tolerance: apart from what was measured, with what it rests on."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from tameshi.cli.shown import print_table, say
from tameshi.cli.tolerance_cases import assumptions_of
from tameshi.quantity import System
from tameshi.report.modelled_words import reading_in_words
from tameshi.target.head import NOTE
from tameshi.target.transfer import cautions
from tameshi.tolerance import Case, Comparison, percent, told_of, written_range

_WIDTH = 118
_HEAD = "head "


def show_modelled(case: Case, found: Sequence[Comparison], system: System) -> None:
    """Print modelled figures of a strike beside the published values that need a model, each by itself."""
    for model in dict.fromkeys(one.reading.model for one in found if one.reading):
        own = [one for one in found if one.reading and one.reading.model == model]
        rows = [
            (
                f"{one.published.place}: {one.published.outcome} [{one.published.key}]",
                one.published.kind,
                written_range(one.published.kind, one.spread, system),
                reading_in_words(one.reading, system) if one.reading else "",
                told_of(one.placing, one.reading) if one.placing and one.reading else "",
                share_in_words(one),
            )
            for one in own
        ]
        headings = ("published for", "kind", "range", "modelled", "the band is", "published below it")
        print_table(f"{case.label}, MODELLED: {model}", headings, rows)
        for sentence in _matched(own):
            _wrapped(sentence)
    for sentence in dict.fromkeys(f"{one.model}: {one.refused}" for one in case.modelled if one.refused):
        _wrapped(f"Set beside nothing, {sentence}")


def show_assumptions(cases: Sequence[Case]) -> None:
    """Print what the models take for granted and leave out; nothing where there are none."""
    told = assumptions_of(cases)
    for model, sentences in told.items():
        say("", f"Modelled, not measured: {model}. It takes for granted:")
        for sentence in sentences:
            _wrapped(sentence)
    for caution in cautions_of_models(cases):
        _wrapped(f"{caution['lead']} {caution['text']}")


def cautions_of_models(cases: Sequence[Case]) -> list[dict[str, str]]:
    """Return the cautions that go with modelled figures; none where there are none."""
    modelled = [one for case in cases for one in case.modelled]
    if not modelled:
        return []
    own = [{"key": one["code"], "lead": one["lead"], "text": one["text"]} for one in cautions()]
    if any(one.kind.startswith(_HEAD) for one in modelled):
        own.append({"key": "head-modelled", "lead": "No head was measured.", "text": NOTE})
    return own


def _matched(found: Sequence[Comparison]) -> list[str]:
    told: dict[str, list[str]] = {}
    for one in found:
        for sentence in one.conditions:
            told.setdefault(sentence, []).append(one.published.key)
    return [
        f"{sentence} [{'all of them' if len(keys) == len(found) else ', '.join(keys)}]"
        for sentence, keys in told.items()
    ]


def share_in_words(one: Comparison) -> str:
    """Return which share of published values lies below a strike, with its interval."""
    share = one.placing.share if one.placing else None
    if share is None:
        return "-"
    value, low, high = (percent(part) for part in (share.value, share.low, share.high))
    return value if low == high else f"{value} ({low} to {high})"


def _wrapped(words: str) -> None:
    say(*textwrap.wrap(words, _WIDTH, initial_indent="  ", subsequent_indent="    "))
