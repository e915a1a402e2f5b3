from pathlib import Path
from typing import Any

import pytest

from tests.cli.conftest import Run
from tests.target.breaking.targets import BOARD, TILE

STRIKE = ["--strike", "2 kN", "--duration", "5 ms"]


@pytest.fixture
def board(tmp_path: Path) -> Path:
    path = tmp_path / "board.toml"
    path.write_text(BOARD, encoding="utf-8")
    return path


def test_a_typed_strike_gives_a_chance_and_what_it_hangs_on(result: Any, board: Path) -> None:
    found = result("breaking", board, *STRIKE, "--mass", "2.5 kg", "--scatter", "15 %")
    assert found["schema"] == "tameshi.breaking/1"
    assert set(found) == {"schema", "target", "needs", "strike", "sources", "cautions", "flags"}
    assert set(found["needs"]) == {
        "static_force", "force", "deflection", "energy", "stiffness", "mass", "period",
    }  # fmt: skip
    brought = found["strike"]
    assert brought["peak"]["value"] == pytest.approx(2000.0)
    assert brought["needed"]["low"] < brought["needed"]["value"] < brought["needed"]["high"]
    assert 0.001 <= brought["chance"] <= 0.999
    assert brought["chance_bound"] is None
    assert sum(brought["shares"].values()) == pytest.approx(1.0)
    assert "peak force" in brought["shares"]
    assert found["needs"]["energy"]["unit"] == "J"


def test_without_a_strike_it_tells_what_the_target_needs(result: Any, board: Path) -> None:
    found = result("breaking", board)
    assert found["strike"] is None
    assert found["needs"]["force"]["value"] > found["needs"]["static_force"]["value"]


def test_a_recording_gives_the_strike(result: Any, board: Path, files: Path) -> None:
    recorded = ["--recording", files / "strike.csv", "--rig", files / "rig.toml"]
    found = result("breaking", board, *recorded)
    seen = result("strikes", files / "strike.csv", "--rig", files / "rig.toml")["strikes"]
    peaks = [one["peak_force"]["value"] for one in seen]
    assert min(peaks) * 0.999 <= found["strike"]["peak"]["value"] <= max(peaks) * 1.001
    assert found["strike"]["dynamic_factor_of_course"] is not None
    first = result(
        "breaking", board, "--recording", files / "strike.csv", "--rig", files / "rig.toml", "--number", 1
    )
    assert first["strike"]["peak"]["value"] == pytest.approx(peaks[0])
    assert "one-strike" in {flag["code"] for flag in first["flags"]}


def test_people_read_cautions_and_no_promise(command: Run, board: Path) -> None:
    status, out, _ = command("breaking", board, *STRIKE)
    assert status == 0
    assert "Chance that it breaks: about" in out
    for word in ("eye protection", "instructor", "no promise", "The doubt comes from", "Wood Handbook"):
        assert word in out
    assert "will break" not in out


def test_a_stack_with_spacers_is_counted(command: Run, board: Path) -> None:
    board.write_text(BOARD + '[stack]\ncount = 3\nbetween = "spaced"\n', encoding="utf-8")
    _, out, _ = command("breaking", board, "--strike", "5 kN", "--duration", "6 ms", "--units", "us")
    assert "At least so many of the stack: 1: " in out
    assert "lbf" in out


def test_a_picture_is_drawn(command: Run, board: Path, tmp_path: Path) -> None:
    call = ["breaking", board, *STRIKE, "--scatter", "10 %", "--picture"]
    status, _, news = command(*call, tmp_path / "a.svg")
    assert status == 0
    assert "a.svg" in news
    drawn = (tmp_path / "a.svg").read_text(encoding="utf-8")
    assert drawn.startswith("<svg")
    assert "Chance that" in drawn
    again = tmp_path / "b.svg"
    command(*call, again)
    assert again.read_text(encoding="utf-8") == drawn


@pytest.mark.parametrize(
    ("more", "code", "status"),
    [
        (["--strike", "2 kN"], "duration-missing", 2),
        (["--strike", "2000", "--duration", "5 ms"], "unit-missing", 2),
        ([*STRIKE, "--recording", "strike.csv"], "strike-unclear", 2),
        ([*STRIKE, "--mass", "2 kg", "--speed", "5 m/s"], "mass-and-speed", 2),
        (["--picture", "nothing.svg"], "no-strike-given", 2),
    ],
)
def test_wrong_calls_are_told(result: Any, board: Path, more: list[str], code: str, status: int) -> None:
    assert result("breaking", board, *more, status=status)["error"]["code"] == code


@pytest.mark.parametrize(
    ("text", "code", "status"),
    [
        (BOARD.replace('grain = "across"', ""), "grain-missing", 2),
        (TILE.replace("fired clay", "mirror"), "glass", 3),
        (
            BOARD + '[tested]\nmodulus_of_rupture = "59 MPa"\ndirection = "along"\n',
            "strength-along-grain",
            2,
        ),
    ],
)
def test_refusals_reach_the_command(result: Any, board: Path, text: str, code: str, status: int) -> None:
    board.write_text(text, encoding="utf-8")
    error = result("breaking", board, *STRIKE, status=status)["error"]
    assert error["code"] == code
    assert error["hint"]


def test_a_recording_without_a_strike_says_so(result: Any, board: Path, tmp_path: Path) -> None:
    quiet = tmp_path / "quiet.csv"
    lines = (f"{index / 20_000.0:.6f},{0.001 * (-1) ** index}" for index in range(4000))
    quiet.write_text("t [s],force [N]\n" + "\n".join(lines), encoding="utf-8")
    found = result("breaking", board, "--recording", quiet, status=3)["error"]
    assert found["code"] == "no-strike"
    assert "quiet.csv" in found["message"]
