"""tameshi compare, from recordings to words."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from tests.readers.files import FORCE, text


def several(path: Path, forces: list[float]) -> Path:
    samples = np.concatenate([force / FORCE.max() * FORCE for force in forces])
    lines = [f"{index / 20_000.0:.6f},{force:.4f}" for index, force in enumerate(samples)]
    path.write_bytes(text("time_s,force_N", lines))
    return path


@pytest.fixture
def study(tmp_path, command):
    folder = tmp_path / "club"
    command("study", "new", folder, "--name", "Invented club")
    for name, technique, forces in (
        ("a.csv", "palm heel", [2400.0, 2500.0, 2600.0, 2450.0]),
        ("b.csv", "hammer fist", [3000.0, 3100.0, 3300.0, 2900.0]),
    ):
        path = several(tmp_path / name, forces)
        added = command("study", "add", folder, path, "--technique", technique, "--athlete", "A07")
        assert added[0] == 0, added
    return folder


def test_a_difference_is_told_with_what_it_holds_for(result, command, study):
    found = result("compare", study, "--see", "10", "--no-mixed")
    assert found["schema"] == "tameshi.comparison/1"
    assert [group["trials"] for group in found["groups"]] == [4, 4]
    (pair,) = found["pairs"]
    assert pair["difference"]["low"] < pair["difference"]["value"] < pair["difference"]["high"]
    assert pair["unit"] == "strike"
    assert pair["plan"]["strikes"]["by_power"] >= 2
    assert pair["plan"]["athletes"] is None
    assert "three" in pair["plan"]["why"]
    _, out, _ = command("compare", study, "--no-mixed")
    assert "this one athlete in" in out
    assert "Hedges g" in out
    assert "may be part of it" in out or "different sessions" in out
    assert "no better strike" in out


def test_impulses_in_us_units(command, study):
    _, out, _ = command("compare", study, "--figure", "impulse", "--units", "us", "--no-mixed")
    assert "lbf" in out


def test_wrong_words_are_refused(result, study):
    assert result("compare", study, "--figure", "beauty", status=2)["error"]["code"] == "unknown-figure"
    assert result("compare", study, "--see", "0", status=2)["error"]["code"] == "out-of-range"


def test_a_study_without_strikes_says_so(command, tmp_path):
    folder = tmp_path / "empty"
    command("study", "new", folder)
    status, out, _ = command("compare", folder)
    assert status == 0
    assert "No strike of this study" in out
