"""Every code has words, every line of a budget a meaning, and no word is a verdict."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import tameshi
from tameshi.reference import source, table
from tameshi.report.methods import methods_of
from tameshi.report.provenance import citation
from tameshi.report.remarks import flags_met, remark, remarks

SOURCES = sorted(Path(tameshi.__file__).parent.rglob("*.py"))
FROM_A_NAME = {"blurred", "coarse"}
"""Codes that are given to a flag by a name, not in place."""


def codes_in_place() -> Iterator[str]:
    for path in SOURCES:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "Flag":
                code = node.args[0]
                if isinstance(code, ast.Constant):
                    yield str(code.value)


def lines_in_place() -> Iterator[str]:
    """Names of budget lines that are written out where a source of error is made."""
    for path in SOURCES:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
                place = {"Source": 1, "_gain_error": 1}.get(node.func.id)
                if place is not None and len(node.args) > place:
                    name = node.args[place]
                    if isinstance(name, ast.Constant):
                        yield str(name.value)


def test_flags_are_found_where_they_are_raised():
    assert {"clipped", "few-prints", "gap", "uncalibrated", "dark-rim"} <= set(codes_in_place())


@pytest.mark.parametrize("code", sorted({*codes_in_place(), *FROM_A_NAME}))
def test_every_flag_has_a_title_and_advice(code):
    row = table("flags").rows[code]
    assert row["title"]
    assert row["advice"].endswith(".")


def test_every_line_of_a_budget_has_a_meaning():
    assert set(lines_in_place()) <= set(table("budget_lines").rows)


def test_a_flag_nobody_has_worded_speaks_for_itself():
    told = remark({"code": "never-seen", "message": "Something was odd."})
    assert told.title == "Never seen"
    (met,) = flags_met([(told, "somewhere")])  # type: ignore[list-item]
    assert met.advice == ""


def test_the_same_flag_is_told_once_in_one_place():
    stored = {"code": "gap", "message": "Samples are missing during this contact."}
    assert len(remarks([stored, stored])) == 1


@pytest.mark.parametrize("name", ["flags", "cautions", "methods", "budget_lines", "contact_models"])
def test_no_fixed_word_is_a_verdict(name):
    words = " ".join(str(value) for row in table(name).rows.values() for value in row.values())
    assert not re.search(r"\bsafe|\bharmless\b|\bno risk\b|\bnot dangerous\b", words, re.IGNORECASE)


def test_every_source_of_a_method_is_known():
    for row in table("methods").rows.values():
        for key in row["sources"]:
            assert source(key)["title"]


def test_a_source_from_memory_says_so():
    assert citation("fieller").endswith("value from memory")
    assert "JCGM 100:2008" in citation("gum")


def test_nothing_measured_needs_no_methods():
    assert methods_of([], [], []) == ()


def test_cautions_say_what_must_be_said():
    words = " ".join(f"{row['lead']} {row['text']}" for row in table("cautions").rows.values())
    for needed in ("injures", "mean", "rigid", "may be used on a person", "rules and laws", "qualified"):
        assert needed in words
