"""The examples in the manual are target files, and what it says of materials is so."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import tameshi
from tameshi.reference import table
from tameshi.target.breaking import parse_target, predict

PAGE = (Path(tameshi.__file__).parents[2] / "docs" / "target-file.md").read_text(encoding="utf-8")
EXAMPLES = re.findall(r"```toml\n(.*?)```", PAGE, flags=re.DOTALL)


@pytest.mark.parametrize("text", EXAMPLES)
def test_an_example_can_be_predicted(text: str) -> None:
    assert predict(parse_target(text)).needs.force.value > 0.0


def test_there_are_three_examples() -> None:
    assert len(EXAMPLES) == 3


def test_every_species_and_material_is_named() -> None:
    listed = " ".join(PAGE.lower().split())
    for name in table("wood_species").rows:
        assert name.split()[0] in listed
    for name in table("breaking_materials").rows:
        assert name.split(",")[0] in listed


def test_the_species_without_strength_across_the_grain_are_those_named() -> None:
    missing = {name for name, entry in table("wood_species").rows.items() if "across" not in entry}
    assert missing == {"western white pine", "redwood", "paulownia"}
    soft = {name for name, entry in table("wood_species").rows.items() if "tangential" not in entry}
    assert soft == {"redwood", "paulownia"}
