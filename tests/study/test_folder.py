import sqlite3
from pathlib import Path

import pytest

from tameshi.errors import StudyError, TameshiError, WrongUseError
from tameshi.study import CheckReport, check, new_study, open_study, originals
from tameshi.study.catalogue import writing
from tests.files.child import unprivileged
from tests.files.limits import no_file_larger_than
from tests.study.samples import AT, RECORDING, add, fill


def refusal(folder: Path) -> TameshiError:
    with pytest.raises(TameshiError) as caught:
        open_study(folder)
    assert caught.value.hint
    return caught.value


def refusal_to_make(folder: Path, name: str = "Spring", units: str = "si") -> TameshiError:
    with pytest.raises(TameshiError) as caught:
        new_study(folder, name=name, units=units)  # type: ignore[arg-type]
    assert caught.value.hint
    return caught.value


@pytest.mark.parametrize("name", ["Spring", 'quoted "x" \\ back', "Frühling µ 試し", "= 1 # no comment"])
def test_a_new_study_opens_again_with_its_name_and_units(folder, name):
    new_study(folder, name=name, units="us")
    with open_study(folder) as study:
        assert (study.name, study.units, study.read_only) == (name, "us", False)
        assert check(study) == CheckReport(0, 0, ())


def test_a_study_can_be_made_in_an_empty_folder_of_any_name(tmp_path):
    odd = tmp_path / "50 % off? #1 & ä"
    odd.mkdir()
    with new_study(odd, name="Spring") as study:
        add(study, RECORDING, "a.csv")
    with open_study(odd) as study:
        assert len(originals(study)) == 1


@pytest.mark.usefixtures("study")
def test_a_person_may_edit_name_and_units(folder):
    (folder / "study.toml").write_text('format = 1\nname = "Autumn"\nunits = "us"\n')
    with open_study(folder) as edited:
        assert (edited.name, edited.units) == ("Autumn", "us")


@pytest.mark.usefixtures("study")
def test_a_study_is_not_made_twice(folder):
    assert refusal_to_make(folder).code == "study-exists"


def test_a_study_is_not_made_among_other_files(folder):
    folder.mkdir()
    (folder / "thesis.txt").write_text("mine")
    assert refusal_to_make(folder).code == "folder-not-empty"
    assert [path.name for path in folder.iterdir()] == ["thesis.txt"]


def test_a_study_is_not_made_in_a_missing_folder_or_over_a_file(tmp_path):
    (tmp_path / "file").touch()
    assert refusal_to_make(tmp_path / "none" / "study").code == "no-such-folder"
    assert refusal_to_make(tmp_path / "file").code == "not-a-folder"


def test_a_study_needs_a_name_and_a_known_system_of_units(folder):
    assert refusal_to_make(folder, name=" \t").code == "name-missing"
    assert refusal_to_make(folder, units="metric").code == "unknown-units"
    assert not folder.exists()


def test_a_full_disk_leaves_no_half_made_study(folder):
    with no_file_larger_than(3000):
        error = refusal_to_make(folder)
    assert isinstance(error, StudyError)
    assert error.code == "disk-full"
    assert not folder.exists()


def test_a_study_is_not_made_on_a_read_only_disk(tmp_path):
    tmp_path.chmod(0o555)
    body = "new_study(path / 'study', name='Spring')"
    assert unprivileged(body, tmp_path) == "StudyError read-only 3"
    tmp_path.chmod(0o755)


@pytest.mark.parametrize("make", [Path.mkdir, Path.touch, Path.absolute], ids=["folder", "file", "none"])
def test_what_is_no_study_is_refused_with_the_command_that_makes_one(folder, make):
    make(folder)
    error = refusal(folder)
    assert isinstance(error, StudyError)
    assert error.code == "not-a-study"
    assert "tameshi study new" in error.hint


@pytest.mark.usefixtures("study")
def test_a_newer_format_is_refused_with_both_versions(folder):
    (folder / "study.toml").write_text('format = 7\nname = "Spring"\nunits = "si"\n')
    error = refusal(folder)
    assert error.code == "study-too-new"
    assert "format 7" in error.message
    assert "up to 1" in error.message


