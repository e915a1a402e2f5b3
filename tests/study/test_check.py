import sqlite3

import pytest

from tameshi.study import Study, check
from tests.study.samples import fill


def flip_a_bit(path) -> None:
    path.chmod(0o644)
    data = bytearray(path.read_bytes())
    data[len(data) // 2] ^= 1
    path.write_bytes(data)


def codes(study: Study) -> list[str]:
    return sorted(finding.code for finding in check(study).findings)


def tamper(study: Study, statement: str, *values: object) -> None:
    """Change the catalogue as another program would, without asking it to keep references."""
    with sqlite3.connect(study.folder / "catalogue.sqlite") as connection:
        connection.execute(statement, values)
    connection.close()


def test_a_sound_study_has_no_findings(study):
    fill(study)
    report = check(study)
    assert (report.original_count, report.result_count, report.findings) == (3, 1, ())
    assert report.is_sound


def test_a_flipped_bit_in_an_original_is_found_with_what_hangs_on_it(study):
    _, recording, _, result = fill(study)
    flip_a_bit(study.originals.place(recording.sha256, recording.name))
    report = check(study)
    assert [(finding.code, finding.subject) for finding in report.findings] == [
        ("original-changed", recording.sha256),
        ("result-orphaned", result.key),
    ]
    assert "recording" in report.of("result-orphaned")[0].message
    assert not report.is_sound


def test_a_deleted_original_is_found_with_what_hangs_on_it(study):
    _, recording, _, _ = fill(study)
    study.originals.place(recording.sha256, recording.name).unlink()
    assert codes(study) == ["original-missing", "result-orphaned"]


def test_an_original_that_cannot_be_read_is_found(study):
    rig, *_ = fill(study)
    path = study.originals.place(rig.sha256, rig.name)
    path.unlink()
    path.symlink_to("/proc/self/mem")
    assert codes(study) == ["original-unreadable"]


@pytest.mark.parametrize("harm", [flip_a_bit, lambda path: path.unlink()], ids=["changed", "missing"])
def test_a_picture_that_is_not_as_made_is_found(study, harm):
    *_, result = fill(study)
    harm(study.derived.place(result.files["trace.png"], "trace.png"))
    (finding,) = check(study).findings
    assert finding.code in {"derived-changed", "derived-missing"}
    assert "Measure again" in finding.hint


@pytest.mark.parametrize("name", ["originals/zz/stray.csv", "derived/note.txt", ".tameshi-0123.part"])
def test_stray_files_are_listed_and_harmless(study, folder, name):
    fill(study)
    (folder / name).parent.mkdir(exist_ok=True)
    (folder / name).write_bytes(b"?")
    report = check(study)
    assert [(finding.code, finding.subject) for finding in report.findings] == [("stray-file", name)]
    assert report.is_sound


def test_what_a_person_keeps_beside_is_not_stray(study, folder):
    (folder / "report").mkdir()
    (folder / "report" / "index.html").touch()
    (folder / "notes.txt").touch()
    assert check(study).findings == ()


def test_a_check_repairs_nothing(study, folder):
    rig, recording, _, _ = fill(study)
    flip_a_bit(study.originals.place(recording.sha256, recording.name))
    study.originals.place(rig.sha256, rig.name).unlink()
    (folder / "originals" / "stray").touch()
    before = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    assert check(study) == check(study)
    assert {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()} == before


def test_a_result_whose_original_left_the_catalogue_is_found(study):
    _, recording, _, _ = fill(study)
    tamper(study, "DELETE FROM original WHERE sha256 = ?", recording.sha256)
    assert {"catalogue-damaged", "result-orphaned", "stray-file"} <= set(codes(study))


@pytest.mark.parametrize(
    ("column", "value"), [("settings", '{"x":1}'), ("body", '{"x":1}'), ("software", "9.9")]
)
def test_a_result_that_is_not_what_was_stored_is_found(study, column, value):
    fill(study)
    tamper(study, f"UPDATE result SET {column} = ?", value)
    assert codes(study) == ["result-damaged"]


@pytest.mark.parametrize(
    ("table", "column", "value"),
    [
        ("original", "sha256", "../../../etc/passwd"),
        ("original", "sha256", b"\x00" * 64),
        ("original", "name", b"blob"),
        ("original", "added_at", "yesterday"),
        ("result", "body", "{"),
        ("result", "settings", "[1]"),
        ("result", "made_at", 5),
        ("result_file", "sha256", "../../x"),
    ],
)
def test_a_cell_that_cannot_be_is_damage_and_never_a_path(study, table, column, value):
    fill(study)
    tamper(study, f"UPDATE {table} SET {column} = ? WHERE rowid = 1", value)
    report = check(study)
    assert any(f"{table}.{column}" in one.message or "damaged" in one.message for one in report.findings)
    assert not report.is_sound


def test_originals_are_checked_even_without_their_rows(study):
    """Their names say what they should be."""
    _, recording, _, _ = fill(study)
    tamper(study, "UPDATE original SET name = ? WHERE sha256 <> ?", b"blob", recording.sha256)
    flip_a_bit(study.originals.place(recording.sha256, recording.name))
    report = check(study)
    assert report.of("catalogue-damaged")
    assert [finding.subject for finding in report.of("original-changed")] == [recording.sha256]
    assert {finding.code for finding in report.findings} == {
        "catalogue-damaged",
        "original-changed",
    }


def test_progress_is_told_file_by_file(study):
    fill(study)
    told: list[tuple[int, int]] = []
    check(study, progress=lambda done, total: told.append((done, total)))
    assert told == [(1, 4), (2, 4), (3, 4), (4, 4)]
