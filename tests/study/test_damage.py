"""A catalogue with pages overwritten, cut off, or with single bits flipped: said so, in our words."""

import random
from contextlib import suppress
from pathlib import Path

import pytest

from tameshi.errors import StudyError
from tameshi.study import (
    Study,
    check,
    export,
    open_study,
    originals,
    prints,
    recordings,
    results,
)
from tests.files.child import python, unprivileged
from tests.study.samples import add, fill

PAGE = 4096

# A transaction so large that it reaches the file before its end, and then the process dies.
CUT_OFF = """
import os, sqlite3, sys
if os.fork() == 0:
    connection = sqlite3.connect(sys.argv[1], isolation_level=None)
    connection.execute("PRAGMA cache_size = 1")
    connection.execute("BEGIN IMMEDIATE")
    for index in range(500):
        row = (f"{index:064x}", "n" * 100, 1, "other", "2026-01-01 00:00:00.000000")
        connection.execute("INSERT INTO original VALUES (?, ?, ?, ?, ?)", row)
    os.kill(os.getpid(), 9)
os.wait()
"""


@pytest.fixture
def catalogue(study: Study, folder: Path) -> Path:
    fill(study)
    add(
        study, b"not really a film", "film.mp4", "film"
    )  # so that every page of the catalogue holds something
    return folder / "catalogue.sqlite"


def use(folder: Path) -> bool:
    """Do everything a study is for; return whether the check found it sound. Only our errors may come."""
    try:
        study = open_study(folder)
    except StudyError:
        return False
    for one in (originals, recordings, prints, results):
        with suppress(StudyError):
            one(study)
    with suppress(StudyError):
        export(study, folder.with_name("out.zip"))
    is_sound = check(study).is_sound
    with suppress(StudyError):
        add(study, b"more", "b.csv")
    return is_sound


@pytest.mark.parametrize("filling", [b"\x00", b"\xff", b"tameshi "], ids=["zeros", "ones", "text"])
def test_any_page_overwritten_is_noticed(catalogue, folder, filling):
    sound = catalogue.read_bytes()
    page = (filling * PAGE)[:PAGE]
    for start in range(0, len(sound), PAGE):
        catalogue.write_bytes(sound[:start] + page + sound[start + PAGE :])
        assert not use(folder), f"page {start // PAGE}"


def test_a_catalogue_cut_off_is_noticed(catalogue, folder):
    sound = catalogue.read_bytes()
    for length in (1, 50, 100, PAGE, 2 * PAGE, len(sound) - PAGE, len(sound) - 1):
        catalogue.write_bytes(sound[:length])
        assert not use(folder), f"{length} bytes"


def test_a_disk_that_fails_under_the_catalogue_is_told_with_its_reason(catalogue, folder):
    catalogue.unlink()
    catalogue.symlink_to("/proc/self/mem")  # a regular file whose first page cannot be read
    with pytest.raises(StudyError) as caught:
        open_study(folder)
    assert caught.value.code == "catalogue-failed"
    assert "disk I/O error" in caught.value.message


def test_a_write_cut_off_half_way_is_rolled_back_where_that_can_be_done(catalogue, folder):
    python("-c", CUT_OFF, str(catalogue))
    assert catalogue.with_name("catalogue.sqlite-journal").stat().st_size > 0
    body = "path.chmod(0o555)\noriginals(open_study(path))"
    assert unprivileged(body, folder) == "StudyError read-only 3"
    folder.chmod(0o755)
    with open_study(folder) as study:
        assert len(originals(study)) == 4
        assert check(study).findings == ()


def test_no_flipped_bit_brings_an_error_that_is_not_ours(catalogue, folder):
    sound = catalogue.read_bytes()
    chance = random.Random(2)
    for _ in range(150):
        damaged = bytearray(sound)
        damaged[chance.randrange(len(sound))] ^= 1 << chance.randrange(8)
        catalogue.write_bytes(damaged)
        use(folder)
