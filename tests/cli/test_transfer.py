import pytest

from tests.readers.files import FORCE, text

FILMED = ("--speed", "8 m/s to 9 m/s")


def test_json_is_the_object_that_is_written_down(result, files):
    found = result("transfer", files / "strike.csv", "--onto", "face", "--pad", "none", *FILMED)
    assert found["schema"] == "tameshi.transfer/1"
    assert found["modelled"] is True
    assert found["onto"]["models"][0]["source"] == "iso-ts-15066"
    assert "as modelled only" in found["head_note"]
    assert {one["code"] for one in found["cautions"]} >= {"modelled", "tissue", "pushing", "no-verdict"}
    (recording,) = found["recordings"]
    (strike,) = recording["strikes"]
    assert strike["measured"]["peak_force"]["value"] == pytest.approx(2000.0, rel=0.01)
    band = strike["arrival"]["peak_force"]
    assert 0.0 < band["low"] < band["median"] < band["high"] < 2100.0
    assert band["level"] == 0.95
    assert strike["head"]["hic15"]["modelled"] is True
    assert strike["striker"]["given_speed"] == {"low": 8.0, "high": 9.0, "unit": "m/s"}
    again = result("transfer", files / "strike.csv", "--onto", "face", "--pad", "none", *FILMED)
    assert again == found


def test_a_rig_file_tells_the_pad(result, files):
    with_rig = result(
        "transfer", files / "strike.wav", "--rig", files / "rig.toml", "--onto", "chest", *FILMED
    )
    (strike,) = with_rig["recordings"][0]["strikes"]
    assert strike["measured"]["pad"] == "none"
    assert strike["arrival"]["peak_force"]["high"] is not None
    assert strike["head"] is None
    assert with_rig["head_note"] is None


def test_without_a_pad_one_side_is_told(result, files):
    found = result("transfer", files / "strike.csv", "--onto", "chest", *FILMED)
    (strike,) = found["recordings"][0]["strikes"]
    assert strike["arrival"]["peak_force"]["high"] is None
    assert strike["arrival"]["peak_force"]["low"] > 0.0
    assert "pad-unknown" in {flag["code"] for flag in strike["flags"]}
    taken_back = result(
        "transfer",
        files / "strike.csv",
        "--onto",
        "chest",
        *FILMED,
        "--pad",
        "foam",
        "--pad-stiffness",
        "500 N/mm",
    )
    assert taken_back["recordings"][0]["strikes"][0]["arrival"]["peak_force"]["high"] is not None


def test_words_for_a_person(command, files):
    status, out, _ = command("transfer", files / "strike.csv", "--onto", "forehead", "--pad", "none", *FILMED)
    assert status == 0
    for words in ("band", "HIC15, modelled", "twelve cadaver heads", "Modelled, not measured", "N·s", " g"):
        assert words in out
    _, out, _ = command("transfer", files / "strike.csv", "--onto", "chest", "--units", "us")
    assert "at least" in out
    assert "lbf" in out
    assert "not known" in out


def test_published_strikes_by_the_technique(result, files):
    found = result("transfer", files / "strike.csv", "--onto", "face", "--pad", "none", "--technique", "jab")
    (strike,) = found["recordings"][0]["strikes"]
    assert strike["striker"]["published"] == "punch"
    assert strike["striker"]["source"] == "walilko"
    assert strike["arrival"] is not None


@pytest.mark.parametrize(
    ("options", "status", "code"),
    [
        (("--onto", "nose"), 2, "unknown-part"),
        (("--onto", "face", "--speed", "8"), 2, "unit-missing"),
        (("--onto", "face", "--speed", "9 m/s to 8 m/s"), 2, "wrong-range"),
        (("--onto", "face", "--striker-mass", "3 N"), 2, "wrong-unit"),
        (("--onto", "face", "--pad-stiffness", "3 N"), 2, "wrong-unit"),
        (("--onto", "face", "--strike", "2"), 2, "unknown-strike"),
        (("--onto", "face", "--striker-mass", "1 kg", "--speed", "90 m/s"), 3, "striker-contradicts"),
        ((), 2, "wrong-use"),
    ],
)
def test_what_cannot_be_taken_over(result, files, options, status, code):
    error = result("transfer", files / "strike.csv", *options, status=status)["error"]
    assert error["code"] == code


