"""A study from the command line, from nothing to its report and its archive."""

from __future__ import annotations

import json
import zipfile
from pathlib import Path

import pytest

from tests.files.child import unprivileged
from tests.readers.files import wav


@pytest.fixture
def study(tmp_path: Path, files, command) -> Path:
    folder = tmp_path / "club"
    assert command("study", "new", folder, "--name", "Invented club")[0] == 0
    added = command(
        "study", "add", folder, files / "rig.toml", files / "strike.wav", files / "print.jpg",
        "--technique", "palm heel", "--athlete", "A07", "--bar", "100 mm",
    )  # fmt: skip
    assert added[0] == 0, added
    return folder


def test_everything_is_measured_and_joined(result, study):
    found = result("study", "show", study)
    assert found["schema"] == "tameshi.study/1"
    (recording,) = found["recordings"]
    assert recording["result"]["recording"]["conversion"] == "ratings"  # the study's only rig was taken
    (contact,) = found["prints"]
    assert contact["result"]["contact_area"]["value"] == pytest.approx(3.1416 * 0.02**2, rel=0.01)
    (pressure,) = found["pressures"]
    assert pressure["result"]["mean_pressure"]["value"] > 1e6
    assert "few-prints" in {flag["code"] for flag in pressure["result"]["flags"]}
    assert found["missing"] == []


def test_show_gives_the_figures_that_strikes_gives(result, study, files):
    alone = result("strikes", files / "strike.wav", "--rig", files / "rig.toml")["strikes"][0]
    kept = result("study", "show", study)["recordings"][0]["result"]["strikes"][0]
    assert kept == alone


def test_show_for_a_person_says_what_is_missing(command, tmp_path, files):
    folder = tmp_path / "empty"
    command("study", "new", folder)
    _, out, _ = command("study", "show", folder)
    assert "No recordings yet" in out
    command("study", "add", folder, files / "strike.csv", "--technique", "hammer fist")
    _, out, _ = command("study", "show", folder)
    assert "No print of hammer fist" in out


def test_adding_the_same_file_twice_changes_nothing(result, study, files):
    before = (study / "catalogue.sqlite").read_bytes()
    added = result("study", "add", study, files / "strike.wav")["added"]
    assert [one["outcome"] for one in added] == ["already there"]
    assert (study / "catalogue.sqlite").read_bytes() == before


def test_a_print_of_one_strike_is_joined_with_that_strike(result, study, files):
    result("study", "add", study, files / "print.jpg", "--strike", "strike.wav:1")
    (pressure,) = result("study", "show", study)["pressures"]
    assert pressure["result"]["own_print"] is True


def test_a_file_that_cannot_be_measured_stands_with_its_reason(result, study, files, tmp_path):
    bad = tmp_path / "bad.csv"
    bad.write_bytes(b"time_s,force_N\n0,hello\n")
    result("study", "add", study, bad, files / "blank.jpg", "--technique", "palm heel")
    found = result("study", "show", study)
    assert [("error" in one) for one in found["recordings"]] == [False, True]
    assert [("error" in one) for one in found["prints"]] == [False, True]


def test_check_hashes_originals_again(result, study):
    assert result("study", "check", study)["sound"] is True
    original = next((study / "originals").rglob("*.wav"))
    original.chmod(0o644)
    damaged = bytearray(original.read_bytes())
    damaged[1000] ^= 1
    original.write_bytes(damaged)
    found = result("study", "check", study, status=3)
    assert found["sound"] is False
    assert any(original.stem in str(finding) for finding in found["findings"]), found


def test_export_holds_originals_and_tables(result, study, tmp_path):
    archive = tmp_path / "club.zip"
    found = result("study", "export", study, "-o", archive)
    assert found["file"] == str(archive)
    with zipfile.ZipFile(archive) as opened:
        names = opened.namelist()
        assert any(name.startswith("originals/") and name.endswith(".wav") for name in names)
        strikes = opened.read("tables/strikes.csv").decode()
    assert "peak_force" in strikes.splitlines()[0]
    assert "[N]" in strikes.splitlines()[0]


def test_report_is_one_page(result, study):
    page = Path(result("report", study)["html"]).read_text(encoding="utf-8")
    assert page.lstrip().lower().startswith("<!doctype html>")
    assert "Invented club" in page
    assert "palm heel" in page


def test_report_numbers_are_those_of_show(result, study):
    from tameshi.quantity import from_record, show
    from tameshi.study import measure_all, open_study
    from tests.known import known
    from tests.study.samples import AT

    page = Path(result("report", study)["html"]).read_text(encoding="utf-8")
    with open_study(study) as opened:
        strikes, _ = measure_all(opened, at=AT)
    peak = show(known(from_record(strikes[0][1].body["strikes"][0]["peak_force"])))
    assert peak.value in page
    assert peak.low in page


def test_athletes_are_codes(result, study, tmp_path):
    other = tmp_path / "other.wav"
    other.write_bytes(wav("PCM_24"))
    error = result("study", "add", study, other, "--athlete", "Jane Doe", status=2)["error"]
    assert error["code"] == "not-a-code"


