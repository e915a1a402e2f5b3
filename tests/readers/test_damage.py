"""Bytes in, a recording or an error of ours out: damaged, cut and lying files of every form."""

import io
import resource
import struct
import zipfile
import zlib

import h5py
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tameshi.errors import TameshiError, UnreadableError
from tameshi.readers import ReadOptions, aside, read_recording
from tameshi.readers import hdf5 as hdf5_reader
from tests.readers.files import FORCE, RATE, TIME, wav
from tests.readers.test_formats import FORMS, hdf5, mat, npy, npz, parquet, tdms


def with_rows(file: h5py.File) -> None:
    rows = np.zeros(40, [("time", "f4"), ("inner", [("plate", "i2"), ("note", "S3")])])
    rows["time"], rows["inner"]["plate"] = np.sort(TIME[:40] % 0.0013), 8.0 * FORCE[:40]
    data = file.create_dataset("table", data=rows)
    data.attrs["units"] = np.array([b"s", b"N"])
    file["settings"] = np.array([(0.125, b"N")], [("scale_factor", "f8"), ("plate_unit", "S1")])


SHORT = {
    "wav": wav()[:1000],
    "npy": npy(np.column_stack([TIME, FORCE])[:60]),
    "npy fields": npy(np.zeros(30, [("time_s", "f8"), ("force_N", "i2")])),
    "npz": npz(force_N=FORCE[:60], fs=np.array(RATE)),
    "parquet": parquet(time_s=TIME[:60], force_N=FORCE[:60]),
    "mat 5": mat(compressed=False, t=TIME[:60], force_N=FORCE[:60]),
    "mat 7": mat(rec={"force": FORCE[:60], "dt": 1.0 / RATE}),
    "mat 4": mat("4", t=TIME[:60, None], force_N=FORCE[:60, None]),
    "hdf5": hdf5(lambda file: file.create_dataset("a/force", data=FORCE[:60]).attrs.update({"fs": RATE})),
    "hdf5 packed": hdf5(
        lambda file: file.create_dataset("force", data=FORCE[:60], compression="gzip", shuffle=True)
    ),
    "hdf5 rows": hdf5(with_rows),
    "tdms": tdms([("plate", FORCE[:60], {"wf_increment": 1.0 / RATE, "unit_string": "N"})]),
}
ENDS_THE_DECODER = ((14, 75), (794, 69), (795, 156))
MOST_MEMORY = 600 * 2**20
ALL_THAT_THERE_IS = ReadOptions(accept_cut_off=True)


def read_or_refuse(data, filename="any.mat"):
    """Read bytes; refuse to take more memory for them than a small file can mean."""
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    try:
        recording = read_recording(data, filename, ALL_THAT_THERE_IS)
    except TameshiError as error:
        assert error.message  # noqa: PT017
        assert error.hint  # noqa: PT017
        return None
    finally:
        assert 1024 * (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) < MOST_MEMORY
    assert all(len(channel.samples) for channel in recording.channels)
    return recording


HITS = st.lists(st.tuples(st.floats(0.0, 0.9999), st.binary(min_size=1, max_size=8)), max_size=4)
KEPT = st.one_of(st.just(1.0), st.floats(0.0, 1.0))


def damaged(whole, hits, kept):
    data = bytearray(whole)
    for place, noise in hits:
        at = int(place * len(data))
        data[at : at + len(noise)] = noise
    return bytes(data[: int(kept * len(data))])


def in_a_process_of_its_own(name):
    return name.startswith(("parquet", "hdf5"))


@pytest.mark.parametrize("name", [name for name in SHORT if not in_a_process_of_its_own(name)])
@settings(max_examples=120, deadline=None)
@given(hits=HITS, kept=KEPT)
def test_damage_gives_a_recording_or_our_refusal_and_nothing_else(name, hits, kept):
    read_or_refuse(damaged(SHORT[name], hits, kept))


@pytest.mark.parametrize("name", [name for name in SHORT if name.startswith("hdf5")])
@settings(max_examples=12, deadline=None)  # each starts a process
@given(hits=HITS, kept=KEPT)
def test_damage_to_datasets_gives_a_recording_or_our_refusal(name, hits, kept):
    read_or_refuse(damaged(SHORT[name], hits, kept))


def with_overlapping_fields(file: h5py.File) -> None:
    # a number of four bytes whose exponents need eight to be held: the library reads it into the next field
    wide = h5py.h5t.IEEE_F32LE.copy()
    wide.set_ebias(74)
    row = h5py.h5t.create(h5py.h5t.COMPOUND, 9)
    row.insert(b"time", 0, wide)
    row.insert(b"plate", 4, h5py.h5t.NATIVE_INT32)
    h5py.h5d.create(file.id, b"table", row, h5py.h5s.create_simple((40,)))


def test_rows_that_would_be_read_past_their_end_are_refused():
    # found by fuzzing: the process ended when its memory was cleaned up
    with pytest.raises(UnreadableError, match="the fields of a row overlap"):
        read_recording(hdf5(with_overlapping_fields), "rows.h5")


