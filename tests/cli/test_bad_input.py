"""Whatever is handed over, there is one clear message, the right status, and no traceback.

Faults are really caused: files that are empty, cut, foreign, gone; a disk that is full; a folder that
may not be written to.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import threading

import numpy as np
import pytest

from tests.files.limits import no_file_larger_than
from tests.readers.files import CSV, rows, text, wav

ONE_COLUMN = text("force (N)", [line.split(",")[1] for line in rows()])
ALL_NAN = text("time_s,force_N", [f"{line.split(',')[0]},NaN" for line in rows()])
RECORDINGS = {
    "empty file": (b"", 3, "empty-file"),
    "text without numbers": (b"a letter\nto a friend\n", 3, "no-numbers"),
    "one column": (ONE_COLUMN, 2, "rate-unknown"),
    "rows of NaN": (ALL_NAN, 3, "no-numbers"),
    "cut-off file": (wav()[:2000], 3, "cut-off"),
    "wrong unit": (CSV.replace(b"force_N", b"force (kg m2)"), 2, "wrong-unit"),
    "a weigh scale": (
        text("time_s,force_N", [f"{i / 80:.4f},{i % 3}" for i in range(500)]),
        3,
        "recording-too-slow",
    ),
    "a picture": (b"\xff\xd8\xff\xe0" + bytes(2000), 3, "not-a-recording"),
}


@pytest.mark.parametrize("name", list(RECORDINGS))
def test_a_bad_recording(result, tmp_path, name):
    data, status, code = RECORDINGS[name]
    path = tmp_path / "recording.dat"
    path.write_bytes(data)
    error = result("strikes", path, status=status)["error"]
    assert error["code"] == code
    assert error["message"]
    assert error["hint"]


@pytest.fixture
def pictures(files, tmp_path):
    photo = (files / "print.jpg").read_bytes()
    made = {
        "truncated": photo[: len(photo) // 2],
        "foreign": b"not a picture at all",
        "empty": b"",
        "bomb": bomb(),
    }
    for name, data in made.items():
        (tmp_path / f"{name}.jpg").write_bytes(data)
    (tmp_path / "nomarkers.png").write_bytes(no_markers())
    (tmp_path / "blank.jpg").write_bytes((files / "blank.jpg").read_bytes())
    return tmp_path


def no_markers() -> bytes:
    from tameshi.demo.photo import as_png

    table = np.full((900, 700, 3), 90, np.uint8)
    table[300:500, 200:400] = 30
    return as_png(table)


def bomb() -> bytes:
    """Return a small PNG that would unfold to ten thousand million pixels."""
    import struct
    import zlib

    def chunk(name: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))

    header = struct.pack(">IIBBBBB", 100_000, 100_000, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", header)
        + chunk(b"IDAT", zlib.compress(bytes(1000)))
        + chunk(b"IEND", b"")
    )


@pytest.mark.parametrize(
    ("name", "code"),
    [
        ("truncated.jpg", "unreadable-image"),
        ("foreign.jpg", "unreadable-image"),
        ("empty.jpg", "unreadable-image"),
        ("bomb.jpg", "unreadable-image"),
        ("nomarkers.png", "no-reference"),
        ("blank.jpg", "no-print"),
    ],
)
def test_a_bad_picture(result, pictures, name, code):
    error = result("footprint", pictures / name, status=3)["error"]
    assert error["code"] == code
    assert error["hint"]


@pytest.mark.parametrize("name", ["strikes", "footprint"])
def test_a_folder_and_a_file_that_is_not_there(result, tmp_path, name):
    assert result(name, tmp_path, status=2)["error"]["code"] == "is-a-folder"
    assert result(name, tmp_path / "gone.csv", status=2)["error"]["code"] == "no-such-file"


def test_a_file_that_vanishes_while_commands_run(tmp_path, command):
    path = tmp_path / "strike.csv"
    stop = threading.Event()

    def come_and_go():
        while not stop.is_set():
            path.write_bytes(CSV[:20_000])
            path.unlink(missing_ok=True)

    coming = threading.Thread(target=come_and_go)
    coming.start()
    try:
        ended = [command("strikes", path, "--json") for _ in range(25)]
    finally:
        stop.set()
        coming.join()
    assert {status for status, _, _ in ended} <= {0, 2, 3}
    assert all(json.loads(out) for _, out, _ in ended)


def test_a_full_disk(result, files, tmp_path):
    overlay = tmp_path / "overlay.png"
    with no_file_larger_than(10_000):
        error = result("footprint", files / "print.jpg", "--overlay", overlay, status=3)["error"]
    assert error["code"] == "disk-full"
    assert list(tmp_path.iterdir()) == []


def test_a_full_device(result, files):
    error = result("footprint", files / "print.jpg", "--overlay", "/dev/full", status=3)["error"]
    assert error["code"] == "disk-full"


def test_a_sheet_into_a_folder_that_is_not_there(command, tmp_path):
    status, _, news = command("target-sheet", "-o", tmp_path / "nowhere" / "sheet.pdf")
    assert status == 2
    assert "nowhere" in news


def test_no_traceback_ever_reaches_a_person(files):
    """Run the real program on a file whose content breaks it in a way nobody foresaw."""
    broken = (
        "import tameshi.force.reduce as r\n"
        "def fail(*a, **k): raise ZeroDivisionError('unforeseen')\n"
        "r.open_recording = fail\n"
        "from tameshi.cli import run\n"
        f"run(['strikes', {str(files / 'strike.csv')!r}])\n"
    )
    ended = subprocess.run([sys.executable, "-c", broken], capture_output=True, text=True, check=False)
    assert ended.returncode == 3
    assert "Traceback" not in ended.stderr
    assert "ZeroDivisionError" in ended.stderr
    told = subprocess.run(
        [sys.executable, "-c", broken],
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "TAMESHI_TRACEBACK": "1"},
    )
    assert "Traceback" in told.stderr


def test_a_reader_that_stops_reading_is_no_error(files):
    program = f"{sys.executable} -m tameshi strikes {files / 'strike.csv'}"
    piped = f"{program} | head -c 1 > /dev/null; echo ${{PIPESTATUS[0]}}"
    ended = subprocess.run(["bash", "-c", piped], capture_output=True, text=True, check=False)
    assert ended.stdout.strip() == "0"
    assert "Traceback" not in ended.stderr
