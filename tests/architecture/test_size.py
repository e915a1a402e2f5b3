"""Rooms stay small: a function fits on a screen, a file does one thing."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import tameshi

SOURCE = Path(tameshi.__file__).parent
LONGEST_BODY = 60
LONGEST_FILE = 450
FILES = sorted(SOURCE.rglob("*.py"))


def body_length(function: ast.FunctionDef) -> int:
    """Return the lines of a function without its signature and docstring."""
    body = function.body
    first = body[0]
    if isinstance(first, ast.Expr) and isinstance(first.value, ast.Constant) and len(body) > 1:
        body = body[1:]
    last = body[-1].end_lineno
    assert last is not None
    return last - body[0].lineno + 1


@pytest.mark.parametrize("path", FILES, ids=lambda path: f"{path.parent.name}/{path.name}")
def test_functions_and_files_stay_small(path):
    text = path.read_text(encoding="utf-8")
    functions = [node for node in ast.walk(ast.parse(text)) if isinstance(node, ast.FunctionDef)]
    assert not [function.name for function in functions if body_length(function) > LONGEST_BODY]
    assert text.count("\n") <= LONGEST_FILE