@pytest.mark.parametrize(
    ("script", "reason"),
    [
        ("import os; os.abort()", "it breaks the decoder"),
        ("raise SystemExit(3)", "it breaks the decoder"),
        ("import time; time.sleep(60)", "the decoder does not come to an end"),
        ("print()", "not read here"),
    ],
)
def test_a_decoder_that_breaks_or_hangs_is_one_refusal(tmp_path, monkeypatch, script, reason):
    (tmp_path / "decoder.py").write_text(script, encoding="utf-8")
    monkeypatch.setattr(hdf5_reader, "_SCRIPT", tmp_path / "decoder.py")
    monkeypatch.setattr(aside, "_PATIENCE", 1.0)
    with pytest.raises(UnreadableError, match=reason) as caught:
        read_recording(SHORT["hdf5"], "night.h5")
    assert caught.value.code == "unreadable-recording"
    assert "night.h5" in caught.value.message


@settings(max_examples=12, deadline=None)  # each starts a process
@given(hits=HITS)
def test_damage_to_columns_gives_a_recording_or_our_refusal(hits):
    read_or_refuse(b"PAR1" + damaged(SHORT["parquet"][4:-4], hits, 1.0) + b"PAR1")


def test_a_file_that_ends_the_decoder_is_refused_and_nothing_else_ends():
    # a count of values far beyond memory, found by fuzzing: the library aborts its process over it
    data = bytearray(SHORT["parquet"])
    for place, value in ENDS_THE_DECODER:
        data[place] = value
    assert refused(bytes(data)) in {"unreadable-recording", "no-samples"}


@pytest.mark.parametrize(
    "mark",
    [b"\x93NUMPY\x01\x00", b"PAR1", b"TDSm", b"\x89HDF\r\n\x1a\n", b"RIFF....WAVE", b"MATLAB 5.0 MAT-file"],
)
@settings(max_examples=20, deadline=None)
@given(noise=st.binary(max_size=600))
def test_noise_behind_the_mark_of_a_form_is_refused(mark, noise):
    read_or_refuse(mark + noise)


def refused(data, filename="bomb"):
    with pytest.raises(UnreadableError) as caught:
        read_recording(data, filename)
    return caught.value.code


def test_an_array_that_promises_far_too_much_is_cut_off():
    head = b"{'descr': '<f8', 'fortran_order': False, 'shape': (1000000000000,), }"
    head = head.ljust(117) + b"\n"
    data = b"\x93NUMPY\x01\x00" + struct.pack("<H", len(head)) + head + FORCE.tobytes()
    assert refused(data) == "cut-off"


def test_an_archive_that_unfolds_too_far_is_refused():
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive, archive.open("a.npy", "w") as member:
        for _ in range(9):
            member.write(bytes(2**25))
    assert refused(out.getvalue()) == "too-large"


def test_a_dataset_that_promises_far_too_much_is_refused():
    def fill(file):
        file.create_dataset("force", (10**12,), "f8", chunks=(1000,), compression="gzip")

    assert refused(hdf5(fill)) == "too-large"


def test_a_chunk_that_unfolds_to_more_than_it_should_is_refused():
    def fill(file):
        data = file.create_dataset("force", (1000,), "f8", chunks=(1000,), compression="gzip")
        data.id.write_direct_chunk((0,), zlib.compress(bytes(16 * 2**20), 1))

    assert refused(hdf5(fill)) == "unreadable-recording"


def test_a_compressed_variable_that_promises_far_too_much_is_refused():
    packed = zlib.compress(struct.pack("<II", 14, 0xFFFF_FFF0) + bytes(1000))
    head = b"MATLAB 5.0 MAT-file".ljust(124) + b"\x00\x01IM"
    assert refused(head + struct.pack("<II", 15, len(packed)) + packed) == "too-large"


def test_a_variable_of_far_too_many_values_is_refused():
    data = bytearray(SHORT["mat 4"])
    data[4:12] = struct.pack("<ii", 2**30, 2**10)
    assert refused(bytes(data), "a.mat") in {"too-large", "unreadable-recording"}


def test_columns_that_unfold_too_far_are_refused():
    many = np.zeros(40_000_000)
    assert refused(parquet(a_N=many)) == "too-large"


def test_samples_that_a_header_only_promises_are_not_allocated(caplog):
    data = bytearray(SHORT["tdms"])
    place = data.find(struct.pack("<Q", 60))  # the count of values in the channel's index
    data[place : place + 8] = struct.pack("<Q", 10**12)
    assert refused(bytes(data)) == "cut-off"
    recording = read_or_refuse(bytes(data))
    assert [len(channel.samples) for channel in recording.channels] == [60]
    assert not caplog.records  # the refusal and the flag have said it


@pytest.mark.parametrize("name", list(FORMS))
def test_errors_name_the_file(name):
    data = FORMS[name][0]
    with pytest.raises(TameshiError) as caught:
        read_recording(data[: len(data) // 3], "evening.mat")
    assert "evening.mat" in caught.value.message
