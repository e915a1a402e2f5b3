"""Imports run one way, and the measuring core touches nothing outside it."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest
from importlinter.cli import lint_imports

import tameshi

SOURCE = Path(tameshi.__file__).parent
ROOT = SOURCE.parent.parent
CORE = (
    "errors",
    "quantity",
    "reference",
    "rig",
    "force",
    "footprint",
    "pressure",
    "motion",
    "target",
    "tolerance",
)
FORBIDDEN_CALLS = {"open", "print", "input", "exec", "eval"}
FORBIDDEN_NAMES = {"time.time", "datetime.now", "datetime.today", "random.random", "random.default_rng"}


def core_files():
    return [path for package in CORE for path in sorted((SOURCE / package).rglob("*.py"))]


def test_the_contracts_hold(monkeypatch):
    monkeypatch.chdir(ROOT)
    assert lint_imports(config_filename=str(ROOT / "pyproject.toml"), no_cache=True) == 0


def test_every_package_stands_in_the_contract():
    # the contract is exhaustive; this says the same in one line where somebody adds a folder
    packages = {path.name for path in SOURCE.iterdir() if (path / "__init__.py").exists()}
    listed = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    missing = [name for name in packages if f'"{name}' not in listed and f'{name}"' not in listed]
    assert not missing


@pytest.mark.parametrize("path", core_files(), ids=lambda path: f"{path.parent.name}/{path.name}")
def test_a_core_file_opens_prints_and_times_nothing(path):
    tree = ast.parse(path.read_text(encoding="utf-8"))
    calls = [node.func for node in ast.walk(tree) if isinstance(node, ast.Call)]
    named = {func.id for func in calls if isinstance(func, ast.Name)}
    dotted = {ast.unparse(func) for func in calls if isinstance(func, ast.Attribute)}
    assert not named & FORBIDDEN_CALLS
    assert not {name for name in dotted if any(name.endswith(bad) for bad in FORBIDDEN_NAMES)}
