"""tameshi clip: films in, figures out, and what it refuses."""

import csv
import json

import numpy as np
import pytest

from tameshi.demo.film import FilmCamera, FilmScene, film
from tameshi.demo.film_file import FilmFile, store_film
from tests.readers.files import CSV

CAMERA = FilmCamera(width=640, height=360, focal=960.0, distance=3.0)
MARKED = ("--scale-marker", "7 = 12 cm", "--distance", "3 m")


@pytest.fixture(scope="module")
def films(tmp_path_factory):
    folder = tmp_path_factory.mktemp("films")
    for n in range(3):
        scene = FilmScene(contact_at=(0.3, -0.02 + 0.01 * n), board_marker=0.12, seconds_after=0.05)
        filmed = film(scene, CAMERA, np.random.default_rng(n))
        (folder / f"punch{n}.mp4").write_bytes(store_film(filmed))
        if n == 0:
            slow = store_film(filmed, FilmFile(slowed=8.0))
            (folder / "slow.mp4").write_bytes(slow)
    (folder / "strike.csv").write_bytes(CSV)
    return folder


def test_json_is_the_object_that_is_written_down(result, films):
    found = result("clip", films / "punch0.mp4", *MARKED)
    assert found["schema"] == "tameshi.clip/1"
    assert found["film"]["rate"] == pytest.approx(240.0)
    assert found["film"]["rate_from"] == "stamps"
    speed = found["speed_at_contact"]
    assert speed["low"] < 8.0 < speed["high"]
    assert speed["unit"] == "m/s"
    assert "distance off the plane" in speed["budget"]
    assert found["contact"]["by"] == "stop"
    assert found["followed"]["frames_seen"] == found["film"]["frames"]
    assert found["reach"]["value"] == pytest.approx(0.6, abs=0.04)
    assert result("clip", films / "punch0.mp4", *MARKED) == found


def test_words_for_a_person(command, films):
    status, out, _ = command("clip", films / "punch0.mp4", *MARKED, "--units", "us")
    assert status == 0
    assert "speed at contact" in out
    assert "ft/s" in out
    assert "contact before frame" in out


def test_track_and_overlay_are_written(command, films, tmp_path):
    options = ("--track", tmp_path / "track.csv", "--overlay", tmp_path / "track.png")
    status, _, news = command("clip", films / "punch0.mp4", *MARKED, *options)
    assert status == 0
    assert "track:" in news
    rows = list(csv.reader((tmp_path / "track.csv").read_text().splitlines()))
    assert rows[0][:4] == ["frame", "time [s]", "across [px]", "down [px]"]
    assert len(rows) > 40
    assert (tmp_path / "track.png").read_bytes().startswith(b"\x89PNG")
    status, _, _ = command("clip", films / "punch0.mp4", *MARKED, "--track", tmp_path / "track.json")
    track = json.loads((tmp_path / "track.json").read_text())
    assert track["schema"] == "tameshi.track/1"
    assert len(track["frame"]) == len(rows) - 1
    assert command("clip", films / "punch0.mp4", *MARKED, "--track", tmp_path / "track.txt")[0] == 2


def test_slow_motion_is_asked_for_and_then_measured(result, films):
    error = result("clip", films / "slow.mp4", *MARKED, status=3)["error"]
    assert error["code"] == "rate-doubtful"
    assert "--real-rate" in error["hint"]
    found = result("clip", films / "slow.mp4", *MARKED, "--real-rate", "240 Hz")
    assert found["speed_at_contact"]["low"] < 8.0 < found["speed_at_contact"]["high"]


def test_a_picked_length_and_a_told_frame(result, films):
    ends = "240,282.2 400,282.2 = 50 cm"  # the renderer's bar: 0.5 m at 960/3 pixels a metre
    found = result("clip", films / "punch0.mp4", "--scale", ends, "--distance", "3 m")
    frame = found["contact"]["frame"]
    told = result(
        "clip", films / "punch0.mp4", "--scale", ends, "--distance", "3 m", "--contact", f"frame {frame}"
    )
    assert told["contact"]["by"] == "frame"
    assert told["speed_at_contact"]["value"] == pytest.approx(8.0, rel=0.04)


def test_a_recording_of_the_strike_gives_the_mass_behind_it(result, films):
    with_strike = (*MARKED, "--recording", films / "strike.csv", "--strike", "1")
    found = result("clip", films / "punch0.mp4", *with_strike)
    assert found["rebound"] == "measured"
    speed, back = found["speed_at_contact"]["value"], found["rebound_speed"]["value"]
    assert found["effective_mass"]["value"] == pytest.approx(found["impulse"]["value"] / (speed + back))
    offset = found["recording"]["clock_offset"]["value"]
    assert offset == pytest.approx(found["contact"]["time"] - found["recording"]["onset"])
    unknown = result("clip", films / "punch0.mp4", *with_strike, "--rebound", "unknown")
    assert unknown["effective_mass"]["value"] is None
    limits = unknown["effective_mass_limits"]
    assert limits["high"] / limits["low"] > 2.0
    bounded = result("clip", films / "punch0.mp4", *with_strike, "--rebound", "0 m/s to 2 m/s")
    assert "rebound within bounds" in bounded["effective_mass"]["budget"]


def test_several_films_show_how_near_strikes_land(result, command, films):
    several = [films / f"punch{n}.mp4" for n in range(3)]
    found = result("clip", *several, *MARKED)
    assert found["schema"] == "tameshi.clips/1"
    # rendered 10 mm apart: 0, 10, 20 mm
    assert found["precision"]["up"]["sd"] == pytest.approx(0.010, abs=0.001)
    status, out, _ = command("clip", *several, *MARKED)
    assert status == 0
    assert "places of impact" in out


@pytest.mark.parametrize(
    ("options", "code"),
    [
        ((), "no-scale"),
        (("--scale", "1,2 300,4 = 1 m", "--scale-marker", "7 = 1 m"), "scale-unclear"),
        (("--scale", "1,2 3,4 = 1"), "unit-missing"),
        (("--scale-marker", "7"), "wrong-scale"),
        (("--scale-marker", "3 = 10 cm"), "no-marker"),
        ((*MARKED, "--follow", "nonsense"), "wrong-follow"),
        ((*MARKED, "--follow", "5000,2"), "point-outside"),
        ((*MARKED, "--frames", "9 to 2"), "wrong-frames"),
        ((*MARKED, "--frames", "1 to 12"), "no-motion"),
        ((*MARKED, "--contact", "soon"), "wrong-contact"),
        ((*MARKED, "--contact", "sound 2 m"), "no-sound"),
        ((*MARKED, "--distance", "0 m"), "wrong-distance"),
        ((*MARKED, "--motion-within", "7"), "unit-missing"),
    ],
)
def test_what_cannot_be_is_refused(result, films, options, code):
    ended = 3 if code in {"no-marker", "no-motion"} else 2
    assert result("clip", films / "punch0.mp4", *options, status=ended)["error"]["code"] == code


def test_a_file_that_is_no_film_is_refused(result, films):
    assert result("clip", films / "strike.csv", *MARKED, status=3)["error"]["code"] == "unreadable-film"
