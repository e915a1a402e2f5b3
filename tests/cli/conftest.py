"""Files to give to commands, made once: an invented recording, a rig file, a photo of a print."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tameshi.cli import app
from tameshi.cli.outcome import run
from tameshi.demo.photo import as_jpeg
from tests.footprint.scenes import drawn_sheet, plain_photo, simple_photo, snapped
from tests.readers.files import CSV, wav
from tests.rig.rigs import RIG

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture(scope="session")
def files(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder with files of every kind that commands take."""
    folder = tmp_path_factory.mktemp("files")
    (folder / "strike.csv").write_bytes(CSV)
    (folder / "strike.wav").write_bytes(wav())
    (folder / "rig.toml").write_text(RIG, encoding="utf-8")
    (folder / "print.jpg").write_bytes(as_jpeg(simple_photo()))
    (folder / "plain.jpg").write_bytes(as_jpeg(plain_photo()))
    (folder / "blank.jpg").write_bytes(as_jpeg(snapped(drawn_sheet())))
    return folder


@pytest.fixture
def command(capsys: pytest.CaptureFixture[str]) -> Run:
    """Return a function that runs a command and returns its status, output and news."""

    def run_command(*arguments: object) -> tuple[int, str, str]:
        status = run(app, [str(argument) for argument in arguments])
        captured = capsys.readouterr()
        return status, captured.out, captured.err

    return run_command


@pytest.fixture
def result(command: Run) -> Callable[..., Any]:
    """Return a function that runs a command with --json and returns the one object it prints."""

    def run_for_json(*arguments: object, status: int = 0) -> Any:
        ended, out, _ = command(*arguments, "--json")
        assert ended == status, out
        assert out.count("\n") == 1
        return json.loads(out)

    return run_for_json
