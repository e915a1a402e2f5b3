"""What a kill -9 and two programs at once leave of a study; see interrupted.py for how."""

import json
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from tests.files.child import python


def found(way: str, folder: Path) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = json.loads(python("-m", "tests.study.interrupted", way, str(folder)))
    return found


@pytest.fixture(scope="module")
def deaths(tmp_path_factory: pytest.TempPathFactory) -> list[dict[str, Any]]:
    return found("killed_at_every_step", tmp_path_factory.mktemp("deaths") / "study")


def test_an_addition_killed_before_any_of_its_steps_breaks_nothing(deaths):
    assert {death["step"] for death in deaths} >= {
        "mkdir",
        "write",
        "chmod",
        "fsync",
        "replace",
        "execute",
        "commit",
    }
    assert [death["broken"] for death in deaths] == [[]] * len(deaths)


def test_an_interrupted_addition_can_be_done_again(deaths):
    """Only after the commit, the last but one step, is it there already."""
    steps = [death["step"] for death in deaths]
    committed = steps.index("commit")
    outcomes = [death["again"] for death in deaths]
    assert outcomes == ["added"] * (committed + 1) + ["already there"] * (len(deaths) - committed - 1)


def test_a_row_is_committed_only_when_content_name_and_folders_are_on_the_disk(deaths):
    steps = [death["step"] for death in deaths]
    kept = [step for step in steps if step in {"mkdir", "write", "fsync", "replace", "commit"}]
    assert kept == ["mkdir", "fsync", "write", "fsync", "replace", "fsync", "commit"]


def test_a_process_killed_at_any_moment_breaks_nothing(folder):
    deaths = found("killed_at_any_moment", folder)
    assert [death["broken"] for death in deaths] == [[]] * len(deaths)
    counts = [death["known"] for death in deaths]
    assert all(later > earlier for earlier, later in pairwise([0, *counts]))


def test_processes_adding_the_same_files_at_once_keep_each_once(folder):
    assert found("added_at_once", folder) == [{"known": 30, "broken": [], "findings": 0}]
