"""tameshi compare, from recordings to words."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image

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


def pictures(folder, ending):
    return sorted(path.name for path in folder.iterdir() if path.suffix == ending)


def test_figures_are_written_in_both_forms_with_their_captions(result, study, tmp_path):
    folder = tmp_path / "pictures"
    found = result("compare", study, "--no-mixed", "--figures", folder)
    assert pictures(folder, ".svg") == ["distributions.svg", "timeline-1.svg", "timeline-2.svg"]
    assert [name.replace(".png", ".svg") for name in pictures(folder, ".png")] == pictures(folder, ".svg")
    assert sorted(Path(one).name for one in found["figures"]) == sorted(p.name for p in folder.iterdir())
    captions = (folder / "captions.txt").read_text()
    assert "Every point is a strike" in captions
    assert "no better strike" in captions


def test_figures_for_film_have_names_of_their_own(result, study, tmp_path):
    folder = tmp_path / "film"
    result("compare", study, "--no-mixed", "--figures", folder, "--transparent")
    assert "distributions-over-film.png" in pictures(folder, ".png")
    with Image.open(folder / "distributions-over-film.png") as opened:
        assert opened.convert("RGBA").getchannel("A").getpixel((1, 1)) == 0


def test_transparent_without_a_folder_is_refused(result, study):
    assert result("compare", study, "--transparent", status=2)["error"]["code"] == "no-figures"
    assert result("compare", study, "--power", "0.3", status=2)["error"]["code"] == "bad-power"


def test_a_folder_that_is_a_file_is_refused(result, study, tmp_path):
    path = tmp_path / "file"
    path.write_text("x")
    assert (
        result("compare", study, "--no-mixed", "--figures", path, status=2)["error"]["code"] == "not-a-folder"
    )


def test_claims_and_plans_are_printed(command, study):
    _, out, _ = command("compare", study, "--see", "10", "--no-mixed")
    assert "[clear for these strikes only]" in out
    assert "SD (95 %)" in out
    assert "athletes by power" in out
    assert "three on who struck both ways" in out


def test_athletes_are_compared_within_a_technique_only(result, study, tmp_path, command):
    path = several(tmp_path / "c.csv", [2000.0, 2100.0, 2050.0, 1950.0])
    command("study", "add", study, path, "--technique", "palm heel", "--athlete", "B02")
    found = result("compare", study, "--by", "athlete", "--no-mixed")
    (pair,) = found["pairs"]
    assert {pair["one"], pair["other"]} == {"palm heel, A07", "palm heel, B02"}
    assert "changed together" not in pair["doubt"]


def test_what_is_unpaired_is_listed(result, command, study):
    found = result("study", "show", study)["pairing"]
    assert [one["strike"] for one in found["strikes"]] == [1, 2, 3, 4, 1, 2, 3, 4]
    assert {one["code"] for one in found["alone"]} == {"strike-without-print", "no-session"}
    _, out, _ = command("study", "show", study)
    assert "a.csv: strikes 1, 2, 3, 4 are without a print of their own." in out
