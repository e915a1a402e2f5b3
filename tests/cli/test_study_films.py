"""Films in a study: kept, measured once, joined with the strike that they show."""

import csv
import sqlite3
import zipfile

import numpy as np
import pytest

from tameshi.demo.film import FilmCamera, FilmScene, film
from tameshi.demo.film_file import store_film

MARKED = ("--scale-marker", "7 = 12 cm", "--distance", "3 m")


@pytest.fixture(scope="module")
def punch(tmp_path_factory):
    path = tmp_path_factory.mktemp("film") / "punch.mp4"
    scene = FilmScene(contact_at=(0.3, -0.02), board_marker=0.12, seconds_after=0.05)
    camera = FilmCamera(width=640, height=360, focal=960.0, distance=3.0)
    path.write_bytes(store_film(film(scene, camera, np.random.default_rng(1))))
    return path


@pytest.fixture
def club(result, files, punch, tmp_path):
    folder = tmp_path / "club"
    result("study", "new", folder)
    result("study", "add", folder, files / "strike.csv", "--technique", "punch")
    added = result("study", "add", folder, punch, "--technique", "punch", "--strike", "strike.csv:1", *MARKED)
    assert added["added"][0]["kind"] == "film"
    return folder


def test_a_film_is_measured_and_joined_with_its_strike(result, club, punch):
    (shown,) = result("study", "show", club)["films"]
    assert shown["file"] == punch.name
    assert shown["of"] == {"recording": "strike.csv", "strike": 1}
    speed = shown["result"]["speed_at_contact"]
    assert speed["low"] < 8.0 < speed["high"]
    assert "parts" not in speed
    alone = result("clip", punch, *MARKED)
    assert speed["value"] == pytest.approx(alone["speed_at_contact"]["value"])
    assert shown["rebound"] == "measured"
    assert shown["effective_mass"]["value"] > 0.0
    # measured before: the same again, from the catalogue
    assert result("study", "show", club)["films"] == [shown]
    assert result("study", "check", club)["sound"]


def test_words_for_a_person(command, club):
    status, out, _ = command("study", "show", club)
    assert status == 0
    assert "films" in out
    assert "effective mass" in out


def test_what_is_left_out_stays_as_it_was(result, club, punch):
    again = result("study", "add", club, punch, "--athlete", "A01")
    assert again["added"][0]["changed"] == ["athlete"]
    other = result("study", "add", club, punch, "--scale-marker", "7 = 10 cm")
    assert other["added"][0]["changed"] == ["filming"]


def test_a_film_that_cannot_be_measured_stands_with_its_reason(result, club, punch):
    result("study", "add", club, punch, "--scale-marker", "3 = 10 cm")
    (shown,) = result("study", "show", club)["films"]
    assert shown["error"]["code"] == "no-marker"
    assert "Marker 3" in shown["why"]


def test_a_catalogue_from_before_there_were_films_is_completed(result, files, tmp_path):
    club = tmp_path / "old"
    result("study", "new", club)
    result("study", "add", club, files / "strike.csv", "--technique", "punch")
    with sqlite3.connect(club / "catalogue.sqlite") as connection:
        connection.execute("DROP TABLE film")
    connection.close()
    assert result("study", "show", club)["films"] == []


def test_the_archive_holds_what_is_said_of_films_and_what_they_told(result, club, punch, tmp_path):
    archive = result("study", "export", club, "-o", tmp_path / "club.zip")
    assert "catalogue/film.jsonl" in archive["manifest"]
    with zipfile.ZipFile(tmp_path / "club.zip") as packed:
        (row,) = csv.DictReader(packed.read("tables/films.csv").decode("utf-8-sig").splitlines())
    (shown,) = result("study", "show", club)["films"]
    assert row["film"] == punch.name
    assert float(row["speed_at_contact [m/s]"]) == shown["result"]["speed_at_contact"]["value"]
    assert float(row["effective_mass [kg]"]) == pytest.approx(shown["effective_mass"]["value"])
