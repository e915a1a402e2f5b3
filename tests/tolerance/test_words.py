"""No word about tolerance is a verdict: in the package, its tables, its command, its report, its docs."""

import re
from pathlib import Path

import pytest

import tameshi
from tameshi.tolerance import cautions_for, gaps_for

SOURCE = Path(tameshi.__file__).parent
ROOT = SOURCE.parent.parent
PLACES = [
    *sorted((SOURCE / "tolerance").glob("*.py")),
    *sorted((SOURCE / "reference").glob("tolerance*")),
    SOURCE / "reference" / "striking_surfaces.toml",
    SOURCE / "reference" / "cautions.toml",
    SOURCE / "cli" / "tolerance.py",
    SOURCE / "cli" / "tolerance_shown.py",
    *sorted((SOURCE / "report").glob("tolerance*.py")),
    SOURCE / "report" / "figures" / "beside_published.py",
    ROOT / "docs" / "tolerance.md",
]
VERDICT = re.compile(
    r"\b(un)?safe(ly|ty)?\b|\bharmless|\bno risk\b|\bdangerous\b|\b(in)?tolerable\b", re.IGNORECASE
)
SIGNALS = re.compile(r"\bgreen\b|\bred\b|#(0?f00|ff0000|00ff00|0f0)\b", re.IGNORECASE)


@pytest.mark.parametrize("path", PLACES, ids=lambda path: path.name)
def test_no_verdict_and_no_signal_colours(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert not VERDICT.findall(text)
    assert not SIGNALS.findall(text)


def test_what_people_are_told_holds_no_verdict() -> None:
    told = [f"{one.lead} {one.words}" for one in cautions_for()] + list(gaps_for())
    assert not [words for words in told if VERDICT.search(words)]
