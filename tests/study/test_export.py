import csv
import hashlib
import io
import json
import zipfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tameshi.errors import StudyError, TameshiError, WrongUseError
from tameshi.study import (
    DataColumn,
    DataTable,
    PrintDescription,
    RecordingDescription,
    add_original,
    export,
    new_study,
    open_study,
)
from tameshi.study.schema import METADATA
from tests.files.limits import no_file_larger_than
from tests.study.samples import AT, LATER, PRINT, RECORDING, RIG, add, fill

STRIKES = DataTable(
    "strikes",
    [
        DataColumn("peak_force", "N", "Greatest force on the plate."),
        DataColumn("technique", "", "Technique."),
    ],
    [[2000.5, "palm heel"], [None, "=1+1"]],
)


def members(path: Path) -> dict[str, bytes]:
    with zipfile.ZipFile(path) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def rows(content: dict[str, bytes], table: str) -> list[dict[str, object]]:
    return [json.loads(line) for line in content[f"catalogue/{table}.jsonl"].decode().splitlines()]


@pytest.fixture
def archive(tmp_path: Path) -> Path:
    return tmp_path / "out.zip"


def test_originals_and_pictures_are_in_it_byte_for_byte(study, archive):
    rig, recording, ink, result = fill(study)
    export(study, archive)
    content = members(archive)
    for original, data in ((rig, RIG), (recording, RECORDING), (ink, PRINT)):
        ending = Path(original.name).suffix
        assert content[f"originals/{original.sha256[:2]}/{original.sha256}{ending}"] == data
    picture = result.files["trace.png"]
    assert content[f"derived/{picture[:2]}/{picture}.png"] == b"picture"


def test_every_row_of_the_catalogue_is_in_it(study, archive):
    rig, recording, ink, result = fill(study)
    export(study, archive)
    content = members(archive)
    assert {row["sha256"]: row["name"] for row in rows(content, "original")} == {
        one.sha256: one.name for one in (rig, recording, ink)
    }
    (said,) = rows(content, "recording")
    assert (said["technique"], said["athlete"], said["rig"]) == ("hammer fist", "A07", rig.sha256)
    (strike,) = rows(content, "contact_print")
    assert (strike["recording"], strike["strike"]) == (recording.sha256, 1)
    (kept,) = rows(content, "result")
    assert (kept["key"], kept["body"], kept["settings"]) == (result.key, {"strikes": []}, {})
    assert rows(content, "result_input")[0]["sha256"] == recording.sha256
    assert rows(content, "result_file")[0]["name"] == "trace.png"


def test_the_manifest_holds_the_hash_of_every_other_member(study, archive):
    fill(study)
    exported = export(study, archive, tables=[STRIKES])
    content = members(archive)
    manifest = content.pop("manifest.sha256").decode()
    expected = {name: hashlib.sha256(data).hexdigest() for name, data in content.items()}
    assert exported.manifest == expected
    assert manifest == "".join(f"{expected[name]}  {name}\n" for name in sorted(expected))


def test_the_same_study_gives_the_same_bytes(study, tmp_path):
    fill(study)
    for name in ("one.zip", "two.zip"):
        export(study, tmp_path / name, tables=[STRIKES])
    assert (tmp_path / "one.zip").read_bytes() == (tmp_path / "two.zip").read_bytes()


def test_a_study_made_again_in_another_order_gives_the_same_bytes(tmp_path):
    for name, order in (("one", (RECORDING, PRINT)), ("two", (PRINT, RECORDING))):
        with new_study(tmp_path / name, name="Spring") as study:
            for data in order:
                add(study, data, "a.csv")
            export(study, tmp_path / f"{name}.zip")
    assert (tmp_path / "one.zip").read_bytes() == (tmp_path / "two.zip").read_bytes()