def test_a_recording_without_a_strike(result, tmp_path):
    quiet = tmp_path / "quiet.csv"
    quiet.write_bytes(text("time_s,force_N", [f"{i / 2e4:.6f},{(-1) ** i:.4f}" for i in range(4000)]))
    assert result("transfer", quiet, "--onto", "face", status=3)["error"]["code"] == "no-strike"


def test_a_study_takes_every_strike_over_and_one_bad_file_stops_nothing(result, command, files, tmp_path):
    folder = tmp_path / "club"
    command("study", "new", folder)
    command("study", "add", folder, files / "strike.csv", "--technique", "straight punch")
    clipped = tmp_path / "clipped.csv"
    lines = [f"{i / 2e4:.6f},{min(force, 1500.0):.4f}" for i, force in enumerate(FORCE)]
    clipped.write_bytes(text("time_s,force_N", lines))
    command("study", "add", folder, clipped, "--technique", "kick")
    found = result("transfer", folder, "--onto", "chest", "--pad", "none")
    assert found["study"]
    by_file = {one["file"]: one for one in found["recordings"]}
    assert by_file["strike.csv"]["strikes"][0]["striker"]["published"] == "punch"
    assert by_file["clipped.csv"]["strikes"][0]["error"]["code"] == "no-force"
    _, out, _ = command("transfer", folder, "--onto", "chest", "--pad", "none")
    assert "no peak force" in out
    assert "straight punches" in out


@pytest.fixture
def club(command, files, tmp_path):
    """A study with one strike of a technique, on a plate that its rig file calls bare."""
    folder = tmp_path / "club"
    command("study", "new", folder)
    said = ("--technique", "palm heel", "--rig", files / "rig.toml")
    assert command("study", "add", folder, files / "strike.wav", *said)[0] == 0
    return folder


def test_a_study_keeps_what_was_asked_and_takes_it_back(result, command, club):
    asked = ("transfer", club, "--onto", "face", "--technique", "palm heel")
    _, _, news = command(*asked, "--speed", "8 m/s", "--keep")
    assert "kept: onto the face, palm heel" in news
    assert "already there" in command(*asked, "--speed", "8 m/s", "--keep")[2]
    assert "replaced" in command(*asked, "--speed", "9 m/s", "--keep")[2]
    assert "taken back" in command(*asked, "--forget")[2]
    assert result(*asked, "--forget", status=2)["error"]["code"] == "not-kept"


@pytest.mark.parametrize(
    ("options", "code"),
    [
        (("--keep", "--forget"), "keep-unclear"),
        (("--keep", "--strike", "1"), "keep-unclear"),
        (("--technique", "hook"), "unknown-technique"),
        (("--strike", "9"), "unknown-strike"),
    ],
)
def test_what_a_study_cannot_be_asked(result, club, options, code):
    assert result("transfer", club, "--onto", "face", *options, status=2)["error"]["code"] == code


def test_a_recording_keeps_nothing(result, files):
    error = result("transfer", files / "strike.csv", "--onto", "face", "--keep", status=2)["error"]
    assert error["code"] == "not-a-study"


def test_cautions_go_with_the_part(command, files):
    _, chest, _ = command("transfer", files / "strike.csv", "--onto", "chest", *FILMED)
    assert "can stop a heart" in chest
    _, face, _ = command("transfer", files / "strike.csv", "--onto", "face", *FILMED)
    assert "hurt without any fracture" in face
    assert "without neck and without rotation" in " ".join(face.split())
