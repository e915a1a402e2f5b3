"""Where everything in a report comes from: files, settings, versions, sources."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import UTC, datetime
from decimal import Decimal
from typing import Any

from tameshi import __version__
from tameshi.reference import source
from tameshi.report.content import Cited, FileKept, Method, Provenance, SettingsUsed
from tameshi.report.parts import Fact
from tameshi.study import Measurement, Original, canonical_json

SOFTWARE = f"tameshi {__version__}"

_HOW_KNOWN = {
    "seen": "",
    "handed down": "as handed down, not looked up again",
    "memory": "value from memory",
    "derived": "derived",
    "practice": "common practice, no source",
    "ours": "",
}

_WORDS = {"strikes": "Strikes", "film": "Films"}
"""What results are of, by a key that only theirs have; else they are of prints."""


def provenance_of(
    files: Sequence[Original],
    outcomes: Sequence[Measurement],
    methods: Sequence[Method],
    cited: Sequence[str] = (),
) -> Provenance:
    """Return where everything comes from.

    Parameters
    ----------
    files : sequence of Original
    outcomes : sequence of Measurement
    methods : sequence of Method
        Whose sources are listed.
    cited : sequence of str
        Keys of sources that are cited elsewhere.
    """
    made = {outcome.original.sha256: outcome.made_at for outcome in outcomes}
    keys = dict.fromkeys((*(key for method in methods for key in method.sources), *cited))
    return Provenance(
        files=tuple(_kept(one, made.get(one.sha256)) for one in files),
        settings=tuple(_settings(outcomes)),
        sources=tuple(Cited(key, citation(key)) for key in keys),
        software=SOFTWARE,
    )


def citation(key: str) -> str:
    """Return a source in one line."""
    cited = source(key)
    parts = [cited["authors"], str(cited["year"] or ""), cited["title"], cited["locator"]]
    parts.append(_HOW_KNOWN.get(cited["status"], cited["status"]))
    return ", ".join(part for part in parts if part)


def told(key: str) -> str:
    """Return a source's title, with how it is known where its page was not seen."""
    cited = source(key)
    known = _HOW_KNOWN.get(cited["status"], cited["status"])
    return f"{cited['title']} ({known})" if known else str(cited["title"])


def _kept(original: Original, made_at: datetime | None) -> FileKept:
    return FileKept(
        name=original.name,
        sha256=original.sha256,
        kind=original.kind,
        size=original.size,
        added_at=original.added_at.astimezone(UTC),
        measured_at=made_at.astimezone(UTC) if made_at else None,
    )


def _settings(outcomes: Iterable[Measurement]) -> Iterable[SettingsUsed]:
    """Return the settings of all results, equal ones told once with the files they made."""
    used: dict[tuple[str, str], tuple[Mapping[str, Any], list[str]]] = {}
    for outcome in outcomes:
        if outcome.error is not None:
            continue
        word = next((word for key, word in _WORDS.items() if key in outcome.body), "Prints")
        settings = outcome.body["settings"]
        _, names = used.setdefault((word, canonical_json(settings)), (settings, []))
        names.append(outcome.original.name)
    several = {word for word, _ in used if sum(other == word for other, _ in used) > 1}
    for (word, _), (settings, names) in used.items():
        title = f"{word}: {', '.join(names)}" if word in several else word
        values = (Fact(name.replace("_", " "), _written(settings[name])) for name in sorted(settings))
        yield SettingsUsed(title, tuple(values))


def _written(value: object) -> str:
    match value:
        case None:
            return "none"
        case bool():
            return "yes" if value else "no"
        case int() | float():
            return f"{Decimal(repr(value)).normalize():f}"
    return str(value)
