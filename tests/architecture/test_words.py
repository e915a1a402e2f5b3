"""Words that must stand, and words that must not."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

import tameshi
from tameshi.reference import source, table, table_names

SOURCE = Path(tameshi.__file__).parent
ROOT = SOURCE.parent.parent
VERDICTS = re.compile(
    r"\b(is|are|be|was|perfectly|completely|quite)\s+safe\b|\bsafe to\b|\bsafely\b|\bharmless to\b",
    re.IGNORECASE,
)


def flag_codes() -> set[str]:
    """Return every code that a Flag is made with, read from the source."""
    codes = set()
    for path in SOURCE.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and ast.unparse(node.func).split(".")[-1] == "Flag":
                first = node.args[0] if node.args else None
                if isinstance(first, ast.Constant):
                    codes.add(str(first.value))
    return codes


def test_every_flag_has_words():
    assert flag_codes() <= set(table("flags").rows)


def test_the_flags_that_the_contract_names_exist():
    named = {
        "clipped", "undersampled", "ringing", "dynamics-corrected", "double-contact", "beyond-calibration",
        "uncalibrated", "baseline-drift", "gap", "irregular-sampling", "ac-coupled", "low-signal",
        "truncated",
    }  # fmt: skip
    assert named <= flag_codes()


@pytest.mark.parametrize("name", table_names())
def test_every_reference_row_names_a_known_source(name):
    for key, row in table(name).rows.items():
        if name != "sources":
            assert row["source"] is not None, key
            assert source(row["source"])["title"]


@pytest.mark.parametrize("name", ["sources"])
def test_every_source_says_how_it_is_known(name):
    assert {row["status"] for row in table(name).rows.values()} <= {
        "seen",
        "handed down",
        "memory",
        "derived",
        "practice",
        "ours",
    }


def test_nothing_anywhere_is_called_safe():
    places = [
        *SOURCE.rglob("*.py"),
        *SOURCE.rglob("*.toml"),
        *SOURCE.rglob("*.csv"),
        *SOURCE.rglob("*.html"),
        *SOURCE.rglob("*.j2"),
    ]
    places += [*(ROOT / "docs").rglob("*.md"), ROOT / "README.md"]
    found = [
        f"{path.name}: {match.group(0)}"
        for path in places
        for match in VERDICTS.finditer(path.read_text(encoding="utf-8"))
    ]
    assert not found


def strings() -> list[tuple[str, str]]:
    """Return every string in the source as it is at run time: pieces joined, what is put in left out."""
    found = []
    for path in SOURCE.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.JoinedStr):
                pieces = [str(one.value) if isinstance(one, ast.Constant) else " " for one in node.values]
                found.append((path.name, "".join(pieces)))
            elif isinstance(node, ast.Constant) and isinstance(node.value, str):
                found.append((path.name, node.value))
    return found


def test_no_string_of_the_program_holds_the_word_at_all():
    # a sentence may be broken over lines of the source: what counts is the string it makes
    word = re.compile(r"\b(un)?safe(ly|r)?\b|\bno risk\b|\bnot dangerous\b", re.IGNORECASE)
    allowed = {("light.py", "unsafe")}  # numpy's name for a cast
    told = [(name, text) for name, text in strings() if word.search(text)]
    assert set(told) == allowed
    tables = [path for ending in ("toml", "csv") for path in SOURCE.rglob(f"*.{ending}")]
    assert not [path.name for path in tables if word.search(path.read_text(encoding="utf-8"))]
