import stat
from datetime import datetime, timedelta, timezone

import pytest

from tameshi.errors import StudyError, TameshiError, UnreadableError, WrongUseError
from tameshi.study import (
    PrintDescription,
    RecordingDescription,
    add_original,
    check,
    find_original,
    originals,
    prints,
    read_original,
    recordings,
    rigs,
)
from tests.files.limits import no_file_larger_than
from tests.study.samples import AT, LATER, PRINT, RECORDING, RIG, add, fill


def refusal(study, data=RECORDING, name="a.csv", kind="recording", at=AT, description=None) -> TameshiError:
    with pytest.raises(TameshiError) as caught:
        add_original(study, data, name=name, kind=kind, at=at, description=description)
    assert caught.value.hint
    return caught.value


def test_an_original_is_kept_byte_for_byte_and_protected(study, folder):
    original = add(study, RECORDING, "Evening.CSV")
    path = folder / "originals" / original.sha256[:2] / f"{original.sha256}.csv"
    assert path.read_bytes() == RECORDING == read_original(study, original)
    assert not stat.S_IMODE(path.stat().st_mode) & 0o222
    assert (original.name, original.size, original.kind) == ("Evening.CSV", len(RECORDING), "recording")


def test_the_moment_of_adding_is_given_and_kept_in_utc(study):
    here = timezone(timedelta(hours=5, minutes=30))
    original = add(study, RECORDING, "a.csv", at=datetime(2026, 3, 1, 2, 0, 0, 123456, tzinfo=here))
    assert original.added_at.isoformat() == "2026-02-28T20:30:00.123456+00:00"
    assert originals(study) == (original,)


def test_a_moment_without_a_zone_is_refused(study):
    assert refusal(study, at=datetime(2026, 3, 1)).code == "zone-missing"  # noqa: DTZ001


def test_the_same_file_again_changes_nothing(study, folder):
    original = add(study, RECORDING, "a.csv", description=RecordingDescription(technique="front kick"))
    before = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    for again in (None, RecordingDescription(), RecordingDescription(technique=" front  kick ")):
        added = add_original(study, RECORDING, name="b.txt", kind="recording", at=LATER, description=again)
        assert (added.outcome, added.original, added.changed) == ("already there", original, ())
    assert {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()} == before


def test_the_same_file_described_differently_says_what_changed_and_keeps_the_rest(study):
    add(study, RECORDING, "a.csv", description=RecordingDescription(technique="front kick", note="wet plate"))
    new = RecordingDescription(technique="side kick", athlete="A07")
    added = add_original(study, RECORDING, name="a.csv", kind="recording", at=LATER, description=new)
    assert (added.outcome, added.changed) == ("description updated", ("technique", "athlete"))
    (recording,) = recordings(study)
    assert recording.description == RecordingDescription(
        technique="side kick", athlete="A07", note="wet plate"
    )


def test_the_same_file_as_another_kind_becomes_that_kind(study):
    add(study, PRINT, "ink.png", "recording", RecordingDescription(technique="front kick"))
    typical = PrintDescription(technique="front kick")
    added = add_original(study, PRINT, name="ink.png", kind="print", at=LATER, description=typical)
    assert (added.outcome, added.changed) == ("description updated", ("kind",))
    assert recordings(study) == ()
    assert [(one.original.kind, one.description) for one in prints(study)] == [("print", typical)]


@pytest.mark.parametrize("data", [RIG, RECORDING], ids=["rig of a recording", "recording of a print"])
def test_what_others_refer_to_keeps_its_kind(study, data):
    fill(study)
    before = recordings(study), prints(study), rigs(study)
    assert refusal(study, data, kind="other").code == "still-referred-to"
    assert (recordings(study), prints(study), rigs(study)) == before


def test_a_lost_original_is_restored_by_adding_it_again(study):
    original = add(study, RECORDING, "a.csv")
    path = study.originals.place(original.sha256, original.name)
    path.unlink()
    added = add_original(study, RECORDING, name="other.txt", kind="recording", at=LATER)
    assert (added.outcome, added.original) == ("restored", original)
    assert path.read_bytes() == RECORDING


def test_a_changed_original_is_not_written_over(study):
    original = add(study, RECORDING, "a.csv")
    path = study.originals.place(original.sha256, original.name)
    path.chmod(0o644)
    path.write_bytes(b"tampered")
    error = refusal(study)
    assert isinstance(error, StudyError)
    assert error.code == "original-changed"
    assert path.read_bytes() == b"tampered"


