"""Readings stored in few bytes stay so: nothing is widened for a whole recording, and nothing is lost."""

import io

import h5py
import numpy as np
import pytest
import soundfile
from numpy.typing import NDArray

from tameshi.force import Origin, Trace
from tameshi.readers import Asked, prepare, read_recording
from tests.readers.files import COUNT, FORCE, RATE, TIME, wav
from tests.readers.test_formats import hdf5, npy, npz
from tests.rig.rigs import rig

SHORT = FORCE.astype(np.float32)


def trace_of(data: bytes, asked: Asked | None = None) -> Trace:
    return prepare(read_recording(data, "a"), Origin("a", "0" * 64), asked or Asked())[0]


@pytest.mark.parametrize(
    ("subtype", "kind"),
    [
        ("PCM_U8", np.float32),
        ("PCM_16", np.float32),
        ("PCM_24", np.float32),
        ("PCM_32", np.float64),
        ("FLOAT", np.float32),
        ("DOUBLE", np.float64),
    ],
)
def test_sound_is_kept_in_as_many_bytes_as_hold_its_digits(subtype: str, kind: type) -> None:
    trace = trace_of(wav(subtype), Asked(force_scale="5 kN"))
    assert trace.samples.dtype == kind
    whole, _ = soundfile.read(io.BytesIO(wav(subtype)), dtype="float64")
    assert np.array_equal(trace.samples, whole)


def test_short_arrays_are_measured_where_they_lie() -> None:
    data = npy(SHORT)
    trace = trace_of(data, Asked(rate=RATE, force_scale="1 N"))
    assert np.shares_memory(trace.samples, np.frombuffer(data, np.uint8))
    assert np.array_equal(trace.samples, SHORT)


def test_short_columns_beside_a_time_are_not_widened() -> None:
    recording = read_recording(npz(t=TIME, plate_N=SHORT, wall_N=np.column_stack([SHORT, SHORT])), "a.npz")
    assert [channel.samples.dtype for channel in recording.channels] == [np.float32] * 3
    assert all(np.array_equal(channel.samples, SHORT) for channel in recording.channels)


def test_a_unit_scales_short_readings_to_their_last_digit() -> None:
    trace = trace_of(npz(plate_kN=SHORT, fs=np.array(RATE)))
    assert trace.samples.dtype == np.float32
    assert trace.samples == pytest.approx(1e3 * SHORT.astype(np.float64), rel=2.0**-23)


def test_counts_of_two_bytes_become_readings_of_four() -> None:
    counts = np.round(8.0 * FORCE).astype(np.int16)

    def fill(file: h5py.File) -> None:
        file.create_dataset("even", data=counts).attrs.update({"scale_factor": 0.1, "units": "N", "fs": RATE})
        file.create_dataset("shifted", data=counts).attrs.update({"scale": 0.1, "offset": 1e6, "units": "N"})

    even, shifted = read_recording(hdf5(fill), "a.h5").channels
    assert (even.samples.dtype.itemsize, shifted.samples.dtype.itemsize) == (4, 8)
    assert even.samples == pytest.approx(0.1 * counts, rel=2.0**-23)
    assert shifted.samples - 1e6 == pytest.approx(0.1 * counts, abs=1e-9)


def test_an_uneven_span_does_not_cost_short_readings_their_last_digits() -> None:
    # a hundred-thousandth of full scale beside an offset of half of it
    small = (1e-5 * np.sin(np.arange(COUNT) / 50.0)).astype(np.float32)
    out = io.BytesIO()
    soundfile.write(out, small, round(RATE), format="WAV", subtype="FLOAT")
    used = rig(('["-5 V", "5 V"]', '["0 V", "4 V"]'))
    trace = trace_of(out.getvalue(), Asked(rig=used))
    assert trace.samples - 2.0 == pytest.approx(2.0 * small.astype(np.float64), rel=1e-9, abs=1e-15)


def test_short_times_are_worked_with_in_full() -> None:
    recording = read_recording(npz(time_ms=(TIME * 1e3).astype(np.float32), force_N=SHORT), "a.npz")
    assert recording.rate == pytest.approx(RATE, rel=1e-6)
    assert recording.flags == ()


@pytest.mark.parametrize("kind", [np.float32, np.float64])
def test_the_value_that_stands_for_none_is_rounded_as_the_readings_are(kind: type) -> None:
    def fill(file: h5py.File) -> None:
        values: NDArray[np.float64] = FORCE.copy()
        values[7:10] = 1e20  # not a number of four bytes: stored as 1.00000002e20
        data = file.create_dataset("force_N", data=values.astype(kind))
        data.attrs.update({"_FillValue": 1e20, "fs": RATE})

    trace = trace_of(hdf5(fill))
    assert np.flatnonzero(np.isnan(trace.samples)).tolist() == [7, 8, 9]
    assert trace.samples.dtype == kind


def test_a_value_that_no_reading_could_have_stands_for_nothing() -> None:
    def fill(file: h5py.File) -> None:
        file.create_dataset("force_N", data=SHORT).attrs.update({"_FillValue": 1e300, "fs": RATE})

    assert np.array_equal(trace_of(hdf5(fill)).samples, SHORT)


def test_rows_of_one_stamp_are_averaged_in_full() -> None:
    times = np.sort(np.r_[TIME, TIME[100:105]])
    values = np.full(len(times), 1.0, np.float32)
    values[np.flatnonzero(np.diff(times) == 0.0)] = np.float32(1.0 + 2.0**-23)
    (channel,) = read_recording(npz(t=times, force_N=values), "a.npz").channels
    assert channel.samples[100:105].astype(np.float64) == pytest.approx(1.0 + 2.0**-24, abs=2.0**-26)