@pytest.mark.usefixtures("study")
@pytest.mark.parametrize(
    "text",
    [
        b"",
        b"format = 1\nname = ",
        b"\xff\xfe\x00",
        b'format = 1\nname = "x"\nunits = "cgs"',
        b'name = "x"\nunits = "si"',
        b'format = "1"\nname = "x"\nunits = "si"',
        b'format = 1\nname = 5\nunits = "si"',
        b'format = 1\nname = "x"\nunits = ["si"]',
    ],
)
def test_a_damaged_description_is_refused(folder, text):
    (folder / "study.toml").write_bytes(text)
    assert refusal(folder).code == "study-damaged"


@pytest.mark.usefixtures("study")
@pytest.mark.parametrize("content", [None, b"", b"not a database" * 100])
def test_a_catalogue_that_is_missing_empty_or_something_else_is_refused(folder, content):
    (folder / "catalogue.sqlite").unlink()
    if content is not None:
        (folder / "catalogue.sqlite").write_bytes(content)
    error = refusal(folder)
    assert isinstance(error, StudyError)
    assert error.code == "study-damaged"


def test_a_study_open_for_reading_is_not_written(study, folder):
    fill(study)
    with open_study(folder, read_only=True) as reader:
        assert len(originals(reader)) == 3
        with pytest.raises(StudyError) as caught:
            add(reader, b"more", "b.csv")
    assert caught.value.code == "read-only"


READ = """
study = open_study(path)
assert study.read_only and len(recordings(study)) == 1 and len(results(study)) == 1 and check(study).is_sound
"""
ADD = "add_original(study, b'more', name='b.csv', kind='recording', at=AT)"
DESCRIBE = "describe(study, recordings(study)[0].original.sha256, RecordingDescription(note='x'))"
STORE = "store_result(study, Recipe(kind='x', schema='x/1', inputs={}), {}, at=AT)"


@pytest.mark.parametrize(
    ("action", "outcome"), [("", "done")] + [(a, "StudyError read-only 3") for a in (ADD, DESCRIBE, STORE)]
)
def test_a_study_on_a_read_only_disk_is_read_and_not_written(study, folder, action, outcome):
    fill(study)
    everything = [folder, *folder.rglob("*")]
    for path in everything:
        path.chmod(0o555 if path.is_dir() else 0o444)
    assert unprivileged(READ + action, folder) == outcome
    for path in everything:
        path.chmod(0o755)


def test_a_folder_that_turns_read_only_under_an_open_study_is_noticed(study, folder):
    body = f"""
study = open_study(path)
path.chmod(0o555)
(path / "originals").chmod(0o555)
{ADD}
"""
    assert unprivileged(body, folder) == "StudyError read-only 3"
    assert originals(study) == ()


def test_a_catalogue_that_turns_read_only_under_an_open_study_is_noticed(study, folder):
    fill(study)
    body = f"study = open_study(path)\npath.chmod(0o555)\n{DESCRIBE}"
    assert unprivileged(body, folder) == "StudyError read-only 3"
    folder.chmod(0o755)
    assert check(study).is_sound


@pytest.mark.usefixtures("study")
def test_a_study_nobody_may_look_into_is_refused(folder):
    folder.chmod(0)
    body = "open_study(path)"
    assert unprivileged(body, folder) == "StudyError no-permission 3"
    folder.chmod(0o755)


def test_the_catalogue_keeps_references_and_flushes_every_write(study):
    with study.catalogue.connect() as connection:
        assert connection.exec_driver_sql("PRAGMA foreign_keys").scalar() == 1
        assert (
            connection.exec_driver_sql("PRAGMA synchronous").scalar() == 2
        )  # FULL, SQLite's manual of pragmas


def test_a_write_holds_the_lock_from_its_start(study, folder):
    """Else two that read first and write then would block each other for good."""
    other = sqlite3.connect(folder / "catalogue.sqlite", isolation_level=None, timeout=0)
    with writing(study.catalogue), pytest.raises(sqlite3.OperationalError, match="locked"):
        other.execute("BEGIN IMMEDIATE")
    other.close()


def test_a_study_that_another_program_keeps_locked_is_busy(study, folder, monkeypatch):
    monkeypatch.setattr("tameshi.study.catalogue.PATIENCE", 0.05)
    other = sqlite3.connect(folder / "catalogue.sqlite", isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    with pytest.raises(StudyError) as caught:
        add(study, RECORDING, "a.csv")
    other.close()
    assert caught.value.code == "study-busy"
    assert add(study, RECORDING, "a.csv").added_at == AT


def test_wrong_use_of_new_is_exit_two(tmp_path):
    assert isinstance(refusal_to_make(tmp_path / "none" / "study"), WrongUseError)