def test_members_are_sorted_and_carry_one_date(study, archive):
    fill(study)
    export(study, archive)
    with zipfile.ZipFile(archive) as opened:
        names = [member.filename for member in opened.infolist()]
        assert names == [*sorted(names[:-1]), "manifest.sha256"]
        assert {member.date_time for member in opened.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        assert opened.testzip() is None


def test_tables_handed_over_are_in_it_with_units_and_guarded(study, archive):
    export(study, archive, tables=[STRIKES])
    assert (
        members(archive)["tables/strikes.csv"]
        == b"peak_force [N],technique\r\n2000.5,palm heel\r\n,'=1+1\r\n"
    )


def test_the_dictionary_explains_every_column(study, archive):
    export(study, archive, tables=[STRIKES])
    lines = list(csv.DictReader(io.StringIO(members(archive)["dictionary.csv"].decode())))
    explained = {(line["table"], line["column"]) for line in lines}
    kept = {
        (f"catalogue/{table.name}.jsonl", column.name)
        for table in METADATA.sorted_tables
        for column in table.c
    }
    assert explained == kept | {("tables/strikes.csv", "peak_force"), ("tables/strikes.csv", "technique")}
    assert all(line["meaning"] for line in lines)
    units = {line["column"]: line["unit"] for line in lines}
    assert (units["bar_length"], units["rate"]) == ("m", "Hz")


@pytest.mark.parametrize("names", [["../strikes"], ["Strikes"], [""], ["strikes", "strikes"]])
def test_names_of_tables_are_plain_and_used_once(study, archive, names):
    with pytest.raises(WrongUseError) as caught:
        export(study, archive, tables=[DataTable(name, [], []) for name in names])
    assert caught.value.code == "bad-table-name"
    assert not archive.exists()


@pytest.mark.parametrize(("harm", "code"), [(b"x", "original-changed"), (None, "original-missing")])
def test_nothing_damaged_is_handed_on(study, archive, harm, code):
    rig, *_ = fill(study)
    archive.write_bytes(b"last year's")
    path = study.originals.place(rig.sha256, rig.name)
    path.unlink()
    if harm:
        path.write_bytes(harm)
    with pytest.raises(StudyError) as caught:
        export(study, archive)
    assert caught.value.code == code
    assert archive.read_bytes() == b"last year's"


def test_a_full_disk_leaves_the_archive_that_was_there(study, archive):
    add(study, bytes(50_000), "a.csv")
    archive.write_bytes(b"last year's")
    with no_file_larger_than(40_000), pytest.raises(TameshiError) as caught:
        export(study, archive)
    assert caught.value.code == "disk-full"
    assert archive.read_bytes() == b"last year's"
    assert [path.name for path in archive.parent.glob("*.zip")] == ["out.zip"]
    with pytest.raises(TameshiError) as caught:
        export(study, Path("/dev/full"))
    assert caught.value.code == "disk-full"


def test_a_study_open_for_reading_can_be_exported(study, folder, archive):
    fill(study)
    with open_study(folder, read_only=True) as reader:
        assert export(reader, archive).path == archive


def test_progress_is_told_member_by_member(study, archive):
    told: list[tuple[int, int]] = []
    exported = export(study, archive, progress=lambda done, total: told.append((done, total)))
    assert told[-1] == (len(exported.manifest), len(exported.manifest))


odd_names = st.text(alphabet=st.characters(codec=None), max_size=140)


@settings(max_examples=20, deadline=None)
@given(st.lists(st.tuples(odd_names, st.binary(min_size=1, max_size=20)), min_size=1, max_size=5))
def test_names_with_odd_characters_survive_adding_and_exporting(tmp_path_factory, files):
    folder = tmp_path_factory.mktemp("odd")
    with new_study(folder / "study", name="Odd") as study:
        added = {}
        for name, data in files:
            original = add_original(study, data, name=name, kind="other", at=AT).original
            added[original.sha256] = (original.name, data)
        export(study, folder / "out.zip")
    content = members(folder / "out.zip")
    assert {row["sha256"]: row["name"] for row in rows(content, "original")} == {
        sha256: name for sha256, (name, _) in added.items()
    }
    kept = {Path(name).stem: data for name, data in content.items() if name.startswith("originals/")}
    assert kept == {sha256: data for sha256, (_, data) in added.items()}


def test_moments_are_in_utc_and_exact(study, archive):
    add(study, RECORDING, "a.csv", description=RecordingDescription(), at=LATER)
    add(study, PRINT, "b.png", "print", PrintDescription())
    export(study, archive)
    moments = {row["name"]: row["added_at"] for row in rows(members(archive), "original")}
    assert moments == {"a.csv": "2026-03-02T12:00:00+00:00", "b.png": "2026-03-01T12:00:00+00:00"}
