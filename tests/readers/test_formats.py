"""Recordings in binary forms: each carries the same strike, with what the form says of rate and unit."""

import io
import sys
from typing import Any

import h5py
import numpy as np
import polars as pl
import pytest
import scipy.io
from nptdms import ChannelObject, GroupObject, RootObject, TdmsWriter

from tameshi.errors import TameshiError, UnreadableError, WrongUseError
from tameshi.force import Origin
from tameshi.readers import Asked, ReadOptions, pick_channel, prepare, read_recording
from tests.readers.files import COUNT, FORCE, RATE, TIME


def trace_of(data, filename="test", options=None, **asked):
    recording = read_recording(data, filename, options)
    return prepare(recording, Origin(filename, "0" * 64), Asked(**asked))[0]


def npy(values):
    out = io.BytesIO()
    np.save(out, values, allow_pickle=values.dtype.hasobject)
    return out.getvalue()


def npz(**arrays):
    out = io.BytesIO()
    np.savez_compressed(out, **arrays)
    return out.getvalue()


def mat(version="5", *, compressed=True, **values):
    out = io.BytesIO()
    scipy.io.savemat(out, values, format=version, do_compression=compressed)
    return out.getvalue()


def parquet(metadata=None, **columns):
    out = io.BytesIO()
    pl.DataFrame(columns).write_parquet(out, metadata=metadata)
    return out.getvalue()


def hdf5(fill, *, userblock=None):
    out = io.BytesIO()
    with h5py.File(out, "w", userblock_size=512 if userblock else 0) as file:
        fill(file)
    return (userblock or b"") + out.getvalue()[len(userblock or b"") :]


def tdms(channels, root=None):
    out = io.BytesIO()
    with TdmsWriter(out) as writer:
        writer.write_segment(
            [
                RootObject(properties=root or {}),
                GroupObject("night"),
                *(ChannelObject("night", name, values, properties=said) for name, values, said in channels),
            ]
        )
    return out.getvalue()


def with_rate_attribute(file):
    data = file.create_dataset("evening/force", data=FORCE, compression="gzip")
    data.attrs["units"] = "N"
    file["evening"].attrs["sample_rate"] = RATE


def with_step_as_words(file):
    file.create_dataset("force", data=FORCE * 1e-3).attrs["unit"] = "kN"
    file.attrs["dt"] = "50 us"


def with_time_dataset(file):
    file["clock/time"] = TIME * 1e3
    file["clock/time"].attrs["units"] = "ms"
    file["channels/plate"] = FORCE
    file["channels/plate"].attrs["units"] = "N"


def with_fields(file):
    rows = np.zeros(COUNT, [("time", "f8"), ("force_N", "f4")])
    rows["time"], rows["force_N"] = TIME, FORCE
    file["table"] = rows


def with_time_since(file):
    file["force"] = FORCE
    file["force"].attrs["Units"] = "N"
    file["time"] = TIME
    file["time"].attrs["units"] = "seconds since 2026-11-20"


def with_days_since(file):
    with_time_since(file)
    file["time"][:] = TIME / 86_400.0 + 9_000.0
    file["time"].attrs["units"] = "Days Since 2000-01-01 00:00:00"


def with_units_of_fields(file):
    rows = np.zeros(COUNT, [("time", "f8"), ("plate", "f4"), ("note", "S3")])
    rows["time"], rows["plate"] = TIME * 1e3, FORCE * 1e-3
    file["table"] = rows
    file["table"].attrs["units"] = np.array(["ms", "kN", ""], dtype=h5py.string_dtype())


def with_fields_in_fields(file):
    rows = np.zeros(COUNT, [("at", [("time_s", "f8")]), ("read", [("force_N", "f4"), ("word", "S3")])])
    rows["at"]["time_s"], rows["read"]["force_N"] = TIME, FORCE
    file["night/table"] = rows


def with_settings_in_a_row(file):
    row = np.zeros(1, [("fs", "f8"), ("force_unit", "S2")])
    row["fs"], row["force_unit"] = RATE / 1e3, b"N"
    file["settings"] = row
    file["fs_unit"] = "kHz"
    file["force"] = FORCE


def with_columns_listed(file):
    counts = np.column_stack([TIME * 1e6, np.round(FORCE * 8)]).astype(np.int32)
    said = file.create_dataset("data", data=counts).attrs
    said["columns"] = np.array([b"time", b"plate"])
    said["units"] = np.array([b"s", b"N"])
    said["scale_factor"] = np.array([1e-6, 0.125])


def with_holes(file):
    file.create_dataset("force_N", data=FORCE).attrs.update({"_FillValue": -999.0, "dt": 1.0 / RATE})


def with_counts(file):
    counts = file.create_dataset("force", data=np.round(FORCE * 8).astype(np.int16))
    counts.attrs.update({"scale_factor": 0.125, "units": "N", "fs": RATE})


