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
