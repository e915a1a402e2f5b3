"""Targets to break, as a study keeps them and a report tells them."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tameshi.cli import app
from tameshi.cli.outcome import run
from tameshi.demo.pulses import half_sine, together
from tameshi.report import Report, export_tables, make_report, to_html
from tameshi.report.parts import TargetPart
from tameshi.study import Study, open_study, originals, targets
from tests.report.club import AT, RIG, add, as_csv, empty, recording_of, volts
from tests.target.breaking.targets import BOARD, TILE


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("targets") / "study"
    with empty(made) as study:
        rig = add(study, RIG.encode(), "post.toml", "rig")
        peaks = [half_sine(2400.0 + 200.0 * n, 0.008, 0.25 + 0.3 * n) for n in range(3)]
        palm = as_csv(volts(together(peaks)))
        add(study, palm, "palm.csv", "recording", recording_of("palm heel", rig))
        fist = as_csv(volts(half_sine(1500.0, 0.006, 0.3), seed=2))
        add(study, fist, "fist.csv", "recording", recording_of("hammer fist", rig))
        add(study, BOARD.encode(), "board.toml", "target")
        add(study, (TILE + '[stack]\ncount = 2\nbetween = "spaced"\n').encode(), "tiles.toml", "target")
        add(study, BOARD.replace('grain = "across"', "").encode(), "grainless.toml", "target")
    return made


@pytest.fixture(scope="module")
def opened(folder: Path) -> Iterator[Study]:
    with open_study(folder) as study:
        yield study


@pytest.fixture(scope="module")
def told(opened: Study) -> Report:
    return make_report(opened, at=AT)


def part(told: Report, name: str) -> TargetPart:
    (found,) = (one for one in told.targets if one.place.words == name)
    return found


def test_every_technique_meets_every_target(told: Report) -> None:
    assert [one.place.words for one in told.targets] == ["board.toml", "grainless.toml", "tiles.toml"]
    board = part(told, "board.toml")
    assert [one.technique for one in board.techniques] == ["hammer fist", "palm heel"]
    assert all(one.drawing is not None for one in board.techniques)
    assert all(" in 100" in one.chance for one in board.techniques)
    assert "at least so many of the stack" in part(told, "tiles.toml").techniques[0].chance


def test_a_target_file_that_is_refused_stands_with_its_reason(told: Report) -> None:
    refused = part(told, "grainless.toml").refused
    assert refused is not None
    assert refused.code == "grain-missing"


def test_the_page_shows_chance_figure_cautions_and_sources(told: Report) -> None:
    page = to_html(told)
    assert 'id="breaking"' in page
    assert "Force needed and force brought, palm heel, club board" in page
    assert "Pieces fly." in page
    assert "[wood-handbook]" in page
    assert "Breaking targets" in page
    assert 'id="flag-mass-assumed"' in page
    assert 'id="flag-one-strike"' in page


def test_a_report_without_targets_has_no_such_section(report: Report, page: str) -> None:
    assert report.targets == ()
    assert 'id="breaking"' not in page
    assert "Pieces fly." not in page


def test_the_table_has_a_row_for_every_target_and_technique(opened: Study) -> None:
    table = next(one for one in export_tables(opened, at=AT) if one.name == "targets")
    names = [column.name for column in table.columns]
    rows = [dict(zip(names, row, strict=True)) for row in table.rows]
    assert [(row["target"], row["technique"]) for row in rows] == [
        ("board.toml", "hammer fist"),
        ("board.toml", "palm heel"),
        ("grainless.toml", None),
        ("tiles.toml", "hammer fist"),
        ("tiles.toml", "palm heel"),
    ]
    assert "grain" in str(rows[2]["why"])
    board = rows[1]
    assert 0.001 <= float(str(board["chance"])) <= 0.999
    assert float(str(board["breaking_force"])) > float(str(board["static_force"]))
    assert "mass-assumed" in str(board["flags"])
    assert str(rows[4]["chance_by_count"]).count(";") == 1


def test_a_study_is_broken_target_by_target_on_the_command_line(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(app, ["breaking", str(folder), "--json"]) == 0
    found: dict[str, Any] = json.loads(capsys.readouterr().out)
    assert found["schema"] == "tameshi.breakings/1"
    by_file = {one["file"]: one for one in found["targets"]}
    assert by_file["grainless.toml"]["error"]["code"] == "grain-missing"
    board = by_file["board.toml"]
    assert board["result"]["strike"] is None
    palm = next(one for one in board["techniques"] if one["technique"] == "palm heel")["result"]
    assert "parts" not in palm["needs"]["force"]
    assert palm["cautions"]
    assert run(app, ["study", "show", str(folder), "--json"]) == 0
    shown: dict[str, Any] = json.loads(capsys.readouterr().out)
    assert shown["targets"] == found["targets"]
    assert run(app, ["breaking", str(folder), "--technique", "palm heel", "--speed", "6 m/s"]) == 0
    out = capsys.readouterr().out
    assert "board.toml" in out
    assert "hammer fist" not in out
    assert "Pieces fly." in out
    for more, code in (
        (["--strike", "2 kN", "--duration", "5 ms"], "strike-unclear"),
        (["--picture", "a.svg"], "picture-unclear"),
        (["--technique", "elbow"], "unknown-technique"),
    ):
        assert run(app, ["breaking", str(folder), "--json", *more]) == 2
        assert json.loads(capsys.readouterr().out)["error"]["code"] == code


def test_a_target_file_that_the_study_does_not_hold_is_not_kept(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "board.toml"
    call = ["breaking", str(path), "--study", str(folder), "--technique", "palm heel", "--json"]
    path.write_text(BOARD + "\n", encoding="utf-8")
    assert run(app, call) == 0
    other = capsys.readouterr()
    assert "Not kept" in other.err
    path.write_text(BOARD, encoding="utf-8")
    assert run(app, call) == 0
    held = capsys.readouterr()
    assert "Not kept" not in held.err
    assert json.loads(held.out)["strike"] == json.loads(other.out)["strike"]


def test_the_command_takes_strikes_from_the_study(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "board.toml"
    path.write_text(BOARD, encoding="utf-8")
    call = ["breaking", str(path), "--study", str(folder), "--json"]
    assert run(app, [*call, "--technique", "palm heel", "--mass", "2.5 kg"]) == 0
    found: dict[str, Any] = json.loads(capsys.readouterr().out)
    assert found["strike"]["peak"]["value"] == pytest.approx(2600.0, rel=0.02)
    assert "struck-on-pad" in {flag["code"] for flag in found["flags"]}
    for more, code in (([], "technique-unclear"), (["--technique", "elbow"], "unknown-technique")):
        assert run(app, [*call, *more]) == 2
        assert json.loads(capsys.readouterr().out)["error"]["code"] == code


def test_target_files_are_told_from_rig_files_when_they_are_added(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for name, text in (
        ("board.toml", BOARD),
        ("post.toml", RIG),
        ("bad.toml", TILE.replace("fired clay", "glass")),
    ):
        (tmp_path / name).write_text(text, encoding="utf-8")
    folder = str(tmp_path / "study")
    assert run(app, ["study", "new", folder]) == 0
    assert run(app, ["study", "add", folder, str(tmp_path / "board.toml"), str(tmp_path / "post.toml")]) == 0
    capsys.readouterr()
    with open_study(tmp_path / "study") as study:
        assert [one.name for one in targets(study)] == ["board.toml"]
        assert {one.kind for one in originals(study)} == {"rig", "target"}
    assert run(app, ["study", "add", folder, str(tmp_path / "bad.toml"), "--json"]) == 3
    assert json.loads(capsys.readouterr().out)["error"]["code"] == "glass"
