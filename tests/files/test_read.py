import os
import subprocess
import sys
from pathlib import Path

import pytest

from tameshi.errors import TameshiError, UnreadableError, WrongUseError
from tameshi.files import files_under, read_bytes, sha256_of, sha256_of_file
from tests.files.child import unprivileged

MEGABYTE = 10**6


def refusal(path: Path, limit: int = MEGABYTE) -> TameshiError:
    with pytest.raises(TameshiError) as caught:
        read_bytes(path, limit=limit)
    assert caught.value.hint
    return caught.value


def test_a_file_is_read_whole(tmp_path):
    (tmp_path / "a.csv").write_bytes(b"0,1\n")
    assert read_bytes(tmp_path / "a.csv", limit=4) == b"0,1\n"


def test_an_empty_file_is_for_the_reader_to_judge(tmp_path):
    (tmp_path / "a.csv").touch()
    assert read_bytes(tmp_path / "a.csv", limit=4) == b""


def test_a_missing_file_is_named(tmp_path):
    error = refusal(tmp_path / "a.csv")
    assert isinstance(error, WrongUseError)
    assert error.code == "no-such-file"
    assert str(tmp_path / "a.csv") in error.message


def test_a_link_to_nothing_is_a_missing_file(tmp_path):
    (tmp_path / "a.csv").symlink_to(tmp_path / "gone.csv")
    assert refusal(tmp_path / "a.csv").code == "no-such-file"


def test_a_file_where_a_folder_should_be_is_a_missing_file(tmp_path):
    (tmp_path / "a.csv").touch()
    assert refusal(tmp_path / "a.csv" / "b.csv").code == "no-such-file"


def test_a_folder_is_not_read(tmp_path):
    error = refusal(tmp_path)
    assert isinstance(error, WrongUseError)
    assert error.code == "is-a-folder"


@pytest.mark.parametrize("make", [os.mkfifo, lambda path: path.symlink_to("/dev/zero")])
def test_pipes_and_devices_are_refused_without_waiting_for_them(tmp_path, make):
    make(tmp_path / "a")
    assert refusal(tmp_path / "a").code == "not-a-file"


@pytest.mark.parametrize("name", ["nul\0.csv", "half\ud800.csv", "n" * 300])
def test_impossible_names_are_refused(tmp_path, name):
    error = refusal(tmp_path / name)
    assert isinstance(error, WrongUseError)
    assert error.code == "bad-path"


def test_a_circle_of_links_is_refused(tmp_path):
    (tmp_path / "a").symlink_to(tmp_path / "a")
    assert refusal(tmp_path / "a").code == "bad-path"


def test_control_characters_in_a_name_do_not_reach_the_screen(tmp_path):
    assert "\x1b" not in refusal(tmp_path / "red\x1b[31m.csv").message


def test_a_file_over_the_limit_is_refused_with_both_sizes(tmp_path):
    (tmp_path / "a.csv").write_bytes(bytes(2 * MEGABYTE))
    error = refusal(tmp_path / "a.csv")
    assert isinstance(error, UnreadableError)
    assert error.code == "too-large"
    assert "2 MB" in error.message
    assert "1 MB" in error.message


def test_a_file_without_permission_is_refused(tmp_path):
    (tmp_path / "a.csv").write_bytes(b"0,1\n")
    (tmp_path / "a.csv").chmod(0)
    body = "read_bytes(path / 'a.csv', limit=100)"
    assert unprivileged(body, tmp_path) == "UnreadableError no-permission 3"


def test_a_failing_disk_is_reported_with_its_reason():
    # the process's own memory: a regular file whose first page cannot be read
    error = refusal(Path("/proc/self/mem"))
    assert isinstance(error, UnreadableError)
    assert error.code == "read-failed"
    assert "input/output error" in error.message


def test_a_file_that_vanishes_before_it_is_opened_is_a_missing_file(tmp_path):
    """An audit hook takes the file away at the last moment, after it was looked at."""
    (tmp_path / "a.csv").write_bytes(b"0,1\n")
    body = """
recording = path / "a.csv"
sys.addaudithook(lambda event, what: event == "open" and what[0] == str(recording) and recording.unlink())
read_bytes(recording, limit=100)
"""
    assert unprivileged(body, tmp_path) == "WrongUseError no-such-file 2"


def test_a_file_that_is_still_being_recorded_into_is_refused(tmp_path):
    path = tmp_path / "a.csv"
    path.write_bytes(bytes(30 * MEGABYTE))
    recorder = subprocess.Popen(
        [
            sys.executable,
            "-uc",
            "import sys\nwhile True: open(sys.argv[1], 'ab').write(b'1'); print('.')",
            path,
        ],
        stdout=subprocess.PIPE,
    )
    assert recorder.stdout is not None
    try:
        recorder.stdout.readline()
        error = refusal(path, limit=100 * MEGABYTE)
    finally:
        recorder.stdout.close()
        recorder.kill()
        recorder.wait()
    assert isinstance(error, UnreadableError)
    assert error.code == "changed-while-reading"


def test_the_hash_of_abc_is_the_published_one(tmp_path):
    # NIST, FIPS 180 example "SHA-256, one block message": value from memory
    published = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    (tmp_path / "abc").write_bytes(b"abc")
    assert sha256_of(b"abc") == published
    assert sha256_of_file(tmp_path / "abc") == published


def test_every_file_under_a_folder_is_listed_once_and_sorted(tmp_path):
    for name in ("b/2", "a/1", "3"):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).touch()
    (tmp_path / "a" / "round").symlink_to(tmp_path)
    found = [path.relative_to(tmp_path).as_posix() for path in files_under(tmp_path)]
    assert found == ["3", "a/1", "a/round", "b/2"]


def test_a_missing_folder_holds_nothing(tmp_path):
    assert files_under(tmp_path / "none") == ()


def test_a_closed_folder_is_not_passed_over(tmp_path):
    (tmp_path / "closed").mkdir(mode=0)
    body = "files_under(path)"
    assert unprivileged(body, tmp_path) == "UnreadableError no-permission 3"
    (tmp_path / "closed").chmod(0o700)