def with_matlab_layout(file):
    group = file.create_group("rec")
    group.attrs["MATLAB_class"] = np.bytes_(b"struct")
    for name, values in (("force", FORCE[None, :]), ("fs", np.array([[RATE]]))):
        group[name] = values
        group[name].attrs["MATLAB_class"] = np.bytes_(b"double")
    group["force_unit"] = np.array([[ord("N")]], np.uint16)
    group["force_unit"].attrs["MATLAB_class"] = np.bytes_(b"char")


STEP = {"wf_increment": 1.0 / RATE, "unit_string": "N"}
FORMS: dict[str, tuple[bytes, dict[str, Any]]] = {
    "npy, two columns": (npy(np.column_stack([TIME, FORCE])), {"force_scale": "1 N"}),
    "npy, two rows, by columns": (
        npy(np.asfortranarray(np.vstack([TIME, FORCE]))),
        {"force_scale": "1 N"},
    ),
    "npy, one column": (npy(FORCE), {"rate": RATE, "force_scale": "1 N"}),
    "npy, named fields": (
        npy(np.array(list(zip(TIME * 1e3, FORCE, strict=True)), [("time_ms", "f8"), ("force_N", "f8")])),
        {},
    ),
    "npz, rate beside": (npz(force_N=FORCE, fs=np.array(RATE)), {}),
    "npz, time beside": (npz(t=TIME, force_N=FORCE.astype(np.float32)), {}),
    "parquet, time column": (parquet(time_ms=TIME * 1e3, **{"plate (N)": FORCE}), {}),
    "parquet, clock": (
        parquet(when=pl.Series(np.arange(COUNT) * 50_000).cast(pl.Datetime("ns")), force_N=FORCE),
        {},
    ),
    "parquet, rate in words": (parquet({"sample_rate": "20 kHz"}, force_N=FORCE), {}),
    "hdf5, rate of the group": (hdf5(with_rate_attribute), {}),
    "hdf5, step in words": (hdf5(with_step_as_words), {}),
    "hdf5, time elsewhere": (hdf5(with_time_dataset), {}),
    "hdf5, counts": (hdf5(with_counts), {}),
    "hdf5, rows with fields": (hdf5(with_fields), {}),
    "hdf5, time since a date": (hdf5(with_time_since), {}),
    "hdf5, days since a date": (hdf5(with_days_since), {}),
    "hdf5, units for each field": (hdf5(with_units_of_fields), {}),
    "hdf5, fields in fields": (hdf5(with_fields_in_fields), {}),
    "hdf5, the rate in a row of settings": (hdf5(with_settings_in_a_row), {}),
    "hdf5, counts in listed columns": (hdf5(with_columns_listed), {}),
    "hdf5, a value that stands for none": (hdf5(with_holes), {}),
    "MATLAB 7.3": (
        hdf5(with_matlab_layout, userblock=b"MATLAB 7.3 MAT-file, made by a test".ljust(512)),
        {},
    ),
    "MATLAB 7": (mat(force_N=FORCE[:, None], fs=RATE), {}),
    "MATLAB 5": (mat(compressed=False, t=TIME, force_N=FORCE), {}),
    "MATLAB 5, structure": (mat(rec={"force": FORCE, "force_unit": "N", "dt": 1.0 / RATE}), {}),
    "MATLAB 4": (mat("4", t=TIME[:, None], force_N=FORCE[:, None]), {}),
    "TDMS, step": (tdms([("plate", FORCE, STEP)]), {}),
    "TDMS, time channel": (
        tdms([("Time", TIME * 1e3, {"unit_string": "ms"}), ("plate", FORCE, {"unit_string": "N"})]),
        {},
    ),
}


@pytest.mark.parametrize("name", list(FORMS))
def test_every_form_gives_the_same_strike(name):
    data, asked = FORMS[name]
    trace = trace_of(data, "test.mat" if "4" in name else "test", **asked)
    assert trace.rate == pytest.approx(RATE, rel=1e-6)
    assert trace.samples == pytest.approx(FORCE, abs=0.07 if "counts" in name else 2e-4)
    assert trace.flags == ()
    if "force_scale" not in asked:
        assert trace.unit == "N"


def test_channels_of_different_rates_keep_their_own():
    data = tdms(
        [("plate", FORCE, STEP), ("slow", FORCE[::10], {"wf_increment": 10.0 / RATE, "unit_string": "N"})]
    )
    recording = read_recording(data, "two.tdms")
    assert recording.rate is None
    assert trace_of(data, channel="plate").rate == pytest.approx(RATE)
    assert trace_of(data, channel="slow").rate == pytest.approx(RATE / 10.0)


def test_several_channels_are_listed_with_their_units():
    data = parquet(time_s=TIME, plate_N=FORCE, wall_V=FORCE)
    with pytest.raises(WrongUseError) as caught:
        pick_channel(read_recording(data, "two.parquet"), None)
    assert caught.value.hint == "Give one with --channel. Channels: plate [N], wall [V]."