@pytest.mark.parametrize("what", ["show", "check", "export", "add"])
def test_a_folder_that_is_no_study(result, files, tmp_path, what):
    extra = [files / "strike.csv"] if what == "add" else []
    error = result("study", what, tmp_path, *extra, status=3)["error"]
    assert error["code"] == "not-a-study"
    assert "study new" in error["hint"]


def test_a_read_only_study_can_be_shown_and_not_changed(study, files):
    program = (
        "from tameshi.cli import app\n"
        "from tameshi.cli.outcome import run as go\n"
        "status = go(app, {arguments!r})\n"
        "assert status == {expected}, status"
    )
    shown = program.format(arguments=["study", "show", str(study), "--json"], expected=0)
    adding = ["study", "add", str(study), str(files / "strike.csv"), "--json"]
    added = program.format(arguments=adding, expected=3)
    for path in [*study.rglob("*"), study]:
        path.chmod(0o555 if path.is_dir() else 0o444)
    try:
        assert unprivileged(shown, study) == "done"
        assert unprivileged(added, study) == "done"
    finally:
        for path in [study, *study.rglob("*")]:
            path.chmod(0o755 if path.is_dir() else 0o644)


def test_new_into_a_folder_with_something_in_it(result, files):
    assert result("study", "new", files, status=3)["error"]["code"]


@pytest.mark.parametrize(
    ("arguments", "code"),
    [
        (["--kind", "song"], "unknown-kind"),
        (["--strike", "strike.wav"], "strike-unclear"),
        (["--strike", "nothing.wav:1"], None),
        (["--bar", "98"], "unit-missing"),
        (["--side", "upper"], "unknown-side"),
    ],
)
def test_what_is_said_wrongly_is_refused(result, study, files, arguments, code):
    name = "strike.csv" if arguments[0] == "--side" else "blank.jpg"
    ended = result("study", "add", study, files / name, *arguments, status=2)
    assert code is None or ended["error"]["code"] == code
    assert json.dumps(ended)


def test_a_phones_heic_is_taken_for_a_print_whatever_its_name(result, files, tmp_path):
    import pillow_heif
    from PIL import Image

    folder = tmp_path / "club"
    assert result("study", "new", folder)["schema"]
    photo = tmp_path / "IMG_0001"
    pillow_heif.from_pillow(Image.open(files / "print.jpg")).save(photo, quality=90)
    (added,) = result("study", "add", folder, photo, "--technique", "palm heel", "--bar", "100 mm")["added"]
    assert added["kind"] == "print"
    (contact,) = result("study", "show", folder)["prints"]
    assert contact["result"]["image"]["format"] == "HEIC"
    assert contact["result"]["contact_area"]["value"] == pytest.approx(3.1416 * 0.02**2, rel=0.01)


def test_corrections_by_hand_stay_with_the_print(result, study, files):
    def measured():
        (only,) = result("study", "show", study)["prints"]
        return only["result"]

    half = ("--lasso", "50,100 90,100 90,180 50,180", "--outline-at", "0.45")
    whole = measured()["contact_area"]["value"]
    (added,) = result("study", "add", study, files / "print.jpg", *half)["added"]
    assert added["changed"] == ["corrections"]
    cut = measured()
    assert cut["contact_area"]["value"] == pytest.approx(0.5 * whole, rel=0.02)
    assert measured() == cut
    alone = result("footprint", files / "print.jpg", "--bar", "100 mm", *half)
    assert alone["corrections"] == cut["corrections"]
    assert alone["contact_area"]["value"] == pytest.approx(cut["contact_area"]["value"], rel=1e-9)
    result("study", "add", study, files / "print.jpg", "--as-found")
    assert measured()["contact_area"]["value"] == whole


def test_points_stay_with_the_print_until_another_reference_is_named(result, study, files):
    points = [
        f"--point={x},{y}={x / 5:.1f} mm,{y / 5:.1f} mm"
        for x, y in ((300, 400), (800, 400), (800, 1100), (300, 1100))
    ]
    (added,) = result("study", "add", study, files / "print.jpg", *points)["added"]
    assert added["changed"] == ["reference", "points"]
    (only,) = result("study", "show", study)["prints"]
    assert only["result"]["reference"]["kind"] == "points"
    result("study", "add", study, files / "print.jpg", "--reference", "target")
    (only,) = result("study", "show", study)["prints"]
    assert only["result"]["reference"]["kind"] == "target"


@pytest.mark.parametrize(
    ("options", "code"),
    [
        (["--as-found", "--outline-at", "0.4"], "correction-unclear"),
        (["--outline-at", "0.95"], "wrong-outline"),
        (["--lasso", "1,1 2,2"], "wrong-lasso"),
        (["--point", "1,1=0 mm,0 mm", "--reference", "scan"], "reference-unclear"),
    ],
)
def test_corrections_that_cannot_be_meant_are_not_kept(result, study, files, options, code):
    found = result("study", "add", study, files / "print.jpg", *options, status=2)
    assert found["error"]["code"] == code