def test_an_original_that_cannot_be_read_is_neither_written_over_nor_handed_out(study):
    original = add(study, RECORDING, "a.csv")
    path = study.originals.place(original.sha256, original.name)
    path.unlink()
    path.symlink_to("/proc/self/mem")  # a regular file whose first page cannot be read
    assert refusal(study).code == "original-unreadable"
    with pytest.raises(StudyError) as caught:
        read_original(study, original)
    assert caught.value.code == "original-unreadable"


def test_an_original_that_is_not_what_was_added_is_not_handed_out(study):
    original = add(study, RECORDING, "a.csv")
    path = study.originals.place(original.sha256, original.name)
    path.chmod(0o644)
    path.write_bytes(b"tampered")
    with pytest.raises(StudyError) as caught:
        read_original(study, original)
    assert caught.value.code == "original-changed"
    path.unlink()
    with pytest.raises(StudyError) as caught:
        read_original(study, original)
    assert caught.value.code == "original-missing"


def test_an_empty_file_is_refused(study):
    error = refusal(study, b"")
    assert isinstance(error, UnreadableError)
    assert error.code == "empty-file"


def test_a_file_beyond_the_limit_is_refused(study, monkeypatch):
    monkeypatch.setattr("tameshi.study.add.LARGEST", 3)
    assert refusal(study).code == "too-large"


def test_an_unknown_kind_is_refused_with_the_kinds_there_are(study):
    error = refusal(study, kind="moving picture")
    assert error.code == "unknown-kind"
    assert "recording, print, film, rig, lens, target, other" in error.hint


@pytest.mark.parametrize(
    ("kind", "description"),
    [("recording", PrintDescription()), ("print", RecordingDescription()), ("rig", RecordingDescription())],
)
def test_a_description_belongs_to_its_kind(study, folder, kind, description):
    assert refusal(study, kind=kind, description=description).code == "wrong-description"
    assert not list((folder / "originals").rglob("*"))


def test_a_rig_and_a_recording_referred_to_must_be_there_and_be_one(study):
    recording = add(study, RECORDING, "a.csv")
    assert refusal(study, b"x", description=RecordingDescription(rig="0" * 64)).code == "not-a-rig"
    assert refusal(study, b"x", description=RecordingDescription(rig=recording.sha256)).code == "not-a-rig"
    strike = PrintDescription(recording="0" * 64, strike=1)
    assert refusal(study, b"x", kind="print", description=strike).code == "not-a-recording"
    assert originals(study) == (recording,)


def test_a_full_disk_adds_nothing(study):
    with no_file_larger_than(10_000):
        error = refusal(study, bytes(20_000))
    assert isinstance(error, StudyError)
    assert error.code == "disk-full"
    assert originals(study) == ()
    assert check(study).findings == ()


def test_a_disk_that_has_no_room_for_the_catalogue_adds_nothing(study, folder):
    size = (folder / "catalogue.sqlite").stat().st_size
    said = RecordingDescription(note="n" * 2000)

    def add_many() -> None:
        for index in range(1000):
            add(study, b"%d" % index, "a.csv", description=said)

    with no_file_larger_than(size), pytest.raises(StudyError) as caught:
        add_many()
    assert caught.value.code == "disk-full"
    report = check(study)
    assert report.is_sound
    # the one that failed has its content on the disk and no row
    assert len(report.of("stray-file")) == 1
    assert add(study, b"%d" % report.original_count, "a.csv")
    assert check(study).findings == ()


def test_originals_are_found_by_name_and_by_the_start_of_their_hash(study):
    rig, recording, _, _ = fill(study)
    assert find_original(study, "post.toml") == rig
    assert find_original(study, recording.sha256[:8].upper()) == recording


def test_an_unknown_or_ambiguous_original_is_refused(study):
    add(study, b"1", "same.csv")
    add(study, b"2", "same.csv")
    for wanted, code in (
        ("same.csv", "ambiguous-original"),
        ("none.csv", "unknown-original"),
        ("6", "unknown-original"),
    ):
        with pytest.raises(WrongUseError) as caught:
            find_original(study, wanted)
        assert caught.value.code == code


def test_originals_are_listed_oldest_first(study):
    add(study, b"1", "a.csv", at=LATER)
    add(study, b"2", "z.csv")
    assert [one.name for one in originals(study)] == ["z.csv", "a.csv"]
    assert originals(study, "rig") == ()