def test_channels_of_one_name_are_told_apart_by_their_groups():
    def fill(file):
        for side, count in (("left", COUNT), ("right", COUNT // 2)):
            file[f"{side}/force_N"] = FORCE[:count]
            file[side].attrs["fs"] = RATE

    names = [channel.name for channel in read_recording(hdf5(fill), "two.h5").channels]
    assert names == ["left/force", "right/force"]


def test_channels_of_one_name_in_one_group_are_numbered():
    def fill(file):
        for unit, count in (("N", COUNT), ("V", COUNT // 2)):
            file[f"plate_{unit}"] = FORCE[:count]
        file.attrs["fs"] = RATE

    channels = read_recording(hdf5(fill), "two.h5").channels
    assert [channel.label for channel in channels] == ["plate [N]", "plate (2) [V]"]


def test_a_channel_that_has_no_clock_to_stand_on_is_left_out_with_a_flag():
    def fill(file):
        with_rate_attribute(file)
        file["other/time_s"] = -TIME
        file["other/load_N"] = FORCE

    recording = read_recording(hdf5(fill), "two.h5")
    assert [flag.code for flag in recording.flags] == ["channels-left-out"]
    assert "two.h5, other, row 2: time goes" in recording.flags[0].message


def test_coefficients_beside_a_recording_are_no_channels():
    def fill(file):
        with_rate_attribute(file)
        file["evening/polynomial"] = np.array([1.0, 2.0, 3.0])

    assert len(read_recording(hdf5(fill), "one.h5").channels) == 1


def test_a_gap_in_stored_time_is_flagged_too():
    kept = np.r_[0:500, 540:COUNT]
    trace = trace_of(npz(time_s=TIME[kept], force_N=FORCE[kept]))
    assert [flag.code for flag in trace.flags] == ["gap"]


def test_time_that_runs_backwards_is_placed():
    with pytest.raises(UnreadableError, match=r"a\.npz, row 1001: time goes"):
        trace_of(npz(time_s=np.r_[TIME[:1000], TIME[:1000]], force_N=FORCE), "a.npz")


@pytest.mark.parametrize(
    ("package", "data"), [("h5py", FORMS["hdf5, counts"][0]), ("nptdms", FORMS["TDMS, step"][0])]
)
def test_a_missing_package_is_named_with_the_command_that_installs_it(monkeypatch, package, data):
    monkeypatch.setitem(sys.modules, package, None)
    with pytest.raises(UnreadableError) as caught:
        read_recording(data, "night.x")
    assert caught.value.code == "needs-extra"
    assert package in caught.value.message
    assert caught.value.hint == 'Install it: pip install "tameshi[formats]"'


def test_pickled_objects_are_never_loaded():
    with pytest.raises(UnreadableError) as caught:
        read_recording(npy(np.array([{"a": 1}] * 20, dtype=object)), "evil.npy")
    assert caught.value.code == "objects-refused"


def test_links_out_of_the_file_are_not_followed(tmp_path):
    with h5py.File(tmp_path / "other.h5", "w") as other:
        other["secret"] = FORCE

    def fill(file):
        file["link"] = h5py.ExternalLink(str(tmp_path / "other.h5"), "secret")
        file.create_dataset("outside", (COUNT,), "f8", external=[(str(tmp_path / "raw"), 0, 8 * COUNT)])

    (tmp_path / "raw").write_bytes(FORCE.tobytes())
    with pytest.raises(UnreadableError) as caught:
        read_recording(hdf5(fill), "links.h5")
    assert caught.value.code == "no-samples"


def test_a_group_that_holds_itself_is_walked_once():
    def fill(file):
        with_rate_attribute(file)
        file["evening/again"] = file["evening"]

    assert len(read_recording(hdf5(fill), "loop.h5").channels) == 1


@pytest.mark.parametrize("name", ["npy, two columns", "TDMS, step"])
def test_a_cut_off_file_is_refused_unless_accepted(name):
    cut, asked = FORMS[name][0][:-4000], FORMS[name][1]
    with pytest.raises(UnreadableError) as caught:
        trace_of(cut, **asked)
    assert caught.value.code == "cut-off"
    trace = trace_of(cut, options=ReadOptions(accept_cut_off=True), **asked)
    assert [flag.code for flag in trace.flags] == ["cut-off"]
    assert 1000 < len(trace.samples) < COUNT
    assert trace.samples == pytest.approx(FORCE[: len(trace.samples)])


@pytest.mark.parametrize("name", [name for name in FORMS if "npy" not in name and "TDMS" not in name])
def test_half_a_file_is_refused(name):
    with pytest.raises(TameshiError) as caught:
        trace_of(FORMS[name][0][: len(FORMS[name][0]) // 2], "half.mat")
    assert caught.value.hint
